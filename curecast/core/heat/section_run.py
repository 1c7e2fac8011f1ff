"""The state of an edge section for many members, and one step of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.hydrating import Drying, Hydrating
from curecast.core.heat.layers import Column
from curecast.core.heat.section_faces import FaceBalance, FaceDrive, balance_faces
from curecast.core.heat.section_grid import SectionShape
from curecast.core.heat.section_modes import StepOperator, section_modes, single_modes
from curecast.core.heat.soil import start_profile_c
from curecast.core.precision import SINGLE

Array = NDArray[np.float64]

#: Passes of the faces' balance in a step, and where cover or form has just changed.
PASSES, PASSES_AFRESH = 3, 8


class SectionRun:
    """A section on its way through weather.

    Parameters
    ----------
    column : Column
        Mix, start temperatures and soil, per member. [various]
    shape : SectionShape
        The cross-section. [various]
    like : ndarray, shape (member,)
        How many run side by side, and in which precision. [-]
    """

    def __init__(self, column: Column, shape: SectionShape, like: Array) -> None:
        single = like.dtype == SINGLE
        self.modes = single_modes(shape) if single else section_modes(shape)
        grid, members = self.modes.grid, len(like)
        placed, ground, self.deep_c = (
            np.broadcast_to(np.asarray(value, dtype=like.dtype), (members,))
            for value in (column.placed_c, column.ground_c, column.deep_c)
        )
        under_m = np.maximum(grid.depth_of_cell_m - shape.thickness_m, 0.0)
        profile = start_profile_c(under_m, 1.0, 0.0)[:, None].astype(like.dtype)
        start_k = profile * (ground - self.deep_c)
        start_k[grid.slab] = placed - self.deep_c
        self.state = self.modes.started(start_k)
        self.n_slab, self.n_faces = len(grid.slab), len(grid.face_cell)
        self.tops = grid.slab_shape[1]
        self.behind_c = start_k[grid.face_cell] + self.deep_c
        self.hydrating = Hydrating(column, start_k[grid.slab] + self.deep_c)
        self.drying = Drying(column.evaporates, (self.tops, members))
        self.lost_kg_m2_h = np.zeros((self.tops, members), like.dtype)
        self.to_j_m3 = column.concrete.capacity_j_m3k
        self.area_m2 = grid.area_m2()[grid.slab].astype(like.dtype)
        self.width_m = grid.face_width_m.astype(like.dtype)
        self.heat_j_m, self.faces_j_m = np.zeros_like(like), np.zeros_like(like)
        self.points_c = self.modes.read[self.n_slab + self.n_faces :] @ self.state + self.deep_c
        self._operators: dict[float, StepOperator] = {}

    def face(self, drive: FaceDrive, covered: bool) -> FaceBalance:
        """The faces under new conditions, the cells behind them unchanged.

        Parameters
        ----------
        drive : FaceDrive
            What drives the faces now. [various]
        covered : bool
            Whether a cover stops evaporation.

        Returns
        -------
        FaceBalance
            Faces in balance. [°C, W/m2]
        """
        wet = None
        if not (covered or self.drying.over):
            wet = np.ones((self.tops, len(self.deep_c)))
        skin = np.diag(self.modes.grid.face_r_m2k_w).astype(self.behind_c.dtype)
        return balance_faces(drive, self.behind_c, skin, None, wet, PASSES_AFRESH)

    def _operator(self, dt_s: float) -> StepOperator:
        key = round(dt_s, 6)
        if key not in self._operators:
            self._operators[key] = self.modes.operator(key)
        return self._operators[key]

    def step(self, dt_h: float, start: FaceBalance, drive: FaceDrive, covered: bool) -> FaceBalance:
        """One step of conduction, heat, drying and ages of the concrete.

        Parameters
        ----------
        dt_h : float
            Length of the step, above 0. [h]
        start : FaceBalance
            The faces at the step's start, under the conditions that hold in it. [various]
        drive : FaceDrive
            What drives the faces at its end. [various]
        covered : bool
            Whether a cover stops evaporation.

        Returns
        -------
        FaceBalance
            The faces at its end. [°C, W/m2]
        """
        dt_s, modes, deep = dt_h * 3600.0, self.modes, self.deep_c
        op = self._operator(dt_s)
        wet = None
        if not (covered or self.drying.over):
            wet = self.drying.share(dt_h, start.face_c[: self.tops], self.lost_kg_m2_h)
        given = self.hydrating.warmed_k(dt_h) * self.to_j_m3  # J/m3
        flux = start.flux_w_m2(wet)
        known = op.keep * self.state + op.even * (modes.from_slab @ (given / dt_s))
        known += op.from_start * (modes.from_faces @ flux)
        read = modes.read @ known
        faces = slice(self.n_slab, self.n_slab + self.n_faces)
        end = balance_faces(drive, read[faces] + deep, op.to_faces, start, wet, PASSES)
        flux_end = end.flux_w_m2(wet)
        self.state = known + op.from_end * (modes.from_faces @ flux_end)
        read += op.to_cells @ flux_end
        read += deep
        self.behind_c = read[faces]
        self.points_c = read[faces.stop :] + modes.point_fluxes @ flux_end
        self.hydrating.age(read[: self.n_slab], dt_h)
        self.faces_j_m = self.faces_j_m + 0.5 * dt_s * (self.width_m @ (flux + flux_end))
        self.heat_j_m = self.heat_j_m + self.area_m2 @ given
        if not self.drying.over:
            self._dry(dt_h, start, end, wet)
        return end

    def _dry(self, dt_h: float, start: FaceBalance, end: FaceBalance, wet: Array | None) -> None:
        """Let the step's loss of water and its setting count."""
        lost = np.zeros_like(self.lost_kg_m2_h)
        if wet is not None:
            mean = 0.5 * (start.vapour_w_m2 + end.vapour_w_m2)
            lost = wet * mean * 3600.0 / surface.LATENT_J_KG
        self.lost_kg_m2_h = lost
        self.drying.dry(dt_h, end.face_c[: self.tops], lost)

    def field_c(self) -> Array:
        """The whole section, shape (z, x, member), NaN in the air beside. [°C]"""
        number = self.modes.grid.number
        cells = self.modes.cells @ self.state + self.deep_c
        return np.where((number >= 0)[:, :, None], cells[number], np.nan)
