"""Temperature becomes maturity: what a march of columns leaves behind, place by place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from curecast.core.aging import equivalent_age_h, temperature_time_c_h
from curecast.core.concrete.rates import STANDARD_C
from curecast.core.following import AT_ONCE, Follower
from curecast.core.following import PLACES as PLACES
from curecast.core.heat.step import Step

Array = NDArray[np.float64]

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

    @cached_property
    def smaller_age_h(self) -> Array:
        """The smaller of the two ages at 20 °C, shape (time, place, column). [h]"""
        return np.minimum(self.te20_h, self.ttf_c_h * (1.0 / STANDARD_C))

    def mean_c(self, place: int, from_h: float, to_h: float) -> Array:
        """Mean temperature at a place between two instants, shape (member,). [°C]"""
        within = (self.t_h >= from_h) & (self.t_h <= to_h)
        dt, temps = np.diff(self.t_h[within])[:, None], self.temp_c[within, place]
        if not len(dt):
            return np.asarray(self.temp_c[np.searchsorted(self.t_h, to_h, "right") - 1, place])
        return np.asarray((0.5 * dt * (temps[1:] + temps[:-1])).sum(axis=0) / dt.sum())

    def first_hours(self, hours: float) -> Histories:
        """The same up to so many hours after its start."""
        return self.until(int(np.searchsorted(self.t_h, hours + 1e-6)))

    def until(self, row: int) -> Histories:
        """The same up to an instant."""
        names = ("t_h", "temp_c", "te20_h", "ttf_c_h", "coldest_c", "air_c")
        return replace(self, **{name: getattr(self, name)[:row] for name in names})

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


def collect(
    steps: Iterator[Step],
    *,
    strip_at_h: float,
    floats_from_h: float = 0.0,
    enough: Callable[[float, Array], bool] | None = None,
    instants: int = 512,
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
    instants : int
        How many there are, where that is known: room is made for so many. [-]

    Returns
    -------
    Histories
        Arrays over (time, place, column). [various]
    """
    follower = Follower(next(steps), strip_at_h, floats_from_h, instants)
    while some := list(islice(steps, AT_ONCE)):
        follower.follow(some)
        if enough is not None and follower.ended(len(some), enough):
            break
    kept = follower.kept
    return Histories(
        t_h=np.array(kept.t_h),
        temp_c=kept.of(0),
        te20_h=kept.of(1),
        ttf_c_h=kept.of(2),
        coldest_c=kept.of(3),
        air_c=kept.of(4),
        final_set_h=follower.setting.reached_h,
        finishing_h=follower.floating.reached_h,
        evaporation_kg_m2_h=follower.dries,
    )


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
