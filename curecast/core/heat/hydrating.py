"""What goes on in fresh concrete while a march runs: heat of hydration, and water that leaves."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.setting import _set_rate
from curecast.core.heat.hydration import degree, heat_rate_age
from curecast.core.heat.layers import Column

Array = NDArray[np.float64]
#: In double or single precision.
Floats = NDArray[Any]

#: Bleed water that may evaporate before the face counts as dry (ASSUMED). [kg/m2]
BLEED_KG_M2 = 1.5


class HeatAges(ABC):
    """Heat age of every concrete cell, and the heat that is already out of it.

    Parameters
    ----------
    slab_c : ndarray, shape (..., cell, column)
        The concrete at the start; what follows keeps its precision. [°C]
    rise_k : ndarray
        Rise that all of the heat would give, to meet the cells. [K]
    """

    def __init__(self, slab_c: Floats, rise_k: Floats) -> None:
        self.age_h = np.full(slab_c.shape, 1e-9, slab_c.dtype)
        self.released = self.degree(self.age_h)
        self.rate = self.rate_age(slab_c)
        self.slope = np.zeros_like(self.rate)
        self.rise_k = rise_k

    @abstractmethod
    def degree(self, age_h: Floats) -> Floats:
        """Degree of hydration at these heat ages."""

    @abstractmethod
    def rate_age(self, slab_c: Floats) -> Floats:
        """How fast the heat age runs. [h/h]"""

    def warmed_k(self, dt_h: float | Floats) -> Floats:
        """Rise that the coming step's heat alone would give. [K]"""
        ahead = self.slope * (0.5 * dt_h)
        ahead += self.rate
        np.maximum(ahead, 0.0, out=ahead)
        ahead *= dt_h
        ahead += self.age_h
        out = self.degree(ahead)
        out -= self.released
        np.maximum(out, 0.0, out=out)
        self.released += out
        out *= self.rise_k
        return out

    def age(self, slab_c: Floats, dt_h: float | Floats) -> None:
        """Let the step's temperatures count."""
        rate = self.rate_age(slab_c)
        self.slope = rate - self.rate
        self.rate += rate
        self.rate *= 0.5 * dt_h
        self.age_h += self.rate
        self.slope /= dt_h
        self.rate = rate


class Hydrating(HeatAges):
    """Heat ages of one slab's columns.

    Parameters
    ----------
    column : Column
        Mix and heat. [various]
    slab_c : ndarray, shape (cell, column)
        The concrete at the start. [°C]
    """

    def __init__(self, column: Column, slab_c: Array) -> None:
        self.column = column
        rise = column.rise_k * np.asarray(column.heat_scale)
        super().__init__(slab_c, np.asarray(rise, slab_c.dtype))

    def degree(self, age_h: Array) -> Array:
        """As ``hydration.degree`` has it for this mix."""
        return degree(age_h, self.column.hydration)

    def rate_age(self, slab_c: Array) -> Array:
        """As ``hydration.heat_rate_age`` has it for this mix. [h/h]"""
        return heat_rate_age(slab_c, self.column.hydration)


class Drying:
    """How long a bare face still loses water: until final set or the bleed water is gone.

    Parameters
    ----------
    wet : bool
        Whether it loses any. [-]
    columns : int or tuple of int
        Shape of the faces. [-]
    """

    def __init__(self, wet: bool, columns: int | tuple[int, ...]) -> None:
        self.over = not wet
        self.set_share = np.zeros(columns)
        self.water_kg_m2 = np.zeros(columns)

    def share(self, dt_h: float, face_c: Array, last_kg_m2_h: Array) -> Array:
        """Share of the coming step in which water still leaves, shape (column,)."""
        until_set = (1.0 - self.set_share) / np.maximum(_set_rate(face_c), 1e-9)
        until_dry = (BLEED_KG_M2 - self.water_kg_m2) / np.maximum(last_kg_m2_h, 1e-9)
        return np.clip(np.minimum(until_set, until_dry) / dt_h, 0.0, 1.0)

    def dry(self, dt_h: float, face_c: Array, lost_kg_m2_h: Array) -> None:
        """Let the step count."""
        self.set_share = self.set_share + dt_h * _set_rate(face_c)
        self.water_kg_m2 = self.water_kg_m2 + lost_kg_m2_h * dt_h
        self.over = bool(np.all((self.set_share >= 1.0) | (self.water_kg_m2 >= BLEED_KG_M2)))
