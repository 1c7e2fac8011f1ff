"""What all starts of a week share, and one start run and made ready for the rules."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.ground import day_mean_c, ground_c
from curecast.core.heat.forcing import SiteWeather
from curecast.core.histories import Histories
from curecast.core.holdpoints import HoldRule
from curecast.core.openings import Strengths
from curecast.core.protection import Measure
from curecast.core.rules.finding import Start
from curecast.core.rules.limits import Limits
from curecast.core.weather.ensemble import Members, site_air_c

Array = NDArray[np.float64]

#: Aim of warm mixing water: ACI 306R's 13 °C for thin slabs. [°C]
WARM_TO_C = 13.0


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
    full : bool
        No shortcut: every level with all members, every start to its own end, every member at
        its edge, in double precision. What the shortcuts are held against; slow. [-]
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
    full: bool = False

    @cached_property
    def standing(self) -> SiteWeather:
        """The site's weather at whole hours, put together once. [various]"""
        return SiteWeather(self.weather, self.case.exposure, single=not self.full)


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
    if week.full or count + 1 >= w.air_c.shape[1]:
        return week
    keep = slice(0, count + 1)
    weather = Members(
        w.start_h, w.air_c[:, keep], w.dew_point_c[:, keep], w.wind_ms[:, keep], w.cloud[:, keep]
    )
    ordered = np.sort(week.strengths.z[1:])
    spread = ordered[np.linspace(0, len(ordered) - 1, count).round().astype(int)]
    draws = np.concatenate([[0.0], np.random.default_rng(1).permutation(spread)])
    return replace(week, weather=weather, strengths=replace(week.strengths, z=draws, _ages={}))


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
