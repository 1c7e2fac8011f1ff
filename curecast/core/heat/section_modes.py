"""Conduction in a section, solved exactly in time by its own modes.

With the air's fluxes and the heat of hydration as sources, what remains of a section is linear
and never changes: ``C dT/dt = -K T + sources``. Its symmetric eigenproblem is solved once for a
shape; then a step of any length is a multiplication mode by mode, exact for fluxes that run
linearly through the step and for heat given off evenly.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.section_grid import SectionGrid, SectionShape, section_grid
from curecast.core.heat.section_points import point_weights
from curecast.core.precision import SINGLE

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class StepOperator:
    """What one step length does; all per mode or per reading.

    Parameters
    ----------
    keep : ndarray, shape (mode, 1)
        What is left of the start. [-]
    even, from_start, from_end : ndarray, shape (mode, 1)
        What becomes of a source held through the step, and of one that fades from its
        start or grows to its end. [s]
    to_faces : ndarray, shape (face, face)
        Rise of the faces per flux at the end of the step, the face's own skin included. [m2K/W]
    to_cells : ndarray, shape (read, face)
        Rise of the cells read per flux at the end of the step. [m2K/W]
    """

    keep: Array
    even: Array
    from_start: Array
    from_end: Array
    to_faces: Array
    to_cells: Array


@dataclass(frozen=True, eq=False)
class SectionModes:
    """A section's modes, and what is read from them: slab cells, cells at faces, points.

    Parameters
    ----------
    shape : SectionShape
        The cross-section. [various]
    grid : SectionGrid
        Its cells. [various]
    rate_s : ndarray, shape (mode,)
        How fast each mode fades. [1/s]
    cells : ndarray, shape (cell, mode)
        The modes. [-]
    from_slab : ndarray, shape (mode, slab cell)
        Sources in the slab, per W/m3. [-]
    from_faces : ndarray, shape (mode, face)
        Fluxes at the faces, per W/m2. [-]
    read : ndarray, shape (read, mode)
        Reads the slab's cells, then the cells at the faces, then the points. [-]
    point_fluxes : ndarray, shape (point, face)
        What the points owe to the fluxes. [m2K/W]
    """

    shape: SectionShape
    grid: SectionGrid
    rate_s: Array
    cells: Array = field(repr=False)
    from_slab: Array = field(repr=False)
    from_faces: Array = field(repr=False)
    read: Array = field(repr=False)
    point_fluxes: Array = field(repr=False)

    def single(self) -> SectionModes:
        """The same in single precision."""
        names = ("cells", "from_slab", "from_faces", "read", "point_fluxes")
        return replace(self, **{name: getattr(self, name).astype(SINGLE) for name in names})

    def started(self, temps_c: Array) -> Array:
        """Modes of a field of cells, shape (mode, member); temperatures above the deep soil."""
        known = self.grid.capacity_j_mk[:, None] * temps_c
        return np.asarray(self.cells.T @ known.astype(self.cells.dtype))

    def operator(self, dt_s: float) -> StepOperator:
        """All that a step of ``dt_s`` seconds needs."""
        z = self.rate_s * dt_s
        keep = np.exp(-z)
        even = dt_s * _first(z)
        end = dt_s * _second(z)
        to_cells = self.read @ (end[:, None] * self.from_faces)
        slab, faces = len(self.grid.slab), len(self.grid.face_cell)
        to_faces = to_cells[slab : slab + faces] + np.diag(self.grid.face_r_m2k_w)
        kind = self.cells.dtype
        keep, even, start, end = (x[:, None].astype(kind) for x in (keep, even, even - end, end))
        return StepOperator(
            keep, even, start, end, to_faces.astype(kind), to_cells.astype(kind)
        )


@lru_cache(maxsize=2)
def single_modes(shape: SectionShape) -> SectionModes:
    """A section's modes in single precision, for many columns; kept too.

    Parameters
    ----------
    shape : SectionShape
        The cross-section. [various]

    Returns
    -------
    SectionModes
        As of ``section_modes``. [various]
    """
    return section_modes(shape).single()


def _first(z: Array) -> Array:
    """(1 - exp(-z)) / z."""
    small = z < 1e-8
    return np.where(small, 1.0 - 0.5 * z, -np.expm1(-z) / np.where(small, 1.0, z))


def _second(z: Array) -> Array:
    """(1 - (1 - exp(-z)) / z) / z."""
    small = z < 1e-3
    series = 0.5 - z * (1.0 / 6.0 - z * (1.0 / 24.0 - z / 120.0))
    return np.where(small, series, (1.0 - _first(z)) / np.where(small, 1.0, z))


@lru_cache(maxsize=32)
def section_modes(shape: SectionShape) -> SectionModes:
    """Solve a section for its modes; kept for the last few shapes.

    Parameters
    ----------
    shape : SectionShape
        The cross-section. [various]

    Returns
    -------
    SectionModes
        Modes, and the matrices that feed and read them. [various]
    """
    grid = section_grid(shape)
    root = 1.0 / np.sqrt(grid.capacity_j_mk)
    rate, vectors = np.linalg.eigh(grid.conductance_w_mk * root[:, None] * root)
    cells = root[:, None] * vectors
    on_cells, on_fluxes = point_weights(shape, grid)
    area = grid.area_m2()[grid.slab]
    return SectionModes(
        shape=shape,
        grid=grid,
        rate_s=rate,
        cells=cells,
        from_slab=np.ascontiguousarray(cells[grid.slab].T) * area,
        from_faces=np.ascontiguousarray(cells[grid.face_cell].T) * grid.face_width_m,
        read=np.vstack([cells[grid.slab], cells[grid.face_cell], on_cells @ cells]),
        point_fluxes=on_fluxes,
    )
