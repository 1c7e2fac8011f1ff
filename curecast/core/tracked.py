"""One poured slab, run through what is known of its weather and drawn to its readings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.batches import CELLS, WEEKLY, column_of
from curecast.core.case import Case
from curecast.core.correction import (
    Site,
    followed,
    learned,
    modelled_c,
    prior_site,
    undoubted_site,
)
from curecast.core.edge_follow import with_section
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import MemberForcing, StandingWeather
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import Histories, collect
from curecast.core.measured import Measured
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: Members that must be ripe before a run ends: more than "count on it" asks.
_RIPE_SHARE = 0.92
#: The anchors' concrete, followed in the section, may lag behind the column (ASSUMED). [-]
_LAG = 1.1
#: How far a run goes beyond now at least. [h]
_AHEAD_H = 240.0


@dataclass(frozen=True)
class Pour:
    """A placement as it was.

    Parameters
    ----------
    start_h, end_h : float
        First and last batch, hours since 1970-01-01T00:00 UTC. [h]
    placed_c : float or None
        Concrete as placed, if somebody measured it. [°C]
    spells : tuple of CoverSpell
        What lay and will lie over it, in hours after the middle of placing. [h]
    strip_at_h : float
        When the form came or comes off, after the middle of placing. [h]
    """

    start_h: float
    end_h: float
    placed_c: float | None
    spells: tuple[CoverSpell, ...]
    strip_at_h: float

    @property
    def origin_h(self) -> float:
        """Middle of placing, hours since 1970-01-01T00:00 UTC. [h]"""
        return 0.5 * (self.start_h + self.end_h)

    @property
    def placed_h(self) -> float:
        """Last batch, after the middle of placing. [h]"""
        return 0.5 * (self.end_h - self.start_h)


@dataclass(frozen=True)
class Tracked:
    """A slab's history and future, and what the readings taught.

    Parameters
    ----------
    past : Histories
        Corrected, and carried on. [various]
    site : Site
        What each member believes of site and mix. [K, -, -]
    misfit_k : ndarray, shape (reading,)
        Reading minus the mean of the uncorrected model. [K]
    left_k : ndarray, shape (reading,)
        Reading minus the mean of the model that has learned from all of them. [K]
    """

    past: Histories
    site: Site
    misfit_k: Array
    left_k: Array


def believed(case: Case, placed_c: float | None, site: Site) -> Case:
    """The case as it was placed, each member with its own belief of the site.

    Parameters
    ----------
    case : Case
        The slab. [various]
    placed_c : float or None
        Concrete as placed, if somebody measured it. [°C]
    site : Site
        What each member believes. [K, -]

    Returns
    -------
    Case
        Its exposure holds arrays of shape (member,). [various]
    """
    exposure = replace(
        case.exposure,
        air_offset_k=site.offset_k,
        swing=site.swing,
        sky_view=case.exposure.sky_view * site.sky,
        sun=case.exposure.sun * site.sun,
    )
    return replace(case, exposure=exposure, placed_c=placed_c)


def _at_edge(
    case: Case,
    weather: Members,
    pour: Pour,
    site: Site,
    latitude: float | None,
    enough: Callable[[float, Array], bool],
    until_h: float,
) -> Histories:
    """The run of all members, with edge and anchors from the section."""
    return with_section(
        believed(case, pour.placed_c, site),
        weather,
        _run(case, weather, pour, site, until_h, latitude, enough),
        start_h=pour.start_h,
        origin_h=pour.origin_h,
        spells=pour.spells,
        strip_at_h=pour.strip_at_h,
        latitude=latitude,
    )


def _run(
    case: Case,
    weather: Members,
    pour: Pour,
    site: Site,
    until_h: float,
    latitude: float | None,
    enough: Callable[[float, Array], bool] | None = None,
) -> Histories:
    """One run of all members with their own beliefs of site and mix."""
    own = believed(case, pour.placed_c, site)
    start = np.array([pour.start_h])
    placed = own.placed_at_c(day_mean_c(own, weather, start))[0]
    ground, deep = ground_c(own, weather, start)[0], deep_c(case, weather, latitude)
    column = column_of(case, placed, ground, deep, CELLS, site.heat)
    standing = StandingWeather(weather, own.exposure)
    forcing = MemberForcing(weather, own.exposure, np.array([pour.origin_h]), standing)
    switches = [*switch_times_h(pour.spells, until_h), pour.strip_at_h]
    times = step_times_h(until_h, switches, WEEKLY, weather_hour_h=-pour.origin_h)
    steps = march(column, forcing, pour.spells, times)
    return collect(steps, strip_at_h=pour.strip_at_h, floats_from_h=pour.placed_h, enough=enough)


def track(
    case: Case,
    weather: Members,
    pour: Pour,
    measured: Measured,
    until_h: float,
    *,
    ripe_h: Array,
    now_h: float,
    latitude: float | None,
    seed: int,
) -> Tracked:
    """Run a poured slab, learn from its readings, and run it on.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        From before the pour to beyond the horizon. [various]
    pour : Pour
        The placement. [various]
    measured : Measured
        Readings up to now, on the clock of the middle of placing. [°C]
    until_h : float
        Horizon on that clock. [h]
    ripe_h : ndarray, shape (member,)
        Age at 20 °C, by the smaller of the two, at which no hold waits for strength any
        more. [h]
    now_h : float
        Now on that clock: the run goes on beyond it. [h]
    latitude : float or None
        Of the site. [deg]
    seed : int
        Seed. [-]

    Returns
    -------
    Tracked
        Corrected history, carried on until 92 of 100 members are ripe, or to the horizon.
        [various]
    """
    count = weather.air_c.shape[1] - 1
    exposure = case.exposure
    offset_k, swing = np.mean(exposure.air_offset_k), np.mean(exposure.swing)
    least_h = max(now_h, 0.0) + _AHEAD_H

    def ripe(t_h: float, age_h: Array) -> bool:
        if t_h <= least_h:
            return False
        return bool(np.mean(age_h.min(axis=0) >= _LAG * ripe_h) >= _RIPE_SHARE)

    if not len(measured):
        site = undoubted_site(count, float(offset_k), float(swing))
        alone = _at_edge(case, weather, pour, site, latitude, ripe, until_h)
        return Tracked(alone, site, np.zeros(0), np.zeros(0))
    site = prior_site(count, seed, float(offset_k), float(swing))
    used = measured.hourly()
    before = _run(case, weather, pour, site, float(used.t_h.max()) + 1.0, latitude)
    misfit = _misfit_k(before, measured)
    site = learned(site, before, used, seed)
    after = _at_edge(case, weather, pour, site, latitude, ripe, until_h)
    return Tracked(followed(after, used, seed), site, misfit, _misfit_k(after, measured))


def _misfit_k(past: Histories, measured: Measured) -> Array:
    """Readings minus the mean of the members."""
    mean = replace(past, **{name: _mean(getattr(past, name)) for name in ("temp_c", "air_c")})
    return np.asarray(measured.value_c - modelled_c(mean, measured)[:, 0])


def _mean(values: Array) -> Array:
    """Mean of all members but the first, as one column."""
    return np.asarray(values[..., 1:].mean(axis=-1, keepdims=True))
