"""Temperature becomes maturity: what a march of columns leaves behind, place by place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.evaporation import reported_kg_m2_h, saturation_kpa
from curecast.core.concrete.rates import _gamma
from curecast.core.concrete.setting import _set_rate, finishing_start_h_at
from curecast.core.heat.column import Step
from curecast.core.heat.edge_screen import edge_share, screened_edge_c

Array = NDArray[np.float64]

#: Places in the slab, in the order of the arrays' second axis.
PLACES = ("surface", "middle", "bottom", "edge")
SURFACE, MIDDLE, BOTTOM, EDGE = range(4)


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

    def __init__(self, columns: int) -> None:
        self.share = np.zeros(columns)
        self.reached_h = np.full(columns, np.nan)

    def run(self, rate_per_h: Array, dt_h: float, t_h: float) -> None:
        before = self.share
        self.share = before + rate_per_h * dt_h
        now = (before < 1.0) & (self.share >= 1.0)
        if now.any():
            part = (self.share[now] - 1.0) / (self.share[now] - before[now])
            self.reached_h[now] = t_h - part * dt_h

    @property
    def over(self) -> bool:
        return bool(np.all(self.share >= 1.0))


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
        ``enough(t_h, te20_h)`` ends the march early when it is true; te20_h has shape
        (place, column). [-]

    Returns
    -------
    Histories
        Arrays over (time, place, column). [various]
    """
    first = next(steps)
    shape = first.surface_c.shape
    temps = [np.repeat(first.surface_c[None, :], 4, axis=0)]
    te, ttf = [np.zeros((4, *shape))], [np.zeros((4, *shape))]
    coldest, air, times = [first.surface_c], [first.face.around.air_c], [0.0]
    setting, floating = _Clock(len(first.surface_c)), _Clock(len(first.surface_c))
    dries = np.zeros(shape)
    rate = _gamma(temps[0])
    for step in steps:
        share = edge_share(step.cover, step.t_h > strip_at_h, step.t_h)
        edge = screened_edge_c(step.sol_air_c, step.surface_c, share)
        now = np.stack([step.surface_c, step.middle_c, step.bottom_c, edge])
        new_rate = _gamma(now)
        te.append(te[-1] + 0.5 * step.dt_h * (rate + new_rate))
        ttf.append(ttf[-1] + step.dt_h * np.maximum(0.5 * (temps[-1] + now), 0.0))
        rate = new_rate
        if not setting.over:
            setting.run(_set_rate(step.surface_c), step.dt_h, step.t_h)
            if not step.cover.covered:
                around = step.face.around
                rh = np.clip(around.vapour_kpa / saturation_kpa(around.air_c), 0.0, 1.0)
                shown = reported_kg_m2_h(step.surface_c, around.air_c, rh, 3.6 * around.wind_ms)
                dries = np.maximum(dries, np.where(setting.share < 1.0, shown, 0.0))
        if not floating.over and step.t_h > floats_from_h:
            dt_h = min(step.dt_h, step.t_h - floats_from_h)
            floating.run(1.0 / finishing_start_h_at(step.surface_c), dt_h, step.t_h)
        temps.append(now)
        coldest.append(np.minimum(step.coldest_c, edge))
        air.append(step.face.around.air_c)
        times.append(step.t_h)
        if enough is not None and enough(step.t_h, te[-1]):
            break
    return Histories(
        t_h=np.array(times),
        temp_c=np.stack(temps),
        te20_h=np.stack(te),
        ttf_c_h=np.stack(ttf),
        coldest_c=np.stack(coldest),
        air_c=np.stack(air),
        final_set_h=setting.reached_h,
        finishing_h=floating.reached_h,
        evaporation_kg_m2_h=dries,
    )
