"""Temperature becomes maturity: what a march of columns leaves behind, place by place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.aging import Ages, equivalent_age_h, temperature_time_c_h
from curecast.core.concrete.evaporation import KMH_PER_MS, reported_kg_m2_h, saturation_kpa
from curecast.core.concrete.setting import _set_rate, finishing_start_h_at
from curecast.core.heat.edge_screen import edge_share, screened_edge_c
from curecast.core.heat.step import Step

Array = NDArray[np.float64]

#: Places in the slab, in the order of the arrays' second axis.
PLACES = ("surface", "middle", "bottom", "edge")
SURFACE, MIDDLE, BOTTOM, EDGE = range(4)
#: A fifth place, where the section of a poured slab was run: the anchors' concrete.
ANCHOR = 4
PLACE_NAMES = (*PLACES, "anchor")


@dataclass(frozen=True)
class Histories:
    """What happened at four places of many columns.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants after the start, the first 0. [h]
    temp_c : ndarray, shape (time, place, column)
        Temperature. [°C]
    te20_h : ndarray, shape (time, place, column)
        Equivalent age at 20 °C. [h]
    ttf_c_h : ndarray, shape (time, place, column)
        Temperature-time factor over a datum of 0 °C. [°C h]
    coldest_c : ndarray, shape (time, column)
        Coldest place of the concrete, edge included, at each instant. [°C]
    air_c : ndarray, shape (time, column)
        Air at the slab, inside an enclosure where there is one. [°C]
    final_set_h : ndarray, shape (column,)
        When the top has set; NaN where it has not. [h]
    finishing_h : ndarray, shape (column,)
        When the last-placed top can bear the float; NaN where it cannot. [h]
    evaporation_kg_m2_h : ndarray, shape (column,)
        Greatest rate as reported for plastic cracking, bare and before set. [kg/m2/h]
    """

    t_h: Array
    temp_c: Array
    te20_h: Array
    ttf_c_h: Array
    coldest_c: Array
    air_c: Array
    final_set_h: Array
    finishing_h: Array
    evaporation_kg_m2_h: Array

    def mean_c(self, place: int, from_h: float, to_h: float) -> Array:
        """Mean temperature at a place between two instants, shape (member,). [°C]"""
        within = (self.t_h >= from_h) & (self.t_h <= to_h)
        dt, temps = np.diff(self.t_h[within])[:, None], self.temp_c[within, place]
        if not len(dt):
            return np.asarray(self.temp_c[np.searchsorted(self.t_h, to_h, "right") - 1, place])
        return np.asarray((0.5 * dt * (temps[1:] + temps[:-1])).sum(axis=0) / dt.sum())

    def columns(self, pick: slice | NDArray[np.int64]) -> Histories:
        """The same for some of the columns."""
        return Histories(
            self.t_h,
            self.temp_c[..., pick],
            self.te20_h[..., pick],
            self.ttf_c_h[..., pick],
            self.coldest_c[..., pick],
            self.air_c[..., pick],
            self.final_set_h[pick],
            self.finishing_h[pick],
            self.evaporation_kg_m2_h[pick],
        )


class _Clock:
    """Adds up a share per hour until it reaches one, and remembers when."""

    def __init__(self, rate_per_h: Array, from_h: float = 0.0) -> None:
        self.share = np.zeros_like(rate_per_h)
        self.reached_h = np.full(rate_per_h.shape, np.nan)
        self._rate, self._from_h = rate_per_h, from_h

    def run(self, rate_per_h: Array, dt_h: float, t_h: float) -> None:
        """Let one step count, or what of it lies after the clock's start."""
        before, counted_h = self.share, min(dt_h, t_h - self._from_h)
        rate, self._rate = 0.5 * (self._rate + rate_per_h), rate_per_h
        if counted_h <= 0.0:
            return
        self.share = before + rate * counted_h
        now = (before < 1.0) & (self.share >= 1.0)
        if now.any():
            part = (self.share[now] - 1.0) / (self.share[now] - before[now])
            self.reached_h[now] = t_h - part * counted_h

    @property
    def over(self) -> bool:
        return bool(np.all(self.share >= 1.0))


class _Follower:
    """Keeps what strength, set and frost are read from, step by step."""

    def __init__(self, first: Step, strip_at_h: float, floats_from_h: float) -> None:
        face = first.surface_c
        self.strip_at_h = strip_at_h
        self.ages = Ages(np.repeat(face[None, :], len(PLACES), axis=0))
        self.setting = _Clock(_set_rate(face))
        self.floating = _Clock(1.0 / finishing_start_h_at(face), floats_from_h)
        self.dries = np.zeros_like(face)
        ages, air = self.ages, first.face.around.air_c
        self.rows = [(0.0, ages.temp_c, ages.te20_h, ages.ttf_c_h, face, air)]

    def step(self, step: Step) -> None:
        share = edge_share(step.cover, step.t_h > self.strip_at_h, step.t_h)
        edge = screened_edge_c(step.sol_air_c, step.surface_c, share)
        ages, air = self.ages, step.face.around.air_c
        ages.step(step.dt_h, np.stack([step.surface_c, step.middle_c, step.bottom_c, edge]))
        coldest = np.minimum(step.coldest_c, edge)
        self.rows.append((step.t_h, ages.temp_c, ages.te20_h, ages.ttf_c_h, coldest, air))
        if not self.floating.over:
            self.floating.run(1.0 / finishing_start_h_at(step.surface_c), step.dt_h, step.t_h)
        if not self.setting.over:
            self.setting.run(_set_rate(step.surface_c), step.dt_h, step.t_h)
            if not step.cover.covered:
                self._dry(step)

    def _dry(self, step: Step) -> None:
        """Keep the greatest rate at which a bare face dries before it has set."""
        air, wind = step.face.around.air_c, step.face.around.wind_ms
        rh = np.clip(step.face.around.vapour_kpa / saturation_kpa(air), 0.0, 1.0)
        shown = reported_kg_m2_h(step.surface_c, air, rh, KMH_PER_MS * wind)
        self.dries = np.maximum(self.dries, np.where(self.setting.share < 1.0, shown, 0.0))

    def histories(self) -> Histories:
        t, temps, te, ttf, coldest, air = zip(*self.rows, strict=True)
        return Histories(
            t_h=np.array(t),
            temp_c=np.stack(temps),
            te20_h=np.stack(te),
            ttf_c_h=np.stack(ttf),
            coldest_c=np.stack(coldest),
            air_c=np.stack(air),
            final_set_h=self.setting.reached_h,
            finishing_h=self.floating.reached_h,
            evaporation_kg_m2_h=self.dries,
        )


def collect(
    steps: Iterator[Step],
    *,
    strip_at_h: float,
    floats_from_h: float = 0.0,
    enough: Callable[[float, Array], bool] | None = None,
) -> Histories:
    """Follow a march to its end and keep what strength, set and frost are read from.

    Parameters
    ----------
    steps : iterator of Step
        From ``march``. [various]
    strip_at_h : float
        When the form comes off; infinity for never. [h]
    floats_from_h : float
        When the last batch is placed: finishing counts from here. [h]
    enough : callable, optional
        ``enough(t_h, age_h)`` ends the march early when it is true; age_h, shape
        (place, column), is the smaller of the two ages at 20 °C. [-]

    Returns
    -------
    Histories
        Arrays over (time, place, column). [various]
    """
    follower = _Follower(next(steps), strip_at_h, floats_from_h)
    for step in steps:
        follower.step(step)
        if enough is not None and enough(step.t_h, follower.ages.smaller_h):
            break
    return follower.histories()


def aged(past: Histories) -> Histories:
    """The same temperatures with their ages summed anew.

    Parameters
    ----------
    past : Histories
        Temperatures that were changed. [°C]

    Returns
    -------
    Histories
        Ages as a march would have added them up. [h, °C h]
    """
    return replace(
        past,
        te20_h=equivalent_age_h(past.t_h, past.temp_c),
        ttf_c_h=temperature_time_c_h(past.t_h, past.temp_c),
    )
