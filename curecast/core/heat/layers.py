"""The column's layers as numbers: slab and soil in cells, and where they start."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.soil import (
    CONCRETE,
    SOIL,
    SOIL_DEPTH_M,
    Material,
    graded_widths,
    slab_widths,
    start_profile_c,
)
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: Thickness of concrete that the column is meant for. [m]
LEAST_M, MOST_M = 0.05, 1.0

@dataclass(frozen=True)
class Column:
    """A slab on its soil, before any weather.

    Parameters
    ----------
    thickness_m : float
        Thickness of the concrete, 0.05..1. [m]
    hydration : HeatOfHydration
        Heat of the mix. [various]
    placed_c : float or ndarray, shape (column,)
        Concrete as placed. [°C]
    ground_c, deep_c : float or ndarray, shape (column,)
        Ground under the slab before the pour, and at the foot of the soil. [°C]
    under_r_m2k_w : float
        Insulation between slab and soil. [m2K/W]
    concrete, soil : Material
        Conductivity, density and specific heat. [W/m/K, kg/m3, J/kg/K]
    heat_scale : float or ndarray, shape (column,)
        Factor on the heat of hydration. [-]
    evaporates : bool
        Whether a bare fresh face loses water. [-]
    concrete_cells, soil_cells : int
        Cells of the grid; the first even, both at least 4. [-]

    Raises
    ------
    OutOfRange
        If a length, a resistance or a number of cells is not in its range.
    """

    thickness_m: float
    hydration: HeatOfHydration
    placed_c: float | Array
    ground_c: float | Array
    deep_c: float | Array
    under_r_m2k_w: float = 0.0
    concrete: Material = CONCRETE
    soil: Material = SOIL
    heat_scale: float | Array = 1.0
    evaporates: bool = True
    concrete_cells: int = 24
    soil_cells: int = 24

    def __post_init__(self) -> None:
        if not LEAST_M <= self.thickness_m <= MOST_M:
            raise OutOfRange(
                f"a slab of {self.thickness_m} m is outside {LEAST_M} to {MOST_M} m",
                "a slab is 50 mm to 1 m thick",
            )
        if not self.under_r_m2k_w >= 0.0:
            raise OutOfRange("a thermal resistance cannot be below 0 m2K/W")
        if self.concrete_cells % 2 or min(self.concrete_cells, self.soil_cells) < 4:
            raise OutOfRange("the grid wants an even number of cells, at least 4")

    @property
    def rise_k(self) -> float:
        """Rise of the concrete if all its heat stayed in and all cement reacted. [K]"""
        heat = self.hydration.heat_j_kg * self.hydration.cement_kg_m3
        return heat / self.concrete.capacity_j_m3k


@dataclass(frozen=True)
class Layers:
    """Capacities and conductances of the cells, top first.

    Parameters
    ----------
    capacity_j_m2k : ndarray, shape (cell,)
        Heat capacity of each cell. [J/m2/K]
    between_w_m2k : ndarray, shape (cell - 1,)
        From each cell's centre to the next. [W/m2/K]
    top_half_w_m2k : float
        From the face to the top cell's centre. [W/m2/K]
    deep_w_m2k : float
        From the lowest cell's centre to the foot of the soil. [W/m2/K]
    slab : int
        How many cells are concrete. [-]
    soil_depth_m : ndarray, shape (soil cell,)
        Depth of the soil's cells below the underside. [m]
    underside_share : float
        How far the underside lies from the lowest concrete cell's temperature to the highest
        soil cell's. [-]
    """

    capacity_j_m2k: Array
    between_w_m2k: Array
    top_half_w_m2k: float
    deep_w_m2k: float
    slab: int
    soil_depth_m: Array
    underside_share: float

    def bottom_c(self, temps_c: Array) -> Array:
        """The slab's underside by flux balance, shape (column,). [°C]"""
        above, below = temps_c[self.slab - 1], temps_c[self.slab]
        return np.asarray(above + self.underside_share * (below - above))

    def middle_c(self, temps_c: Array) -> Array:
        """Mid-depth of the slab, a face between two even cells, shape (column,). [°C]"""
        half = self.slab // 2
        return np.asarray(0.5 * (temps_c[half - 1] + temps_c[half]))


def layers(column: Column) -> Layers:
    """Cut a column into graded cells.

    Parameters
    ----------
    column : Column
        The slab on its soil. [various]

    Returns
    -------
    Layers
        Cells, top first. [J/m2/K, W/m2/K]
    """
    n = column.concrete_cells
    slab = slab_widths(column.thickness_m, n)
    soil = graded_widths(SOIL_DEPTH_M, column.soil_cells, float(slab[-1]))
    width = np.concatenate([slab, soil])
    is_slab = np.arange(len(width)) < n
    concrete, ground = column.concrete, column.soil
    conductivity = np.where(is_slab, concrete.conductivity_w_mk, ground.conductivity_w_mk)
    half = 0.5 * width / conductivity
    resistance = half[:-1] + half[1:]
    resistance[n - 1] += column.under_r_m2k_w
    return Layers(
        capacity_j_m2k=width * np.where(is_slab, concrete.capacity_j_m3k, ground.capacity_j_m3k),
        between_w_m2k=1.0 / resistance,
        top_half_w_m2k=float(1.0 / half[0]),
        deep_w_m2k=float(1.0 / half[-1]),
        slab=n,
        soil_depth_m=np.cumsum(soil) - 0.5 * soil,
        underside_share=float(half[n - 1] / resistance[n - 1]),
    )


def start_c(column: Column, grid: Layers, columns: int) -> tuple[Array, Array]:
    """Temperatures of all cells at the start, and at the foot of the soil.

    Parameters
    ----------
    column : Column
        The slab on its soil. [various]
    grid : Layers
        Its cells. [various]
    columns : int
        Number of columns in the batch. [-]

    Returns
    -------
    temps_c : ndarray, shape (cell, column)
        Fresh concrete on its soil. [°C]
    deep_c : ndarray, shape (column,)
        Foot of the soil. [°C]
    """
    placed = np.broadcast_to(np.asarray(column.placed_c, dtype=float), (columns,))
    ground = np.broadcast_to(np.asarray(column.ground_c, dtype=float), (columns,))
    deep = np.broadcast_to(np.asarray(column.deep_c, dtype=float), (columns,))
    soil = deep + (ground - deep) * start_profile_c(grid.soil_depth_m, 1.0, 0.0)[:, None]
    slab = np.broadcast_to(placed, (grid.slab, columns))
    return np.vstack([slab, soil]), deep
