"""Columns of several slabs, stepped together: the scheme of ``heat.column`` in single precision.

What costs time in one slab's march is not its arithmetic but the many small calls. Here each
call serves all lanes: every lane has its own grid, mix, cover and length of step.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.lane import Lane
from curecast.core.concrete.rates import GAS_CONSTANT, NOTHING_BELOW_C, ZERO_C_K
from curecast.core.concrete.setting import _set_rate
from curecast.core.heat import surface
from curecast.core.heat.hydrating import BLEED_KG_M2, HeatAges
from curecast.core.heat.layers import Column, layers
from curecast.core.heat.stages import STAGE, stage_solver

Array = NDArray[np.float64]
#: In single precision.
Single = NDArray[Any]

_AGAIN = (1.0 - STAGE) / STAGE
_RADIATION = 4.0 * surface.EMISSIVITY * surface.SIGMA
_PASSES = 2


def _lanes(values: Sequence[float], ndim: int) -> Single:
    """A number a lane, shaped to meet arrays that begin with the lane."""
    return np.array(values, dtype=np.float32).reshape((-1,) + (1,) * (ndim - 1))


class Heat(HeatAges):
    """Heat of hydration in every concrete cell of every lane.

    Parameters
    ----------
    columns : sequence of Column
        One a lane. [various]
    slab_c : ndarray, shape (lane, cell, member)
        Fresh concrete. [°C]
    """

    def __init__(self, columns: Sequence[Column], slab_c: Single) -> None:
        mixes = [column.hydration for column in columns]
        self._alpha_u = _lanes([m.alpha_u for m in mixes], 3)
        self._beta = _lanes([m.beta for m in mixes], 3)
        self._log_tau = _lanes([m.beta * np.log(m.tau_h) for m in mixes], 3)
        over_r = np.array([m.activation_j_mol / GAS_CONSTANT for m in mixes])
        reference = np.array([m.reference_temperature_c for m in mixes]) + ZERO_C_K
        self._over_r = _lanes((-over_r).tolist(), 3)
        self._at_reference = _lanes((over_r / reference).tolist(), 3)
        members = slab_c.shape[2]
        scale = [np.broadcast_to(column.heat_scale, (members,)) for column in columns]
        rise = np.array([column.rise_k for column in columns])[:, None]
        rise_k = np.asarray(rise * np.stack(scale), dtype=np.float32)[:, None, :]
        super().__init__(slab_c, rise_k)

    def degree(self, age_h: Single) -> Single:
        """As ``hydration.degree``, every lane with its own mix."""
        x = np.log(np.maximum(age_h, np.float32(1e-6)))
        x *= -self._beta
        x += self._log_tau
        np.exp(x, out=x)
        np.negative(x, out=x)
        np.exp(x, out=x)
        x *= self._alpha_u
        return x

    def rate_age(self, slab_c: Single) -> Single:
        """As ``hydration.heat_rate_age``, every lane with its own mix. [h/h]"""
        rate = np.maximum(slab_c, np.float32(NOTHING_BELOW_C))
        rate += np.float32(ZERO_C_K)
        np.divide(self._over_r, rate, out=rate)
        rate += self._at_reference
        np.exp(rate, out=rate)
        if float(slab_c.min()) < NOTHING_BELOW_C:
            rate[slab_c < NOTHING_BELOW_C] = 0.0
        return rate


class Drying:
    """How long each lane's bare face still loses water, as ``heat.column`` has it.

    Parameters
    ----------
    lanes : sequence of Lane
        The slabs. [various]
    members : int
        Members of each. [-]
    """

    def __init__(self, lanes: Sequence[Lane], members: int) -> None:
        self.over = np.array([not lane.column.evaporates for lane in lanes])
        self.set_share = np.zeros((len(lanes), members))
        self.water_kg_m2 = np.zeros((len(lanes), members))
        self.lost_kg_m2_h = np.zeros((len(lanes), members))

    def wet(self, dt_h: Single, face_c: Single, covered: NDArray[np.bool_]) -> Single | None:
        """Share of the coming step in which water leaves each face; None where none does."""
        dry = self.over | covered
        if dry.all():
            return None
        until_set = (1.0 - self.set_share) / np.maximum(_set_rate(face_c), 1e-9)
        until_dry = (BLEED_KG_M2 - self.water_kg_m2) / np.maximum(self.lost_kg_m2_h, 1e-9)
        share = np.clip(np.minimum(until_set, until_dry) / dt_h, 0.0, 1.0)
        share[dry] = 0.0
        return np.asarray(share, dtype=np.float32)

    def count(self, dt_h: Single, face_c: Single, vapour_w_m2: Single | None) -> None:
        """Let the step's loss of water and its setting count."""
        if self.over.all():
            return
        if vapour_w_m2 is None:
            self.lost_kg_m2_h[:] = 0.0
        else:
            self.lost_kg_m2_h = np.asarray(vapour_w_m2 * 3600.0 / surface.LATENT_J_KG, dtype=float)
        going = ~self.over
        self.set_share[going] += (dt_h * _set_rate(face_c))[going]
        self.water_kg_m2[going] += (dt_h * self.lost_kg_m2_h)[going]
        done = np.all((self.set_share >= 1.0) | (self.water_kg_m2 >= BLEED_KG_M2), axis=1)
        self.over |= done


class Solvers:
    """The interior of every lane, solved once for each of its lengths of step.

    Parameters
    ----------
    lanes : sequence of Lane
        The slabs. [various]
    """

    def __init__(self, lanes: Sequence[Lane]) -> None:
        self.grids = [layers(lane.column) for lane in lanes]
        self._index: dict[tuple[int, float], int] = {}
        self._found: list[tuple[Single, Single]] = []
        self._stack: tuple[Single, Single] | None = None

    def index(self, lane: int, dt_h: Array) -> NDArray[np.int64]:
        """Where the solvers of a lane's steps stand in the stack."""
        keys = [(lane, round(dt * 3600.0, 4)) for dt in dt_h.tolist()]
        for key in keys:
            if key not in self._index:
                self._index[key] = len(self._found)
                self._found.append(self._solved(*key))
                self._stack = None
        return np.array([self._index[key] for key in keys])

    def _solved(self, lane: int, dt_s: float) -> tuple[Single, Single]:
        """(cell, cell + 2): the cells, the flux through the face, the foot of the soil."""
        one = stage_solver(self.grids[lane], dt_s)
        whole = np.hstack([one.carry_and_flux, one.from_deep[:, None]])
        top = np.concatenate([one.top_row, [0.0], one.from_deep[:1]])
        return whole.astype(np.float32), top[None, :].astype(np.float32)

    def pick(self, index: NDArray[np.int64]) -> tuple[Single, Single, Single]:
        """Every lane's solver: the whole, its top row, what a flux does to the top cell."""
        if self._stack is None:
            wholes, tops = zip(*self._found, strict=True)
            self._stack = np.stack(wholes), np.stack(tops)
        whole, top = (part[index] for part in self._stack)
        return whole, top, np.ascontiguousarray(whole[:, 0, -2])[:, None]
