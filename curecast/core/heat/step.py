"""What one step of a march leaves behind."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.covers import CoverState
from curecast.core.heat.face import Face
from curecast.core.heat.layers import Layers

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
    warmed_k : ndarray, shape (concrete cell, column)
        What the step's heat of hydration alone raised each cell by. [K]
    flux_w_m2 : ndarray, shape (column,)
        Into the slab through its face, mean over the step. [W/m2]
    foot_k : ndarray, shape (column,)
        The foot of the soil over the lowest cell, mean over the step. [K]
    grid : Layers
        The cells. [various]
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
    warmed_k: Array
    flux_w_m2: Array
    foot_k: Array
    grid: Layers
    field_c: Array = field(repr=False)

    @property
    def sol_air_c(self) -> Array:
        """Driving temperature over the face. [°C]"""
        return self.face.sol_air_c(self.surface_c)

    @property
    def heat_j_m2(self) -> Array:
        """Heat of hydration that the step released, shape (column,). [J/m2]"""
        return np.asarray(self.grid.capacity_j_m2k[: self.grid.slab] @ self.warmed_k)

    @property
    def top_j_m2(self) -> Array:
        """Heat that came in through the top face, shape (column,). [J/m2]"""
        return np.asarray(3600.0 * self.dt_h * self.flux_w_m2)

    @property
    def deep_j_m2(self) -> Array:
        """Heat that came in from the foot of the soil, shape (column,). [J/m2]"""
        return np.asarray(3600.0 * self.dt_h * self.grid.deep_w_m2k * self.foot_k)
