"""The half cross-section in cells: slab, soil beside and below, and what joins them.

x runs from the slab's centre line to its side and on through the soil beside; z runs down from
the slab's top. The corner above the soil beside is air and holds no cell. Faces are the outer
sides of cells that meet the air: the top, the side that stands above grade, the soil beside.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.soil import SOIL_DEPTH_M, Material, graded_widths
from curecast.errors import OutOfRange

Array = NDArray[np.float64]
Index = NDArray[np.int64]

#: Soil beside the slab, from its side outwards. [m]
SOIL_BESIDE_M = 2.0
TOP, SIDE, BESIDE = 0, 1, 2


@dataclass(frozen=True)
class SectionShape:
    """The cross-section as built; ``x`` counts cells across, ``z`` cells down.

    Parameters
    ----------
    thickness_m : float
        Thickness of the slab, 0.05..1. [m]
    width_m : float
        Narrow width of the slab in plan, 0.2..50. [m]
    grade_m : float
        Depth of the soil's surface beside the slab below the slab's top, 0..thickness. [m]
    anchor_edge_m : float
        Distance of the anchors from the edge. [m]
    under_r_m2k_w, beside_r_m2k_w : float
        Board under the slab, and between slab and soil beside. [m2K/W]
    concrete, soil : Material
        Conductivity, density and specific heat. [W/m/K, kg/m3, J/kg/K]
    slab_x, slab_z, soil_x, soil_z : int
        Cells of the slab and of the soil. [-]
    first_m : float
        Width of the cells at the faces and at the edge. [m]

    Raises
    ------
    OutOfRange
        If the width is out of its range, or grade or anchors lie outside the slab.
    """

    thickness_m: float
    width_m: float
    grade_m: float
    anchor_edge_m: float
    under_r_m2k_w: float
    beside_r_m2k_w: float
    concrete: Material
    soil: Material
    slab_x: int
    slab_z: int
    soil_x: int
    soil_z: int
    first_m: float

    def __post_init__(self) -> None:
        if not 0.2 <= self.width_m <= 50.0:
            raise OutOfRange(f"a slab {self.width_m} m wide is outside 0.2 to 50 m")
        if not 0.0 <= self.grade_m <= self.thickness_m:
            raise OutOfRange("grade must lie between the slab's top and its underside")
        if not 0.0 <= self.anchor_edge_m <= 0.5 * self.width_m:
            raise OutOfRange("the anchors' edge distance must lie within half the slab's width")


@dataclass(frozen=True, eq=False)
class SectionGrid:
    """Cells of a section, per metre of its length.

    Parameters
    ----------
    dx_m, dz_m : ndarray, shape (x,) and (z,)
        Widths and heights of the cells. [m]
    slab_shape : tuple of int
        Cells of the slab, (z, x). [-]
    above : int
        Rows of the slab that stand above grade. [-]
    number : ndarray of int, shape (z, x)
        Which cell lies there, -1 where there is air. [-]
    capacity_j_mk : ndarray, shape (cell,)
        Heat capacity. [J/m/K]
    conductance_w_mk : ndarray, shape (cell, cell)
        Heat that leaves a cell per kelvin of each, the deep soil at zero. [W/m/K]
    half_x_m2k_w, half_z_m2k_w : ndarray, shape (z, x)
        Resistance from a cell's centre to its sides. [m2K/W]
    face_cell, face_kind : ndarray of int, shape (face,)
        The cell behind each face; top, side or soil beside. [-]
    face_width_m, face_r_m2k_w : ndarray, shape (face,)
        Width of a face, and resistance to its cell's centre. [m, m2K/W]
    """

    dx_m: Array
    dz_m: Array
    slab_shape: tuple[int, int]
    above: int
    number: Index
    capacity_j_mk: Array
    conductance_w_mk: Array = field(repr=False)
    half_x_m2k_w: Array = field(repr=False)
    half_z_m2k_w: Array = field(repr=False)
    face_cell: Index
    face_kind: Index
    face_width_m: Array
    face_r_m2k_w: Array

    @property
    def x_m(self) -> Array:
        """Distance of the cells' centres from the centre line. [m]"""
        return np.asarray(np.cumsum(self.dx_m) - 0.5 * self.dx_m)

    @property
    def z_m(self) -> Array:
        """Depth of the cells' centres below the slab's top. [m]"""
        return np.asarray(np.cumsum(self.dz_m) - 0.5 * self.dz_m)

    @property
    def slab(self) -> Index:
        """The concrete's cells, row by row. [-]"""
        rows, columns = self.slab_shape
        return np.asarray(self.number[:rows, :columns].ravel())

    @property
    def depth_of_cell_m(self) -> Array:
        """Depth of every cell's centre below the slab's top. [m]"""
        return np.asarray(np.broadcast_to(self.z_m[:, None], self.number.shape)[self.number >= 0])

    def area_m2(self) -> Array:
        """Cross-section of every cell. [m2]"""
        return np.asarray((self.dz_m[:, None] * self.dx_m)[self.number >= 0])


def _through(shape: SectionShape) -> Array:
    """Heights of the slab's cells: fine at top and underside, and at grade between."""
    heights = []
    for part in (shape.grade_m, shape.thickness_m - shape.grade_m):
        if part > 0.0:
            count = max(4, round(0.5 * shape.slab_z * part / shape.thickness_m))
            half = graded_widths(0.5 * part, count, shape.first_m)
            heights += [half, half[::-1]]
    return np.concatenate(heights)


def section_grid(shape: SectionShape) -> SectionGrid:
    """Cut a section into graded cells.

    Parameters
    ----------
    shape : SectionShape
        The cross-section. [various]

    Returns
    -------
    SectionGrid
        Cells numbered row by row from the top, the centre line first. [various]
    """
    slab_x = graded_widths(0.5 * shape.width_m, shape.slab_x, shape.first_m)[::-1]
    dx = np.concatenate([slab_x, graded_widths(SOIL_BESIDE_M, shape.soil_x, shape.first_m)])
    slab_z = _through(shape)
    dz = np.concatenate([slab_z, graded_widths(SOIL_DEPTH_M, shape.soil_z, shape.first_m)])
    nz, nx = len(slab_z), len(slab_x)
    above = int(np.sum(np.cumsum(slab_z) <= shape.grade_m + 1e-9))
    there = np.ones((len(dz), len(dx)), dtype=bool)
    there[:above, nx:] = False
    number = np.where(there, np.cumsum(there).reshape(there.shape) - 1, -1)
    is_slab = np.zeros_like(there)
    is_slab[:nz, :nx] = True
    concrete, soil = shape.concrete, shape.soil
    k = np.where(is_slab, concrete.conductivity_w_mk, soil.conductivity_w_mk)
    capacity = np.where(is_slab, concrete.capacity_j_m3k, soil.capacity_j_m3k)
    half_x, half_z = 0.5 * dx / k, 0.5 * dz[:, None] / k
    across, down = half_x[:, :-1] + half_x[:, 1:], half_z[:-1] + half_z[1:]
    across[above:nz, nx - 1] += shape.beside_r_m2k_w
    down[nz - 1, :nx] += shape.under_r_m2k_w
    top, side, beside = number[0, :nx], number[:above, nx - 1], number[above, nx:]
    return SectionGrid(
        dx_m=dx,
        dz_m=dz,
        slab_shape=(nz, nx),
        above=above,
        number=number,
        capacity_j_mk=(capacity * dz[:, None] * dx)[there],
        conductance_w_mk=_joined(number, dz[:, None] / across, dx / down, dx / half_z[-1]),
        half_x_m2k_w=half_x,
        half_z_m2k_w=half_z,
        face_cell=np.concatenate([top, side, beside]),
        face_kind=np.repeat([TOP, SIDE, BESIDE], [len(top), len(side), len(beside)]),
        face_width_m=np.concatenate([dx[:nx], dz[:above], dx[nx:]]),
        face_r_m2k_w=np.concatenate([half_z[0, :nx], half_x[:above, nx - 1], half_z[above, nx:]]),
    )


def _joined(number: Index, across: Array, down: Array, foot: Array) -> Array:
    """The matrix of conductances, the deep soil under the foot at zero."""
    cells = int(number.max()) + 1
    matrix = np.zeros((cells, cells))
    pairs = ((number[:, :-1], number[:, 1:], across), (number[:-1], number[1:], down))
    for one, other, conductance in pairs:
        joined = (one >= 0) & (other >= 0)
        a, b, g = one[joined], other[joined], conductance[joined]
        np.add.at(matrix, (a, a), g)
        np.add.at(matrix, (b, b), g)
        np.add.at(matrix, (a, b), -g)
        np.add.at(matrix, (b, a), -g)
    matrix[number[-1], number[-1]] += foot
    return matrix
