"""What one step of a march leaves behind."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.covers import CoverState
from curecast.core.heat.face import Face

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Step:
    """The slab at the end of one step, one value a column of the batch.

    Parameters
    ----------
    t_h, dt_h : float
        The step's end after the start, and its length. [h]
    surface_c, middle_c, bottom_c : ndarray, shape (column,)
        Top face, mid-depth and underside, by flux balance. [°C]
    coldest_c : ndarray, shape (column,)
        Coldest point of the concrete along the line. [°C]
    face : Face
        What drives the face. [various]
    cover : CoverState
        What lay over the slab during the step. [various]
    evaporation_kg_m2_h : ndarray, shape (column,)
        Mean over the step. [kg/m2/h]
    heat_j_m2 : ndarray, shape (column,)
        Heat of hydration that the step released. [J/m2]
    top_j_m2, deep_j_m2 : ndarray, shape (column,)
        Heat that came in through the top face, and from the foot of the soil. [J/m2]
    field_c : ndarray, shape (cell, column)
        All cells, top first. [°C]
    """

    t_h: float
    dt_h: float
    surface_c: Array
    middle_c: Array
    bottom_c: Array
    coldest_c: Array
    face: Face
    cover: CoverState
    evaporation_kg_m2_h: Array
    heat_j_m2: Array
    top_j_m2: Array
    deep_j_m2: Array
    field_c: Array = field(repr=False)

    @property
    def sol_air_c(self) -> Array:
        """Driving temperature over the face. [°C]"""
        return self.face.sol_air_c(self.surface_c)
