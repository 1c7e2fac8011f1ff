"""The matrices of several sections side by side, the smaller ones filled up with nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.section_grid import BESIDE, TOP
from curecast.core.heat.section_modes import SectionModes
from curecast.core.heat.section_points import POINTS

Array = NDArray[np.float64]
#: In single precision.
Single = NDArray[Any]


@dataclass(frozen=True, eq=False)
class Operator:
    """What one step does to every lane.

    Parameters
    ----------
    keep, even, from_start, from_end : ndarray, shape (lane, mode)
        As in ``StepOperator``; ``even`` per heat given, not per power. [-, -, s, s]
    to_faces, to_cells : ndarray, shape (lane, face, face) and (lane, read, face)
        As in ``StepOperator``. [m2K/W]
    """

    keep: Single
    even: Single
    from_start: Single
    from_end: Single
    to_faces: Single
    to_cells: Single


class EdgeMatrices:
    """What reads and feeds the modes of several sections.

    What is read of a lane stands in one order: its slab's cells, the cells at its faces, its
    points; each group is as long as the longest of any lane.

    Parameters
    ----------
    modes : sequence of SectionModes
        One a lane. [various]
    """

    def __init__(self, modes: Sequence[SectionModes]) -> None:
        self.modes = list(modes)
        self.modes_most = max(len(m.rate_s) for m in modes)
        self.slab_most = max(len(m.grid.slab) for m in modes)
        self.faces_most = max(len(m.grid.face_cell) for m in modes)
        self.faces = slice(self.slab_most, self.slab_most + self.faces_most)
        self.points = slice(self.faces.stop, self.faces.stop + len(POINTS))
        n, s, f = self.modes_most, self.slab_most, self.faces_most
        self.read = self._stacked([self._spread(m, m.read) for m in modes], (self.points.stop, n))
        self.from_slab = self._stacked([m.from_slab for m in modes], (n, s))
        self.from_faces = self._stacked([m.from_faces for m in modes], (n, f))
        self.point_fluxes = self._stacked([m.point_fluxes for m in modes], (len(POINTS), f))
        self.skin = self._stacked([np.diag(m.grid.face_r_m2k_w) for m in modes], (f, f))
        self.to_j_m3 = np.array(
            [[m.shape.concrete.capacity_j_m3k] for m in modes], dtype=np.float32
        )
        self.kind = np.full((len(modes), f), BESIDE)
        for lane, m in enumerate(modes):
            self.kind[lane, : len(m.grid.face_kind)] = m.grid.face_kind
        self.tops = int(np.sum(modes[0].grid.face_kind == TOP))
        self._index: dict[tuple[int, float], int] = {}
        self._found: list[tuple[Array, ...]] = []
        self._stack: list[Single] | None = None

    def _stacked(self, parts: Sequence[Array], shape: tuple[int, ...]) -> Single:
        out = np.zeros((len(parts), *shape), dtype=np.float32)
        for lane, part in enumerate(parts):
            own: Any = (lane, *(slice(size) for size in part.shape))
            out[own] = part
        return out

    def _spread(self, modes: SectionModes, rows: Array) -> Array:
        """Rows of what one lane reads, moved to where they stand for all lanes."""
        s, f = len(modes.grid.slab), len(modes.grid.face_cell)
        out = np.zeros((self.points.stop, rows.shape[1]))
        out[:s], out[self.slab_most : self.slab_most + f] = rows[:s], rows[s : s + f]
        out[self.points] = rows[s + f :]
        return out

    def started(self, cells_k: Sequence[Array]) -> Single:
        """Modes of each lane's cells, above its deep soil, shape (lane, mode)."""
        own = [m.started(k[:, None])[:, 0] for m, k in zip(self.modes, cells_k, strict=True)]
        return self._stacked(own, (self.modes_most,))

    def index(self, lane: int, dt_h: Array) -> NDArray[np.int64]:
        """Where the operators of a lane's steps stand in the stack."""
        keys = [(id(self.modes[lane]), round(dt * 3600.0, 6)) for dt in dt_h.tolist()]
        for key in keys:
            if key not in self._index:
                self._index[key] = len(self._found)
                self._found.append(self._solved(self.modes[lane], key[1]))
                self._stack = None
        return np.array([self._index[key] for key in keys])

    def _solved(self, modes: SectionModes, dt_s: float) -> tuple[Array, ...]:
        op = modes.operator(dt_s)
        rows = [part[:, 0] for part in (op.keep, op.even / dt_s, op.from_start, op.from_end)]
        return (*rows, op.to_faces, self._spread(modes, op.to_cells))

    def pick(self, index: NDArray[np.int64]) -> Operator:
        """Every lane's operator of its coming step."""
        if self._stack is None:
            n, f = self.modes_most, self.faces_most
            shapes = [(n,)] * 4 + [(f, f), (self.points.stop, f)]
            parts = zip(*self._found, strict=True)
            self._stack = [self._stacked(p, s) for p, s in zip(parts, shapes, strict=True)]
        return Operator(*(part[index] for part in self._stack))
