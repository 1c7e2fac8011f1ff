"""The column: heat through cover, slab and soil along one vertical line, many at once.

``rho c dT/dt = d/dz(k dT/dz) + q`` on graded finite volumes. Time: the two-stage diagonally
implicit Runge-Kutta of second order that damps every mode however long the step (Alexander,
SIAM J. Numer. Anal. 14, 1977, from memory), so a blanket pulled off or cold soil under warm
concrete needs no special care. The interior never changes, so each step length is inverted
once; the face, which changes with weather and cover, is a rank-one correction. A stage is
then one matrix product for all columns, and the face's own temperature is found by flux
balance, evaporation and radiation included, by a few passes over the columns alone.

Heat of hydration enters as the degree that the step's end will have reached less what is
already out, so the heat released never drifts from the curve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.setting import _set_rate
from curecast.core.heat import surface
from curecast.core.heat.covers import CoverSpell, CoverState, cover_state
from curecast.core.heat.face import Balance, Face, balance, blend, face_under
from curecast.core.heat.hydration import degree, heat_rate_age
from curecast.core.heat.layers import Column, layers, start_c
from curecast.core.heat.stages import STAGE, StageSolver, stage_solver
from curecast.core.heat.step import Step

Array = NDArray[np.float64]
Forcing = Callable[[float], surface.Surroundings]

#: Bleed water that may evaporate before the face counts as dry (ASSUMED). [kg/m2]
BLEED_KG_M2 = 1.5
#: Instants closer than this are one. [h]
_SAME_H = 1e-9


class _Hydrating:
    """Heat age of every concrete cell, and the heat that is already out of it."""

    def __init__(self, column: Column, slab_c: Array) -> None:
        self.column = column
        self.age_h = np.full(slab_c.shape, 1e-9)
        self.released = degree(self.age_h, column.hydration)
        self.rate = heat_rate_age(slab_c, column.hydration)
        self.slope = np.zeros_like(self.rate)

    def warmed_k(self, dt_h: float) -> Array:
        """Rise that the coming step's heat alone would give. [K]"""
        ahead = np.maximum(self.rate + 0.5 * dt_h * self.slope, 0.0)
        reached = degree(self.age_h + ahead * dt_h, self.column.hydration)
        out = np.maximum(reached - self.released, 0.0)
        self.released = self.released + out
        return np.asarray(self.column.rise_k * out * self.column.heat_scale)

    def age(self, slab_c: Array, dt_h: float) -> None:
        """Let the step's temperatures count."""
        rate = heat_rate_age(slab_c, self.column.hydration)
        self.age_h = self.age_h + 0.5 * dt_h * (self.rate + rate)
        self.slope = (rate - self.rate) / dt_h
        self.rate = rate


class _Drying:
    """How long a bare face still loses water: until final set or the bleed water is gone."""

    def __init__(self, wet: bool, columns: int) -> None:
        self.over = not wet
        self.set_share = np.zeros(columns)
        self.water_kg_m2 = np.zeros(columns)

    def share(self, dt_h: float, face_c: Array, last_kg_m2_h: Array) -> Array:
        """Share of the coming step in which water still leaves, shape (column,)."""
        until_set = (1.0 - self.set_share) / np.maximum(_set_rate(face_c), 1e-9)
        until_dry = (BLEED_KG_M2 - self.water_kg_m2) / np.maximum(last_kg_m2_h, 1e-9)
        return np.clip(np.minimum(until_set, until_dry) / dt_h, 0.0, 1.0)

    def dry(self, dt_h: float, face_c: Array, lost_kg_m2_h: Array) -> None:
        """Let the step count."""
        self.set_share = self.set_share + dt_h * _set_rate(face_c)
        self.water_kg_m2 = self.water_kg_m2 + lost_kg_m2_h * dt_h
        self.over = bool(np.all((self.set_share >= 1.0) | (self.water_kg_m2 >= BLEED_KG_M2)))


class _Run:
    """A batch of columns on its way through weather."""

    def __init__(self, column: Column, columns: int, passes: int) -> None:
        self.grid, self.passes = layers(column), passes
        self.temps, self.deep = start_c(column, self.grid, columns)
        self.face_c = self.temps[0].copy()
        self.lost_kg_m2_h = np.zeros(columns)
        self.hydrating = _Hydrating(column, self.temps[: self.grid.slab])
        self.drying = _Drying(column.evaporates, columns)
        self._solvers: dict[float, StageSolver] = {}

    def started(self, around: surface.Surroundings, cover: CoverState) -> Step:
        """The state before the first step: fresh concrete all through."""
        none, face = np.zeros_like(self.face_c), self.face_c
        return Step(
            0.0, 0.0, face, face, face, face, face_under(around, cover), cover,
            none, none, none, none, self.temps,
        )  # fmt: skip

    def _solver(self, dt_s: float) -> StageSolver:
        if dt_s not in self._solvers:
            self._solvers[dt_s] = stage_solver(self.grid, dt_s)
        return self._solvers[dt_s]

    def _stage(
        self, dt_s: float, known: Array, face: Face, r_m2k_w: float, guess: Array, wet: Array | None
    ) -> Balance:
        half = self.grid.top_half_w_m2k
        return balance(
            self._solver(dt_s), known, self.deep, face, r_m2k_w, half, guess, wet, self.passes
        )

    def step(self, begin_h: float, t_h: float, cover: CoverState, forcing: Forcing) -> Step:
        """One step under one cover; the weather is read at the stages' own times."""
        dt_h, slab, r = t_h - begin_h, self.grid.slab, cover.r_m2k_w
        dt_s = round(dt_h * 3600.0, 4)
        mid = face_under(forcing(begin_h + STAGE * dt_h), cover)
        end = face_under(forcing(t_h), cover)
        wet = None
        if not (self.drying.over or cover.covered):
            wet = self.drying.share(dt_h, self.face_c, self.lost_kg_m2_h)
        warmed = self.hydrating.warmed_k(dt_h)
        known = self.temps.copy()
        known[:slab] += STAGE * warmed
        early = self._stage(dt_s, known, mid, r, self.face_c, wet)
        known = self.temps + (1.0 - STAGE) / STAGE * (early.temps_c - self.temps)
        known[:slab] += STAGE * warmed
        late = self._stage(dt_s, known, end, r, early.face_c, wet)
        self.temps = late.temps_c
        self.face_c = late.face_c if wet is None else self._dried(late, end, wet)
        self.hydrating.age(self.temps[:slab], dt_h)
        self._dry(dt_h, blend(late.vapour_w_m2, early.vapour_w_m2, 1.0 - STAGE))
        return self._left(t_h, dt_h, dt_s, end, cover, early, late, warmed)

    def _dry(self, dt_h: float, vapour_w_m2: Array) -> None:
        """Let the step's loss of water and its setting count."""
        self.lost_kg_m2_h = vapour_w_m2 * 3600.0 / surface.LATENT_J_KG
        if not self.drying.over:
            self.drying.dry(dt_h, self.face_c, self.lost_kg_m2_h)

    def _dried(self, late: Balance, face: Face, wet: Array) -> Array:
        """The face at the step's end, dry where the water ended within the step."""
        if np.all(wet >= 1.0):
            return late.face_c
        half = self.grid.top_half_w_m2k
        h = face.h_w_m2k(late.face_c)
        dry = (face.drive_w_m2(h) + half * late.temps_c[0]) / (h + half)
        return np.where(wet < 1.0, dry, late.face_c)

    def _left(
        self, t_h: float, dt_h: float, dt_s: float, face: Face, cover: CoverState,
        early: Balance, late: Balance, warmed: Array,
    ) -> Step:  # fmt: skip
        """What the step leaves to those who follow it."""
        grid, temps = self.grid, self.temps
        bottom_c = grid.bottom_c(temps)
        foot = blend(late.temps_c[-1], early.temps_c[-1], 1.0 - STAGE)
        inside_c = temps[: grid.slab].min(axis=0)
        return Step(
            t_h=t_h,
            dt_h=dt_h,
            surface_c=self.face_c,
            middle_c=grid.middle_c(temps),
            bottom_c=bottom_c,
            coldest_c=np.minimum(np.minimum(self.face_c, bottom_c), inside_c),
            face=face,
            cover=cover,
            evaporation_kg_m2_h=self.lost_kg_m2_h,
            heat_j_m2=(warmed * grid.capacity_j_m2k[: grid.slab, None]).sum(axis=0),
            top_j_m2=dt_s * blend(late.flux_w_m2, early.flux_w_m2, 1.0 - STAGE),
            deep_j_m2=dt_s * grid.deep_w_m2k * (self.deep - foot),
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
    run = _Run(column, len(around.air_c), passes)
    yield run.started(around, cover_state(spells, 0.0))
    for begin_h, t_h in pairwise(times.tolist()):
        cover = cover_state(spells, 0.5 * (begin_h + t_h))
        yield run.step(begin_h, t_h, cover, forcing)
