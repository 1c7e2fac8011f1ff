"""The column: heat through cover, slab and soil along one vertical line, many at once.

``rho c dT/dt = d/dz(k dT/dz) + q`` on graded finite volumes. Time: the two-stage diagonally
implicit Runge-Kutta of second order that damps every mode however long the step (Alexander,
SIAM J. Numer. Anal. 14, 1977, from memory), so a blanket pulled off or cold soil under warm
concrete needs no special care. The interior never changes, so each step length is inverted
once; the face, which changes with weather and cover, is a rank-one correction. A step, both
its stages, is then one matrix product for all columns, and the face's own temperature is found
by flux balance, evaporation and radiation included, by a few passes over the columns alone.

Heat of hydration enters as the degree that the step's end will have reached less what is
already out, so the heat released never drifts from the curve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverSpell, CoverState, cover_state
from curecast.core.heat.face import Balance, Face, balance, blend, face_under
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.hydrating import Drying, Hydrating
from curecast.core.heat.layers import Column, layers, start_c
from curecast.core.heat.stages import STAGE, StepSolver, step_solver
from curecast.core.heat.step import Step

Array = NDArray[np.float64]
__all__ = ["Step", "march"]

Forcing = Callable[[float], surface.Surroundings]

#: Steps whose weather is read at once. [-]
AHEAD = 8
#: Instants closer than this are one. [h]
_SAME_H = 1e-9


class _Run:
    """A batch of columns on its way through weather, in the precision of its weather."""

    def __init__(self, column: Column, around: surface.Surroundings, passes: int) -> None:
        self.grid, self.passes = layers(column), passes
        columns, self.type = len(around.air_c), around.air_c.dtype
        temps, deep = start_c(column, self.grid, columns)
        self.cells, self.heated = len(temps), len(temps) + self.grid.slab
        self.rows = self._next(deep.astype(self.type))
        self.rows[: self.cells] = temps
        self.face_c = self.rows[0].copy()
        self.lost_kg_m2_h = np.zeros_like(self.face_c)
        self.hydrating = Hydrating(column, self.rows[: self.grid.slab])
        self.drying = Drying(column.evaporates, columns)
        self._solvers: dict[float, StepSolver] = {}

    def _next(self, deep_c: Array) -> Array:
        """Room for a state and what a step of it takes in, see ``StepSolver``."""
        rows = np.empty((self.heated + 3, len(deep_c)), self.type)
        rows[self.heated] = deep_c
        return rows

    def started(self, around: surface.Surroundings, cover: CoverState) -> Step:
        """The state before the first step: fresh concrete all through."""
        none, face = np.zeros_like(self.face_c), self.face_c
        return Step(
            0.0, 0.0, face, face, face, face, face_under(around, cover), cover,
            none, np.zeros_like(self.rows[: self.grid.slab]), none, none,
            self.grid, self.rows[: self.cells],
        )  # fmt: skip

    def _solver(self, dt_s: float) -> StepSolver:
        if dt_s not in self._solvers:
            solver = step_solver(self.grid, dt_s)
            whole, reads = solver.whole.astype(self.type), solver.reads.astype(self.type)
            self._solvers[dt_s] = replace(solver, whole=whole, reads=reads)
        return self._solvers[dt_s]

    def step(self, begin_h: float, t_h: float, cover: CoverState, mid: Face, end: Face) -> Step:
        """One step under one cover, with what drives the face at its two stages."""
        dt_h, r, rows = t_h - begin_h, cover.r_m2k_w, self.rows
        solver = self._solver(round(dt_h * 3600.0, 4))
        wet = None
        if not (self.drying.over or cover.covered):
            wet = self.drying.share(dt_h, self.face_c, self.lost_kg_m2_h)
        rows[self.cells : self.heated] = self.hydrating.warmed_k(dt_h)
        under = solver.top_from_flux + 1.0 / self.grid.top_half_w_m2k
        early_c, late_c, foot_c = solver.reads @ rows[:-2]
        early = balance(early_c, under, mid, r, self.face_c, wet, self.passes)
        late_c += solver.late_from_early * early.flux_w_m2
        late = balance(late_c, under, end, r, early.face_c, wet, self.passes)
        rows[-2], rows[-1] = early.flux_w_m2, late.flux_w_m2
        self.rows = self._next(rows[self.heated])
        temps = np.matmul(solver.whole, rows, out=self.rows[: self.cells])
        self.face_c = late.face_c if wet is None else self._dried(late, temps[0], end, wet)
        self.hydrating.age(temps[: self.grid.slab], dt_h)
        self._dry(dt_h, early, late)
        foot_c += solver.foot_from_flux * early.flux_w_m2
        return self._left(t_h, dt_h, end, cover, rows, foot_c)

    def _dry(self, dt_h: float, early: Balance, late: Balance) -> None:
        """Let the step's loss of water and its setting count."""
        if late.vapour_w_m2 is None or early.vapour_w_m2 is None:
            self.lost_kg_m2_h = np.zeros_like(self.face_c)
        else:
            vapour = blend(late.vapour_w_m2, early.vapour_w_m2, 1.0 - STAGE)
            self.lost_kg_m2_h = vapour * (3600.0 / surface.LATENT_J_KG)
        if not self.drying.over:
            self.drying.dry(dt_h, self.face_c, self.lost_kg_m2_h)

    def _dried(self, late: Balance, cell_c: Array, face: Face, wet: Array) -> Array:
        """The face at the step's end, dry where the water ended within the step."""
        if np.all(wet >= 1.0):
            return late.face_c
        half = self.grid.top_half_w_m2k
        h = face.h_w_m2k(late.face_c)
        dry = (face.drive_w_m2(h) + half * cell_c) / (h + half)
        return np.where(wet < 1.0, dry, late.face_c)

    def _left(
        self, t_h: float, dt_h: float, face: Face, cover: CoverState, gone: Array, foot_c: Array
    ) -> Step:
        """What the step leaves to those who follow it; ``gone`` is what it took in."""
        grid, temps = self.grid, self.rows[: self.cells]
        bottom_c = grid.bottom_c(temps)
        coldest_c = temps[: grid.slab].min(axis=0)
        np.minimum(coldest_c, bottom_c, out=coldest_c)
        np.minimum(coldest_c, self.face_c, out=coldest_c)
        return Step(
            t_h=t_h,
            dt_h=dt_h,
            surface_c=self.face_c,
            middle_c=grid.middle_c(temps),
            bottom_c=bottom_c,
            coldest_c=coldest_c,
            face=face,
            cover=cover,
            evaporation_kg_m2_h=self.lost_kg_m2_h,
            warmed_k=gone[self.cells : self.heated],
            flux_w_m2=blend(gone[-1], gone[-2], 1.0 - STAGE),
            foot_k=gone[self.heated] - blend(temps[-1], foot_c, 1.0 - STAGE),
            grid=grid,
            field_c=temps,
        )


def march(
    column: Column,
    forcing: Forcing,
    covers: Iterable[CoverSpell],
    times_h: Sequence[float] | Array,
    *,
    passes: int = 2,
) -> Iterator[Step]:
    """March a batch of columns through weather, one step at a time.

    Parameters
    ----------
    column : Column
        The slab; its per-column arrays fit the batch. [various]
    forcing : callable
        ``forcing(t_h)`` gives the Surroundings, shape (column,), at a time after the start.
        [various]
    covers : iterable of CoverSpell
        What lies over the slab, the same for all columns. [various]
    times_h : sequence of float
        Rising instants, the first 0, with every change of cover among them
        (``step_times_h``). [h]
    passes : int
        Passes of the face's balance in each stage. [-]

    Yields
    ------
    Step
        The state at each instant, the one at 0 included. [various]
    """
    spells = tuple(covers)
    times = np.asarray(times_h, dtype=float)
    times = times[np.concatenate([[True], np.diff(times) > _SAME_H])]
    around = forcing(float(times[0]))
    run = _Run(column, around, passes)
    yield run.started(around, cover_state(spells, 0.0))
    stages = _stages(forcing, spells, times)
    for (begin_h, t_h), (cover, mid, end) in zip(pairwise(times.tolist()), stages, strict=True):
        yield run.step(begin_h, t_h, cover, mid, end)


def _stages(
    forcing: Forcing, spells: tuple[CoverSpell, ...], times_h: Array
) -> Iterator[tuple[CoverState, Face, Face]]:
    """Cover and face at both stages of each step; weather that can is read steps ahead."""
    covers = [cover_state(spells, t) for t in (0.5 * (times_h[1:] + times_h[:-1])).tolist()]
    mids_h, ends_h = times_h[:-1] + STAGE * np.diff(times_h), times_h[1:]
    if not isinstance(forcing, MemberForcing):
        for cover, mid_h, end_h in zip(covers, mids_h.tolist(), ends_h.tolist(), strict=True):
            yield cover, face_under(forcing(mid_h), cover), face_under(forcing(end_h), cover)
        return
    at = 0
    for cover, group in groupby(covers):
        last = at + sum(1 for _ in group)
        for first in range(at, last, AHEAD):
            ahead = slice(first, min(first + AHEAD, last))
            both_h = np.stack([mids_h[ahead], ends_h[ahead]], axis=1).ravel()
            faces = face_under(forcing.many(both_h), cover)
            for i in range(0, len(both_h), 2):
                yield cover, faces.at(i), faces.at(i + 1)
        at = last
