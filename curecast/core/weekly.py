"""What all starts of a week share, and one start run and made ready for the rules."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from curecast.core.batches import CELLS, TRIAL, TRIAL_CELLS, WEEKLY
from curecast.core.case import Case
from curecast.core.heat.forcing import StandingWeather
from curecast.core.histories import Histories
from curecast.core.holdpoints import HoldRule
from curecast.core.marches import Batch, day_mean_c, ground_c, run
from curecast.core.openings import Strengths
from curecast.core.protection import Measure
from curecast.core.rules.finding import Start
from curecast.core.rules.limits import Limits
from curecast.core.weather.ensemble import Members, site_air_c

Array = NDArray[np.float64]

#: Aim of warm mixing water: ACI 306R's 13 °C for thin slabs. [°C]
WARM_TO_C = 13.0
#: The span in which fresh concrete must not freeze, after the last batch: ACI 306R. [h]
FIRST_DAY_H = 24.0
#: Members that must bear frost before a trial ends: more than nine of ten.
SAFE_SHARE = 0.93
_CHUNK_COLUMNS = 1200
_WORKERS = 2


@dataclass(frozen=True)
class Week:
    """What all starts share.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members, the first without error. [various]
    strengths : Strengths
        How ages become strength; one draw a member. [various]
    rules : dict of str to HoldRule
        The hold table. [various]
    limits : Limits
        The thresholds. [various]
    measures : list of Measure
        In order of effort, those not at hand last. [various]
    rained_on : bool
        Whether rain reaches the face. [-]
    sheet : bool
        Whether a sheet is at hand. [-]
    rain_from, rain_chance : ndarray, shape (hour,)
        Hours since 1970 and the chance of rain in each, NaN unknown. [h, -]
    """

    case: Case
    weather: Members
    strengths: Strengths
    rules: dict[str, HoldRule]
    limits: Limits
    measures: list[Measure]
    rained_on: bool
    sheet: bool
    rain_from: Array
    rain_chance: Array

    @cached_property
    def standing(self) -> StandingWeather:
        """The weather as it stands at whole hours, worked out once. [various]"""
        return StandingWeather(self.weather, self.case.exposure)


@dataclass(frozen=True)
class Candidate:
    """A start that the crew could make.

    Parameters
    ----------
    start_h, crew_until_h : float
        First batch, and the end of their day, since 1970-01-01T00:00 UTC. [h]
    dark_h : float or None
        Sunset, since 1970. [h]
    """

    start_h: float
    crew_until_h: float
    dark_h: float | None


def few_members(week: Week, count: int) -> Week:
    """The same week with its first members, and draws of strength spread anew over them.

    Parameters
    ----------
    week : Week
        All members. [various]
    count : int
        Members besides the first. [-]

    Returns
    -------
    Week
        Fewer members. [various]
    """
    w = week.weather
    if count + 1 >= w.air_c.shape[1]:
        return week
    keep = slice(0, count + 1)
    weather = Members(
        w.start_h, w.air_c[:, keep], w.dew_point_c[:, keep], w.wind_ms[:, keep], w.cloud[:, keep]
    )
    ordered = np.sort(week.strengths.z[1:])
    spread = ordered[np.linspace(0, len(ordered) - 1, count).round().astype(int)]
    draws = np.concatenate([[0.0], np.random.default_rng(1).permutation(spread)])
    return replace(week, weather=weather, strengths=replace(week.strengths, z=draws, _ages={}))


def run_starts(
    week: Week,
    candidates: Sequence[Candidate],
    measure: Measure,
    until_h: float,
    *,
    until_safe: bool = False,
) -> list[Histories]:
    """Run starts under one measure, in chunks over the workers.

    Parameters
    ----------
    week : Week
        What they share. [various]
    candidates : sequence of Candidate
        The starts. [h]
    measure : Measure
        How they are protected. [-]
    until_h : float
        Length of the run after the middle of placing. [h]
    until_safe : bool
        A trial: coarser, and over once nine of ten of every start can bear frost, a day at
        least. [-]

    Returns
    -------
    list of Histories
        One a candidate, columns being members. [various]
    """
    members = week.weather.air_c.shape[1]
    size = max(1, _CHUNK_COLUMNS // members)
    chunks = [candidates[i : i + size] for i in range(0, len(candidates), size)]
    warm = WARM_TO_C if measure.warm_mix else None
    nothing_left = np.ones(members)
    frost_h = 24.0 * week.strengths.needed_d(week.limits.freeze_strength_mpa, nothing_left)
    first_day_h = week.case.middle_h + FIRST_DAY_H + 1.0

    def safe(t_h: float, age_h: Array) -> bool:
        if t_h < first_day_h:
            return False
        reached = age_h.reshape(len(age_h), -1, members) >= frost_h
        return bool(np.all(reached[..., 1:].mean(axis=2) >= SAFE_SHARE))

    def one(chunk: Sequence[Candidate]) -> Histories:
        starts = np.array([c.start_h for c in chunk])
        batch = Batch(starts, measure.spells, warm)
        return run(
            week.case,
            week.weather,
            batch,
            until_h,
            latitude=week.case.exposure.latitude,
            plan=TRIAL if until_safe else WEEKLY,
            cells=TRIAL_CELLS if until_safe else CELLS,
            enough=safe if until_safe else None,
            standing=week.standing,
        )

    with ThreadPoolExecutor(_WORKERS) as pool:
        found = list(pool.map(one, chunks))
    return [
        past.columns(slice(i * members, (i + 1) * members))
        for past, chunk in zip(found, chunks, strict=True)
        for i in range(len(chunk))
    ]


def start_of(week: Week, candidate: Candidate, measure: Measure, past: Histories) -> Start:
    """One start as the rules want it.

    Parameters
    ----------
    week : Week
        What all starts share. [various]
    candidate : Candidate
        The start. [h]
    measure : Measure
        How it is protected. [-]
    past : Histories
        Its run. [various]

    Returns
    -------
    Start
        Ready to be judged. [various]
    """
    case, at = week.case, np.array([candidate.start_h])
    warm = WARM_TO_C if measure.warm_mix else None
    first = max(0, int(candidate.start_h) - week.weather.start_h - 13)
    outside = site_air_c(
        week.weather.air_c[first : first + 300], case.exposure.air_offset_k, case.exposure.swing
    )
    return Start(
        start_h=candidate.start_h,
        origin_h=candidate.start_h + case.middle_h,
        placed_h=case.middle_h,
        past=past,
        limits=week.limits,
        ground_c=ground_c(case, week.weather, at)[0],
        placed_c=float(case.placed_at_c(day_mean_c(case, week.weather, at)[0, :1], warm)[0]),
        outside_c=outside,
        outside_from_h=float(week.weather.start_h + first),
        crew_until_h=candidate.crew_until_h,
        dark_h=candidate.dark_h,
        rain_from=week.rain_from,
        rain_chance=week.rain_chance,
        rained_on=week.rained_on,
        sheet=week.sheet,
        spells=measure.spells,
    )
