"""Edge sections of several slabs, stepped together: the scheme of ``heat.section``, one member
each, in single precision. Sections of unlike size are filled up with cells that touch nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.columns import Heat, Single
from curecast.core.abreast.edge_lane import Driven, Driving, EdgeLane, EdgeTrail, driven
from curecast.core.abreast.edge_matrices import EdgeMatrices, Operator
from curecast.core.concrete.setting import _set_rate
from curecast.core.heat import surface
from curecast.core.heat.hydrating import BLEED_KG_M2
from curecast.core.heat.section_history import corner_c
from curecast.core.heat.section_points import POINTS
from curecast.core.heat.section_run import PASSES, PASSES_AFRESH
from curecast.core.heat.soil import start_profile_c

Array = NDArray[np.float64]

_ARRIS, _TOP, _MID, _CENTRE = (
    POINTS.index(name) for name in ("arris", "top_anchor", "mid_anchor", "centre_top")
)
_RADIATION = np.float32(4.0 * surface.EMISSIVITY * surface.SIGMA)
_HALF = np.float32(0.5)


def _times(matrix: Single, vector: Single) -> Single:
    """Every lane's matrix times its vector."""
    return np.asarray((matrix @ vector[:, :, None])[:, :, 0])


class _Faces:
    """The faces of all lanes in balance with their air, as ``heat.section_faces``."""

    def __init__(self, kind: NDArray[np.int64], tops: int) -> None:
        self._kind, self.tops = kind, tops
        self._lane = np.arange(len(kind))[:, None]
        self.flux = np.zeros(kind.shape, dtype=np.float32)
        self.vapour = np.zeros((len(kind), tops), dtype=np.float32)
        self.face_c = np.zeros(kind.shape, dtype=np.float32)

    def driving(self, rows: Single) -> tuple[Single, ...]:
        """Air, gain, convection and resistance of every face; rows (lane, 4, kind)."""
        return tuple(rows[self._lane, i, self._kind] for i in range(4))

    def inward(self, wet: Single | None) -> Single:
        """Flux inwards where ``wet`` of the time water leaves the top, shape (lane, face)."""
        if wet is None:
            return self.flux
        flux = self.flux.copy()
        flux[:, : self.tops] -= wet * self.vapour
        return flux

    def balance(
        self, rows: Single, moist: tuple[Single, Single], known_c: Single, response: Single,
        flux: Single, wet: Single | None, passes: int,
    ) -> tuple[Single, Single, Single]:  # fmt: skip
        """Temperature, dry flux and vapour of all faces."""
        air, gain, convection, r = self.driving(rows)
        most, n = np.abs(response).sum(axis=2), self.tops
        vapour = np.zeros_like(self.vapour)
        for _ in range(passes):
            face_c = known_c + _times(response, flux)
            mean_k = _HALF * (air + face_c) + np.float32(surface.KELVIN)
            h = convection + _RADIATION * (mean_k * mean_k * mean_k)
            slope = h / (np.float32(1.0) + r * h)
            gap = (gain / h + air - face_c) * slope - flux
            if wet is not None:
                heat, steeper = surface.evaporation_w_m2(face_c[:, :n], *moist)
                gap[:, :n] -= wet * heat
                slope[:, :n] += wet * steeper
            flux = flux + gap / (np.float32(1.0) + slope * most)
        face_c = known_c + _times(response, flux)
        if wet is None:
            return face_c, flux, vapour
        vapour = surface.evaporation_w_m2(face_c[:, :n], *moist)[0].astype(np.float32)
        dry = flux.copy()
        dry[:, :n] += wet * vapour
        return face_c, dry, vapour


class _Run:
    """All lanes' sections on their way."""

    def __init__(self, lanes: Sequence[EdgeLane]) -> None:
        self.matrices = EdgeMatrices([lane.modes() for lane in lanes])
        own = self.matrices
        starts = [_start(lane) for lane in lanes]
        self.deep = np.array([[deep] for _, deep in starts], dtype=np.float32)
        self.state = own.started([cells_k for cells_k, _ in starts])
        read = _times(own.read, self.state) + self.deep
        self.faces = _Faces(own.kind, own.tops)
        self.heat = Heat([lane.edge.column for lane in lanes], read[:, : own.slab_most, None])
        self.behind_c, self.points_c = read[:, own.faces], read[:, own.points]
        self.over = np.array([not lane.edge.column.evaporates for lane in lanes])
        self.set_share = np.zeros((len(lanes), own.tops))
        self.water = np.zeros_like(self.set_share)
        self.lost = np.zeros_like(self.set_share)

    def afresh(
        self, which: NDArray[np.bool_], rows: Single, moist: tuple[Single, Single],
        covered: NDArray[np.bool_],
    ) -> None:  # fmt: skip
        """The faces of some lanes under new conditions, the cells behind them unchanged."""
        wet = None
        if not (covered | self.over).all():
            wet = np.ones_like(self.faces.vapour)
            wet[covered | self.over] = 0.0
        none = np.zeros_like(self.faces.flux)
        found = self.faces.balance(
            rows, moist, self.behind_c, self.matrices.skin, none, wet, PASSES_AFRESH
        )
        kept = (self.faces.face_c, self.faces.flux, self.faces.vapour)
        face_c, flux, vapour = (
            np.where(which[:, None], new, old) for new, old in zip(found, kept, strict=True)
        )
        self.faces.face_c, self.faces.flux, self.faces.vapour = face_c, flux, vapour

    def wet(self, dt_h: Array, covered: NDArray[np.bool_]) -> Single | None:
        """Share of the coming step in which water leaves each top face."""
        dry = covered | self.over
        if dry.all():
            return None
        rate = _set_rate(self.faces.face_c[:, : self.faces.tops])
        until_set = (1.0 - self.set_share) / np.maximum(rate, 1e-9)
        until_dry = (BLEED_KG_M2 - self.water) / np.maximum(self.lost, 1e-9)
        share = np.clip(np.minimum(until_set, until_dry) / dt_h[:, None], 0.0, 1.0)
        share[dry] = 0.0
        return np.asarray(share, dtype=np.float32)

    def step(
        self, dt_h: Array, op: Operator, rows: Single, moist: tuple[Single, Single],
        covered: NDArray[np.bool_],
    ) -> None:  # fmt: skip
        """One step of conduction, heat and drying of every lane."""
        own, faces = self.matrices, self.faces
        single = dt_h.astype(np.float32)[:, None, None]
        wet, before = self.wet(dt_h, covered), faces.vapour
        given = self.heat.warmed_k(single)[:, :, 0] * own.to_j_m3
        flux = faces.inward(wet)
        known = op.keep * self.state
        known += op.even * _times(own.from_slab, given)
        known += op.from_start * _times(own.from_faces, flux)
        read = _times(own.read, known)
        faces.face_c, faces.flux, faces.vapour = faces.balance(
            rows, moist, read[:, own.faces] + self.deep, op.to_faces, flux, wet, PASSES
        )
        end = faces.inward(wet)
        self.state = known + op.from_end * _times(own.from_faces, end)
        read += _times(op.to_cells, end)
        read += self.deep
        self.behind_c = read[:, own.faces]
        self.points_c = read[:, own.points] + _times(own.point_fluxes, end)
        self.heat.age(read[:, : own.slab_most, None], single)
        if not self.over.all():
            self._dry(dt_h[:, None], before, wet)

    def _dry(self, dt_h: Array, before: Single, wet: Single | None) -> None:
        """Let the step's loss of water and its setting count."""
        self.lost = np.zeros_like(self.water)
        if wet is not None:
            mean = 0.5 * (before + self.faces.vapour)
            self.lost += wet * mean * 3600.0 / surface.LATENT_J_KG
        going = ~self.over
        rate = _set_rate(self.faces.face_c[:, : self.faces.tops])
        self.set_share[going] += (dt_h * rate)[going]
        self.water[going] += (dt_h * self.lost)[going]
        self.over |= np.all((self.set_share >= 1.0) | (self.water >= BLEED_KG_M2), axis=1)


def _start(lane: EdgeLane) -> tuple[Array, float]:
    """All cells above the deep soil at the start, and the deep soil. [K, °C]"""
    column, grid = lane.edge.column, lane.modes().grid
    placed, ground, deep = (
        float(np.ravel(np.asarray(v, dtype=float))[0])
        for v in (column.placed_c, column.ground_c, column.deep_c)
    )
    under_m = np.maximum(grid.depth_of_cell_m - lane.edge.shape.thickness_m, 0.0)
    cells_k = start_profile_c(under_m, 1.0, 0.0) * (ground - deep)
    cells_k[grid.slab] = placed - deep
    return cells_k, deep


def march_edges(lanes: Sequence[EdgeLane]) -> list[EdgeTrail]:
    """March edge sections side by side, each in its own weather and to its own end.

    Parameters
    ----------
    lanes : sequence of EdgeLane
        Edges with as many cells across, whatever their thickness. [various]

    Returns
    -------
    list of EdgeTrail
        One a lane; within 0.002 °C of ``heat.section.march`` from the first hour on. [various]
    """
    run, times = _Run(lanes), [np.array(lane.times_h()) for lane in lanes]
    parts = [driven(lane, t.tolist()) for lane, t in zip(lanes, times, strict=True)]
    driving = Driving(parts)
    index = np.stack([run.matrices.index(i, d) for i, d in enumerate(driving.dt_h.T)], axis=1)
    steps = len(driving.dt_h)
    kept = np.empty((steps + 1, len(lanes), len(POINTS) + 1), dtype=np.float32)
    kept[0, :, :-1], kept[0, :, -1] = run.points_c, run.points_c[:, _CENTRE]
    op = run.matrices.pick(index[0])
    for k in range(steps):
        if k and np.any(index[k] != index[k - 1]):
            op = run.matrices.pick(index[k])
        covered, afresh = driving.covered[k], driving.afresh[k]
        if afresh.any():
            run.afresh(afresh, driving.start[k], driving.start_moist(k), covered)
        run.step(driving.dt_h[k], op, driving.end[k], driving.end_moist(k), covered)
        kept[k + 1, :, :-1], kept[k + 1, :, -1] = run.points_c, run.faces.face_c[:, 0]
    rows = zip(times, parts, kept.transpose(1, 0, 2), strict=True)
    return [_trail(t, part, own[: len(t)].astype(float)) for t, part, own in rows]


def _trail(times_h: Array, part: Driven, kept: Array) -> EdgeTrail:
    """What is kept of one lane, hour by hour; ``kept`` holds its points and the inmost top
    face at every instant."""
    arris, face_c = kept[:, _ARRIS], kept[1:, -1]
    air, gain, convection = (part.end[:, i, 0].astype(float) for i in range(3))
    sol_c = air + gain / (convection + surface.radiation_w_m2k(air, face_c))
    corner = np.concatenate([arris[:1], corner_c(sol_c, arris[1:], kept[1:, _CENTRE])])
    hour = np.flatnonzero(times_h == np.round(times_h))
    low = np.minimum(arris, corner)
    least = np.concatenate(
        [low[:1], np.minimum(np.minimum.reduceat(low, hour)[:-1], low[hour[1:]])]
    )
    return EdgeTrail(
        times_h[hour], arris[hour], np.minimum(kept[hour, _TOP], kept[hour, _MID]), least
    )
