"""The freeze outlook of the coming night, in plain words."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from curecast.alerts.findings.cold import freeze_ahead, frost_safe_h
from curecast.alerts.findings.kinds import FreezeAhead
from curecast.clock import from_unix_h, local_hour, show_instant
from curecast.core.heat.covers import cover_state
from curecast.core.weather.series import Forecast
from curecast.prospect.plain_words import degrees, percent
from curecast.prospect.standing import SlabAnswer

__all__ = ["Night", "night_of"]

#: A night is over by this hour of the local clock, and looked at from this one (ASSUMED). [h]
_MORNING_H, _EVENING_H = 9.0, 18.0
#: A night of which less is left is as good as over. [h]
_LEAST_H = 2.0


@dataclass(frozen=True)
class Night:
    """The coming night, each line ready to show.

    ``alarm`` is empty, or what is to be done before it, ``severe`` where the concrete itself may
    freeze; ``lines`` are air, concrete and chance.
    """

    until: str
    alarm: str
    severe: bool
    lines: tuple[str, ...]


def night_of(answer: SlabAnswer, newest: Forecast | None) -> Night:
    """What the coming night may do to the slab.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    newest : Forecast or None
        The newest forecast, to tell weather from climate.
    """
    from_h, to_h = _span(answer)
    zone = answer.job.site.zone
    until = show_instant(from_unix_h(answer.origin_h + to_h), zone)
    lines = [*_air(answer, from_h, to_h), *_concrete(answer, from_h, to_h)]
    if newest is not None and newest.weather.end_h < answer.origin_h + to_h:
        lines.append("The forecast does not reach to the end of this night: climate stands in.")
    found = next(iter(freeze_ahead(answer, "")), None)
    if not isinstance(found, FreezeAhead):
        return Night(until, "", False, tuple(lines))
    return Night(until, _alarm(answer, found), found.of == "concrete", tuple(lines))


def _span(answer: SlabAnswer) -> tuple[float, float]:
    """The coming night, or what is left of this one, on the history's clock. [h]"""
    hour = local_hour(from_unix_h(answer.now_h), answer.job.site.zone)
    left_h = (_MORNING_H - hour) % 24.0
    if left_h < _LEAST_H:
        left_h += 24.0
    end = local_hour(from_unix_h(answer.now_h + left_h), answer.job.site.zone)
    left_h -= (end - _MORNING_H + 12.0) % 24.0 - 12.0  # a night in which the clock changes
    return answer.age_h + max(left_h - (24.0 - _EVENING_H + _MORNING_H), 0.0), answer.age_h + left_h


def _air(answer: SlabAnswer, from_h: float, to_h: float) -> list[str]:
    past, job = answer.past, answer.job
    span = (past.t_h >= from_h) & (past.t_h <= to_h)
    if span.any():
        lowest = past.air_c[span, 1:].min(axis=0)
        likely, tenth = float(np.median(lowest)), float(np.quantile(lowest, 0.1))
        return [
            f"Air at the slab: likely down to {degrees(job, likely)}, "
            f"one in ten {degrees(job, tenth)} or colder."
        ]
    weather = answer.weather
    hours = weather.start_h + np.arange(len(weather)) - answer.origin_h
    air_c = weather.air_c[(hours >= from_h) & (hours <= to_h)]
    if not len(air_c) or not math.isfinite(float(air_c.min())):
        return ["The air of this night is not known."]
    coldest_c = float(air_c.min()) + job.site.air_offset_k
    return [f"Air at the slab: down to about {degrees(job, coldest_c)}."]


def _concrete(answer: SlabAnswer, from_h: float, to_h: float) -> list[str]:
    past, job = answer.past, answer.job
    if frost_safe_h(answer) <= answer.age_h:
        return ["By the model the concrete is strong enough to bear frost."]
    span = (past.t_h >= from_h) & (past.t_h <= to_h)
    if not span.any():
        return ["How cold the concrete gets is not known."]
    lowest = past.coldest_c[span, 1:].min(axis=0)
    likely, tenth = float(np.median(lowest)), float(np.quantile(lowest, 0.1))
    chance = float(np.mean(~(lowest > 0.0)))
    over = "under its cover" if cover_state(answer.spells, to_h).covered else "uncovered"
    return [
        f"Concrete, {over}: coldest place likely {degrees(job, likely)}, "
        f"one in ten {degrees(job, tenth)} or colder.",
        f"Chance that it freezes: {percent(chance)}.",
    ]


def _alarm(answer: SlabAnswer, found: FreezeAhead) -> str:
    """What to do about the first freeze within three nights."""
    zone = answer.job.site.zone
    when = show_instant(from_unix_h(found.when_h), zone)
    if found.of == "concrete":
        what = f"The concrete may freeze from {when} ({percent(found.chance)} chance)"
    else:
        what = f"Frost from {when}, and the concrete cannot bear it yet"
    if found.covered:
        return f"{what}: see that its cover lies dry, weighted down and over the edges."
    if found.cover_by_h <= answer.now_h:
        return f"{what}: cover it now."
    return f"{what}: cover it by {show_instant(from_unix_h(found.cover_by_h), zone)}."
