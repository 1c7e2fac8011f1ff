"""Several slabs stepped side by side to their ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.columns import _AGAIN, _PASSES, _RADIATION, Drying, Heat, Single, Solvers
from curecast.core.abreast.lane import Faced, Lane, faced
from curecast.core.abreast.trail import Trail
from curecast.core.heat import surface
from curecast.core.heat.layers import start_c
from curecast.core.heat.stages import STAGE
from curecast.core.histories import Histories

Array = NDArray[np.float64]

#: Steps between two looks at whether a lane may end.
BLOCK = 96
_HALF = np.float32(0.5)


@dataclass
class _Drive:
    """What drives all faces at one stage, shape (lane, member); covers shape (lane, 1)."""

    air_c: Single
    gain_w_m2: Single
    convection_w_m2k: Single
    vapour_kpa: Single
    wind_ms: Single
    r_m2k_w: Single | None

    def h_w_m2k(self, face_c: Single) -> Single:
        mean_k = self.air_c + face_c
        mean_k *= _HALF
        mean_k += np.float32(surface.KELVIN)
        h: Single = mean_k * mean_k
        h *= mean_k
        h *= np.float32(_RADIATION)
        h += self.convection_w_m2k
        return h


class _Blocked:
    """The drives of a block of steps, every lane's own, the lanes side by side."""

    def __init__(self, parts: Sequence[Faced], steps: int) -> None:
        names = ("air_c", "vapour_kpa", "wind_ms")
        self._arrays = {
            n: _side_by_side([getattr(p.face.around, n) for p in parts], steps) for n in names
        }
        for n in ("gain_w_m2", "convection_w_m2k"):
            self._arrays[n] = _side_by_side([getattr(p.face, n) for p in parts], steps)
        covers = [[*p.covers, *[p.covers[-1]] * (steps - len(p.covers))] for p in parts]
        r = np.array([[c.r_m2k_w for c in row] for row in covers], dtype=np.float32)
        self.covered = np.array([[c.covered for c in row] for row in covers]).T
        self._r = [None if not np.any(row) else row[:, None] for row in r.T]

    def at(self, step: int, stage: int) -> _Drive:
        return _Drive(
            **{n: values[step, stage] for n, values in self._arrays.items()}, r_m2k_w=self._r[step]
        )


def _side_by_side(parts: Sequence[Array], steps: int) -> Single:
    """Arrays (step, stage, member) as one (step, stage, lane, member); a lane that has fewer
    steps repeats its last."""
    out = np.empty((steps, 2, len(parts), parts[0].shape[2]), dtype=np.float32)
    for lane, part in enumerate(parts):
        out[: len(part), :, lane] = part
        out[len(part) :, :, lane] = part[-1]
    return out


class _State:
    """All lanes' columns on their way."""

    def __init__(self, lanes: Sequence[Lane]) -> None:
        members = lanes[0].members
        self.solvers = Solvers(lanes)
        grids = self.solvers.grids
        starts = [
            start_c(lane.column, grid, members) for lane, grid in zip(lanes, grids, strict=True)
        ]
        self.slab = grids[0].slab
        self.temps = np.stack([temps for temps, _ in starts]).astype(np.float32)
        cells = self.temps.shape[1]
        self.known = np.zeros((len(lanes), cells + 2, members), dtype=np.float32)
        self.known[:, -1] = np.stack([deep for _, deep in starts])
        self.half = np.array([[g.top_half_w_m2k] for g in grids], dtype=np.float32)
        self.under = np.array([[g.underside_share] for g in grids], dtype=np.float32)
        self.face_c = self.temps[:, 0].copy()
        self.heat = Heat([lane.column for lane in lanes], self.temps[:, : self.slab])
        self.drying = Drying(lanes, members)

    def step(
        self, dt_h: Single, solver: tuple[Single, Single, Single], blocked: _Blocked, k: int
    ) -> tuple[Single, Single, Single, Single]:
        """One step of every lane: surface, middle, bottom and coldest, shape (lane, member)."""
        dt, deep_dt = dt_h[:, None], dt_h[:, None, None]
        mid, end = blocked.at(k, 0), blocked.at(k, 1)
        wet = self.drying.wet(dt, self.face_c, blocked.covered[k])
        warmed = self.heat.warmed_k(deep_dt)
        warmed *= np.float32(STAGE)
        slab = self.slab
        known = self.known[:, :-2]
        known[:] = self.temps
        known[:, :slab] += warmed
        early, face_c, vapour = self._stage(solver, mid, self.face_c, wet)
        early -= self.temps
        early *= np.float32(_AGAIN)
        np.add(early, self.temps, out=known)
        known[:, :slab] += warmed
        self.temps, face_c, late_vapour = self._stage(solver, end, face_c, wet)
        if wet is not None and late_vapour is not None and vapour is not None:
            vapour = np.float32(STAGE) * late_vapour + np.float32(1.0 - STAGE) * vapour
            face_c = self._dried(end, face_c, wet)
        self.face_c = face_c
        self.heat.age(self.temps[:, :slab], deep_dt)
        self.drying.count(dt, face_c, vapour)
        return self._places()

    def _places(self) -> tuple[Single, Single, Single, Single]:
        temps, slab, half = self.temps, self.slab, self.slab // 2
        middle = _HALF * (temps[:, half - 1] + temps[:, half])
        above = temps[:, slab - 1]
        bottom = above + self.under * (temps[:, slab] - above)
        coldest = np.minimum(temps[:, :slab].min(axis=1), np.minimum(self.face_c, bottom))
        return self.face_c, middle, bottom, coldest

    def _stage(
        self,
        solver: tuple[Single, Single, Single],
        drive: _Drive,
        face_c: Single,
        wet: Single | None,
    ) -> tuple[Single, Single, Single | None]:
        """One stage with all faces in balance, as ``heat.face.balance``."""
        whole, top_row, lift = solver
        half = self.half
        top = (top_row @ self.known)[:, 0]
        vapour = slope = None
        cell_c = top
        for _ in range(_PASSES):
            u = drive.h_w_m2k(face_c)
            gain = drive.air_c * u
            gain += drive.gain_w_m2
            if drive.r_m2k_w is not None:
                below = drive.r_m2k_w * u
                below += np.float32(1.0)
                u /= below
                gain /= below
            if wet is not None:
                heat, steep = surface.evaporation_w_m2(face_c, drive.vapour_kpa, drive.wind_ms)
                vapour, slope = wet * (heat - steep * face_c), wet * steep
                u, gain = u + slope, gain - vapour
            share = u + half
            np.divide(half, share, out=share)
            share *= lift
            cell_c = share * gain
            cell_c += top
            share *= u
            share += np.float32(1.0)
            cell_c /= share
            face_c = half * cell_c
            face_c += gain
            u += half
            face_c /= u
        np.subtract(face_c, cell_c, out=self.known[:, -2])
        self.known[:, -2] *= half
        if vapour is not None and slope is not None:
            vapour = vapour + slope * face_c
        return whole @ self.known, np.asarray(face_c, dtype=np.float32), vapour

    def _dried(self, end: _Drive, face_c: Single, wet: Single) -> Single:
        """The faces at the step's end, dry where the water ended within the step."""
        ended = (wet < 1.0) & (wet > 0.0)
        if not ended.any():
            return face_c
        h = end.h_w_m2k(face_c)
        dry = (end.air_c * h + end.gain_w_m2 + self.half * self.temps[:, 0]) / (h + self.half)
        return np.where(ended, dry, face_c)


def march_abreast(lanes: Sequence[Lane]) -> list[Histories]:
    """March slabs side by side, each in its own weather and to its own end.

    Parameters
    ----------
    lanes : sequence of Lane
        Slabs with the same number of members and of cells. [various]

    Returns
    -------
    list of Histories
        One a lane, in their order, its ages still empty (``histories.aged`` sums them).
        Temperatures lie within 0.001 °C of ``heat.column.march``. [various]
    """
    going, begin = list(range(len(lanes))), 0
    state = _State(lanes)
    trails = [Trail(lane, c.astype(float)) for lane, c in zip(lanes, state.face_c, strict=True)]
    while len(going):
        steps = min(BLOCK, max(lanes[i].steps for i in going) - begin)
        parts = [faced(lanes[i], begin, min(begin + steps, lanes[i].steps)) for i in going]
        blocks = _march_block(state, lanes, going, parts, begin, steps)
        for i, part, places in zip(going, parts, blocks, strict=True):
            trails[i].follow(begin, part, places[: len(part.covers)])
        begin += steps
        on = np.array([not trails[i].over for i in going])
        if not on.all():
            going = [i for i, goes_on in zip(going, on, strict=True) if goes_on]
            for one in (state, state.heat, state.drying):
                _keep(one, on)
    return [trail.histories() for trail in trails]


def _march_block(
    state: _State, lanes: Sequence[Lane], going: Sequence[int], parts: Sequence[Faced],
    begin: int, steps: int,
) -> list[Single]:  # fmt: skip
    """Some steps of the lanes that go on: surface, middle, bottom and coldest of each, shape
    (step, place, member)."""
    blocked = _Blocked(parts, steps)
    dt_h, index = np.empty((steps, len(going))), np.empty((steps, len(going)), dtype=np.int64)
    for column, (i, part) in enumerate(zip(going, parts, strict=True)):
        own = np.diff(lanes[i].times_h[begin : begin + len(part.covers) + 1])
        own = np.concatenate([own, np.repeat(own[-1:], steps - len(own))])
        dt_h[:, column], index[:, column] = own, state.solvers.index(i, own)
    out = np.empty((steps, 4, *state.face_c.shape), dtype=np.float32)
    single = dt_h.astype(np.float32)
    for k in range(steps):
        if k == 0 or np.any(index[k] != index[k - 1]):
            solver = state.solvers.pick(index[k])
        for place, values in enumerate(state.step(single[k], solver, blocked, k)):
            out[k, place] = values
    return [out[:, :, column] for column in range(len(going))]


def _keep(one: object, on: NDArray[np.bool_]) -> None:
    """Drop the lanes that have ended from every array of a part of the state."""
    for name, values in vars(one).items():
        if isinstance(values, np.ndarray):
            setattr(one, name, values[on])
