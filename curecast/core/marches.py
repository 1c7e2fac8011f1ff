"""Many starts at once: weather of all members, run through the slab to a horizon.

The first days of every start are computed in full. Weeks later the slab only follows the
weather, whatever hour it was poured at: the rest is taken from two long runs, the first and
the last start, blended by the start's place between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.layers import Column
from curecast.core.heat.stepping import COARSE, step_times_h
from curecast.core.histories import Histories, collect
from curecast.core.weather.climate import seasonal_k
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: What is computed in full for every start. [h]
EARLY_H = 240.0
#: Spacing of the shared rest. [h]
_REST_STEP_H = 6.0
#: Cells for batches of many starts: within 0.1 °C of the fine grid.
_CELLS = 16
_GROUND_DAYS_H = 72


def ground_c(case: Case, weather: Members, starts_h: Array) -> Array:
    """Ground before each pour: the job's, else the mean air of the three days before.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    starts_h : ndarray, shape (start,)
        Starts, hours since 1970-01-01T00:00 UTC. [h]

    Returns
    -------
    ndarray, shape (start, member)
        Temperature; where the weather begins later, its first three days stand in
        (ASSUMED). [°C]
    """
    if case.ground_c is not None:
        return np.full((len(starts_h), weather.air_c.shape[1]), case.ground_c)
    return _site_mean(case, weather, starts_h, _GROUND_DAYS_H)


def _site_mean(case: Case, weather: Members, starts_h: Array, hours: int) -> Array:
    """Mean air at the site before each start; the daily swing falls out over whole days."""
    mean = _mean_before(weather.air_c, weather.start_h, starts_h, hours)
    return np.asarray(mean + case.exposure.air_offset_k)


def _mean_before(air_c: Array, first_h: int, starts_h: Array, hours: int) -> Array:
    """Mean over the hours before each start, the first hours standing in before them."""
    end = np.clip(np.floor(starts_h).astype(np.int64) - first_h, hours, len(air_c))
    return np.stack([air_c[e - hours : e].mean(axis=0) for e in end])


def deep_c(case: Case, weather: Members, latitude: float | None) -> float:
    """Foot of the soil: the job's, else the year's mean as the known days suggest it.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    latitude : float or None
        Of the site. [deg]

    Returns
    -------
    float
        Temperature, 4..22 (ASSUMED). [°C]
    """
    if case.deep_c is not None:
        return case.deep_c
    hours = weather.start_h + np.arange(min(len(weather.air_c), 168))
    known = float(weather.air_c[: len(hours), 0].mean()) - float(
        seasonal_k(hours, latitude).mean()
    )
    return float(np.clip(known, 4.0, 22.0))


def day_mean_c(case: Case, weather: Members, starts_h: Array) -> Array:
    """Mean air at the site over the day before each start, shape (start, member). [°C]"""
    return _site_mean(case, weather, starts_h, 24)


@dataclass(frozen=True)
class Batch:
    """Starts that share one plan of covers.

    Parameters
    ----------
    starts_h : ndarray, shape (start,)
        First batches, hours since 1970-01-01T00:00 UTC. [h]
    spells : tuple of CoverSpell
        Covers after the middle of placing. [h]
    warm_to_c : float or None
        Aim of warm mixing water. [°C]
    """

    starts_h: Array
    spells: tuple[CoverSpell, ...]
    warm_to_c: float | None = None


def run(
    case: Case,
    weather: Members,
    batch: Batch,
    until_h: float,
    *,
    plan: Sequence[tuple[float, float]] = COARSE,
    cells: int = _CELLS,
    latitude: float | None = None,
    after_switch: Sequence[float] = (5.0, 10.0),
) -> Histories:
    """Run a batch; columns are (start, member), the members running fastest.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    batch : Batch
        Starts and covers. [various]
    until_h : float
        Length of the run after the middle of placing. [h]
    plan, cells, after_switch
        Steps and cells, see ``step_times_h`` and ``Column``. [h, min, -]
    latitude : float or None
        Of the site. [deg]

    Returns
    -------
    Histories
        Its clock starts at the middle of placing. [various]
    """
    ground = ground_c(case, weather, batch.starts_h)
    placed = case.placed_at_c(day_mean_c(case, weather, batch.starts_h), batch.warm_to_c)
    column = Column(
        thickness_m=case.thickness_m,
        hydration=case.hydration,
        placed_c=placed.ravel(),
        ground_c=ground.ravel(),
        deep_c=deep_c(case, weather, latitude),
        under_r_m2k_w=case.under_r_m2k_w,
        concrete=case.concrete,
        soil=case.soil,
        evaporates=case.evaporates,
        concrete_cells=cells,
        soil_cells=cells,
    )
    forcing = MemberForcing(weather, case.exposure, batch.starts_h + case.middle_h)
    times = step_times_h(
        until_h, switch_times_h(batch.spells, until_h), plan=plan, after_switch=after_switch
    )
    steps = march(column, forcing, batch.spells, times)
    return collect(steps, strip_at_h=case.strip_at_h, floats_from_h=case.middle_h)


@dataclass(frozen=True)
class Rest:
    """The shared rest: two long runs at even steps of absolute time.

    Arrays have shape (anchor, time, place, member); ``at_h`` counts from 1970. [various]
    """

    anchors_h: Array
    at_h: Array
    temp_c: Array
    te20_h: Array
    ttf_c_h: Array

    def first(self, members: int) -> Rest:
        """The same for the first members. [-]"""
        if members == self.te20_h.shape[-1]:
            return self
        few = (v[..., :members] for v in (self.temp_c, self.te20_h, self.ttf_c_h))
        return Rest(self.anchors_h, self.at_h, *few)


def shared_rest(
    case: Case, weather: Members, starts_h: Array, until_h: float, latitude: float | None
) -> Rest:
    """Run the first and the last start to the horizon.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    starts_h : ndarray, shape (start,)
        All starts. [h]
    until_h : float
        Horizon after each start. [h]
    latitude : float or None
        Of the site. [deg]

    Returns
    -------
    Rest
        What any start between them may borrow. [various]
    """
    anchors = np.unique([starts_h.min(), starts_h.max()])
    long = run(
        case, weather, Batch(anchors, case.covers), until_h + float(np.ptp(starts_h)),
        latitude=latitude,
    )  # fmt: skip
    members = weather.air_c.shape[1]
    at = np.arange(anchors[0], anchors[-1] + case.middle_h + until_h, _REST_STEP_H)
    found = [
        np.stack([_at_times(long, values, at - a - case.middle_h, i, members) for i, a in enumerate(anchors)])
        for values in (long.temp_c, long.te20_h, long.ttf_c_h)
    ]  # fmt: skip
    return Rest(anchors, at, *found)


def _at_times(long: Histories, values: Array, t_h: Array, anchor: int, members: int) -> Array:
    """One anchor's series at other times, linear between, shape (time, place, member)."""
    own = values[..., anchor * members : (anchor + 1) * members]
    high = np.clip(np.searchsorted(long.t_h, t_h), 1, len(long.t_h) - 1)
    span = long.t_h[high] - long.t_h[high - 1]
    share = np.clip((t_h - long.t_h[high - 1]) / span, 0.0, 1.0)[:, None, None]
    return np.asarray((1.0 - share) * own[high - 1] + share * own[high])


def with_rest(early: Histories, rest: Rest, origin_h: float, until_h: float) -> Histories:
    """One start's first days, carried on by the shared rest.

    Parameters
    ----------
    early : Histories
        The start's own days, columns being members. [various]
    rest : Rest
        The shared rest. [various]
    origin_h : float
        Its clock's zero, hours since 1970-01-01T00:00 UTC. [h]
    until_h : float
        Horizon after the origin. [h]

    Returns
    -------
    Histories
        Ages go on from where the first days left them. [various]
    """
    t = rest.at_h - origin_h
    begin = int(np.searchsorted(t, early.t_h[-1]))
    end = int(np.searchsorted(t, until_h, side="right"))
    if end <= begin + 1:
        return early
    span = float(np.ptp(rest.anchors_h))
    share = np.clip((origin_h - rest.anchors_h[0]) / span, 0.0, 1.0) if span else 0.0
    pick = slice(begin, end)

    def blended(values: Array) -> Array:
        last = values[-1] if span else values[0]
        return np.asarray((1.0 - share) * values[0, pick] + share * last[pick])

    def carried(own: Array, values: Array) -> Array:
        more = blended(values)
        # From the early end to the first shared instant the first shared rate holds.
        gap = (t[begin] - early.t_h[-1]) / _REST_STEP_H
        step = more - more[0] + own[-1] + gap * (more[1] - more[0])
        return np.concatenate([own, step])

    temps = np.concatenate([early.temp_c, blended(rest.temp_c)])
    count = end - begin
    return Histories(
        t_h=np.concatenate([early.t_h, t[pick]]),
        temp_c=temps,
        te20_h=carried(early.te20_h, rest.te20_h),
        ttf_c_h=carried(early.ttf_c_h, rest.ttf_c_h),
        coldest_c=np.concatenate([early.coldest_c, temps[-count:].min(axis=1)]),
        air_c=np.concatenate([early.air_c, temps[-count:, 3]]),
        final_set_h=early.final_set_h,
        finishing_h=early.finishing_h,
        evaporation_kg_m2_h=early.evaporation_kg_m2_h,
    )
