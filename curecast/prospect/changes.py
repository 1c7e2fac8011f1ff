"""What would change the answer: how much colder a night may turn, how much warmer it had to be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from curecast.clock import from_unix_h, local_hour, show_day
from curecast.core.chunks import run_starts
from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.rules.cold import FIRST_DAY_H
from curecast.core.rules.limits import KEPT
from curecast.core.starts import Judged
from curecast.core.trials import TRIAL_H
from curecast.core.weather.ensemble import Members, dew_point_of
from curecast.core.weekly import Week, few_members
from curecast.job.layout import Job
from curecast.prospect.plain_words import difference
from curecast.prospect.start_words import cover_words

#: Steps of a whole kelvin that are tried. [K]
STEPS_K = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
#: A night: so many hours before and after its coldest hour for the concrete; the lag of a
#: thin slab behind the air is within it (ASSUMED). [h]
NIGHT_H = (12.0, 4.0)
#: Members that are asked, and the share of them that decides.
_MEMBERS, _COLDEST_SHARE = 30, 0.2

#: More margin than this is no matter of a night (ASSUMED). [K]
_NEAR_FROST_K = 8.0

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Change:
    """What would turn the freeze rule of one start.

    Parameters
    ----------
    at_h : float
        The hour that decides, since 1970-01-01T00:00 UTC. [h]
    by_k : float or None
        Kept: the least whole kelvin by which the night breaks it if colder. Not kept: the
        least by which it had to be warmer. None: more than was tried. [K]
    kept : bool
        Whether it is kept as forecast.
    """

    at_h: float
    by_k: float | None
    kept: bool


def change_of(week: Week, judged: Judged) -> Change:
    """How far the night that decides may move, or had to.

    Parameters
    ----------
    week : Week
        What all starts share.
    judged : Judged
        One start with its measure.

    Returns
    -------
    Change
        The start's own coldest, likely and one in ten, taken as normally spread, moved by what
        a few members fall or rise by when the night is colder or warmer: every step in one run.
    """
    frost, few = judged.frost, few_members(week, _MEMBERS)
    span_h = max(week.case.middle_h + FIRST_DAY_H, min(frost.safe_h, TRIAL_H))
    before = _lowest(few, judged, span_h)
    coldest = before.low_c <= np.quantile(before.low_c[1:], _COLDEST_SHARE)
    coldest[0] = False
    at_h = judged.origin_h + float(np.median(before.at_h[coldest]))
    kept = frost.finding.verdict == KEPT
    steps = [(-step if kept else step) for step in STEPS_K]
    after = _lowest(_tried(few, at_h, steps), judged, span_h).low_c.reshape(len(steps), -1)
    margin_k = _margin_k(judged, week.limits.chance_kept)
    for step, low_c in zip(steps, after, strict=True):
        moved_k = float((low_c - before.low_c)[coldest].mean())
        if (margin_k + moved_k > 0.0) != kept:
            return Change(at_h, abs(step), kept)
    return Change(at_h, None, kept)


@dataclass(frozen=True)
class _Lowest:
    """Coldest of each member and when, shape (member,). [°C, h after the middle of placing]"""

    low_c: Array
    at_h: Array


def _lowest(week: Week, judged: Judged, span_h: float) -> _Lowest:
    until_h = span_h + 1.0
    past = run_starts(week, [judged.candidate], judged.measure, until_h, until_safe=True)[0]
    within = past.t_h <= span_h
    cold_c = past.coldest_c[within]
    return _Lowest(cold_c.min(axis=0), past.t_h[within][np.argmin(cold_c, axis=0)])


def _margin_k(judged: Judged, chance_kept: float) -> float:
    """What the coldest lies above the limit at the chance that counts as kept. [K]"""
    frost, normal = judged.frost, NormalDist()
    limit = frost.finding.limit or 0.0
    spread = max(frost.likely_coldest_c - frost.coldest_c, 0.0) / -normal.inv_cdf(0.1)
    margin = frost.likely_coldest_c + spread * normal.inv_cdf(chance_kept) - limit
    chance = frost.finding.chance
    if chance is not None and 0.0 < chance < 1.0:  # a tail that is heavier than normal counts
        margin = min(margin, spread * (normal.inv_cdf(chance_kept) - normal.inv_cdf(chance)))
    kept = frost.finding.verdict == KEPT
    return max(margin, 1e-6) if kept else min(margin, -1e-6)


def _tried(week: Week, at_h: float, steps_k: Sequence[float]) -> Week:
    """The members once a step, each with the night moved by it; humidity stays."""
    weather = week.weather
    hours = weather.start_h + np.arange(len(weather.air_c))
    night = (hours >= at_h - NIGHT_H[0]) & (hours <= at_h + NIGHT_H[1])
    air = np.concatenate([weather.air_c + step * night[:, None] for step in steps_k], axis=1)
    wide = len(steps_k)
    rh = saturation_kpa(weather.dew_point_c) / saturation_kpa(weather.air_c)
    members = Members(
        weather.start_h,
        air,
        dew_point_of(np.tile(rh, wide) * saturation_kpa(air)),
        np.tile(weather.wind_ms, wide),
        np.tile(weather.cloud, wide),
    )
    strengths = replace(week.strengths, z=np.tile(week.strengths.z, wide), _ages={})
    return replace(week, weather=members, strengths=strengths)


def only_frost(judged: Judged) -> bool:
    """Whether frost is all that decides against a start."""
    against = [f.rule for f in judged.findings if f.verdict != KEPT and not f.advice]
    return against == ["freeze"]


def is_near_frost(judged: Judged) -> bool:
    """Whether a colder night is worth a word: one in ten comes within 8 K of the limit."""
    frost = judged.frost
    return frost.coldest_c - (frost.finding.limit or 0.0) <= _NEAR_FROST_K


def change_words(job: Job, judged: Judged, change: Change) -> str:
    """One sentence of what would change the answer for one start.

    Parameters
    ----------
    job : Job
        For units and zone.
    judged : Judged
        The start.
    change : Change
        Of that start.
    """
    day = show_day(from_unix_h(judged.candidate.start_h), job.site.zone)
    night = night_words(job, change.at_h)
    if change.kept:
        day += f" with {cover_words(job, judged)}" if judged.measure.level else ""
        if change.by_k is None:
            most = difference(job, STEPS_K[-1])
            return f"{day} holds even if {night} turns {most} colder than forecast."
        return (
            f"{day} no longer holds if {night} turns about {difference(job, change.by_k)} colder."
        )
    if change.by_k is None:
        most = difference(job, STEPS_K[-1])
        return f"{day} would not work even with {night} {most} warmer."
    return f"About {difference(job, change.by_k)} warmer over {night}, and {day} works."


def night_words(job: Job, at_h: float) -> str:
    """The night, or the day, to which an hour belongs."""
    at = from_unix_h(at_h)
    hour, day = local_hour(at, job.site.zone), show_day(at, job.site.zone)
    if hour < 10.0:
        return f"the night to {day}"
    return f"the night of {day}" if hour >= 18.0 else f"the day of {day}"
