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
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.setting import final_set_h_at
from curecast.core.heat import surface
from curecast.core.heat.covers import CoverSpell, CoverState, cover_state
from curecast.core.heat.face import Face, balance, blend, face_between, face_under
from curecast.core.heat.hydration import degree, heat_rate_age
from curecast.core.heat.layers import STAGE, Column, StageSolver, layers, stage_solver, start_c

Array = NDArray[np.float64]
Forcing = Callable[[float], surface.Surroundings]

#: Bleed water that may evaporate before the face counts as dry (ASSUMED). [kg/m2]
BLEED_KG_M2 = 1.5


@dataclass(frozen=True)
class Step:
    """The slab at the end of one step; arrays have shape (column,).

    ``heat_j_m2``, ``top_j_m2`` and ``deep_j_m2`` are what the step released and let in;
    ``evaporation_kg_m2_h`` is the step's mean; ``field_c`` holds all cells, top first.
    """

    t_h: float
    dt_h: float
    surface_c: Array
    middle_c: Array
    bottom_c: Array
    coldest_c: Array
    face: Face
    cover: CoverState
    evaporation_kg_m2_h: Array
    heat_j_m2: Array
    top_j_m2: Array
    deep_j_m2: Array
    field_c: Array = field(repr=False)

    @property
    def sol_air_c(self) -> Array:
        """Driving temperature over the face. [°C]"""
        return self.face.sol_air_c(self.surface_c)


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
        until_set = (1.0 - self.set_share) * final_set_h_at(face_c)
        lost = np.maximum(last_kg_m2_h, 1e-9)
        until_dry = (BLEED_KG_M2 - self.water_kg_m2) / lost
        return np.clip(np.minimum(until_set, until_dry) / dt_h, 0.0, 1.0)

    def dry(self, dt_h: float, face_c: Array, lost_kg_m2_h: Array) -> None:
        """Let the step count."""
        self.set_share = self.set_share + dt_h / final_set_h_at(face_c)
        self.water_kg_m2 = self.water_kg_m2 + lost_kg_m2_h * dt_h
        self.over = bool(np.all((self.set_share >= 1.0) | (self.water_kg_m2 >= BLEED_KG_M2)))


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
        Instants from ``step_times_h``, beginning with 0. [h]
    passes : int
        Passes of the face's balance in each stage. [-]

    Yields
    ------
    Step
        The state at each instant, the one at 0 included. [various]
    """
    spells = tuple(covers)
    grid = layers(column)
    end_weather = forcing(float(times_h[0]))
    columns = len(end_weather.air_c)
    temps, deep = start_c(column, grid, columns)
    face_c = temps[0].copy()
    hydrating = _Hydrating(column, temps[: grid.slab])
    drying = _Drying(column.evaporates, columns)
    solvers: dict[float, StageSolver] = {}
    none = np.zeros(columns)
    cover = cover_state(spells, 0.0)
    lost = none
    yield Step(
        0.0, 0.0, face_c, face_c, face_c, face_c, face_under(end_weather, cover), cover,
        none, none, none, none, temps,
    )  # fmt: skip
    for begin_h, t_h in zip(times_h[:-1], times_h[1:], strict=True):
        dt_h = float(t_h - begin_h)
        dt_s = round(dt_h * 3600.0, 6)
        solver = solvers.setdefault(dt_s, None) or stage_solver(grid, dt_s)  # type: ignore[arg-type]
        solvers[dt_s] = solver
        cover = cover_state(spells, 0.5 * (begin_h + t_h))
        start_weather, end_weather = end_weather, forcing(float(t_h))
        start, end = face_under(start_weather, cover), face_under(end_weather, cover)
        wet = None
        if not (drying.over or cover.covered):
            wet = drying.share(dt_h, face_c, lost)
        warmed = STAGE * hydrating.warmed_k(dt_h)
        known = temps.copy()
        known[: grid.slab] += warmed
        stage = balance(
            solver, known, deep, face_between(start, end, STAGE), cover.r_m2k_w,
            grid.top_half_w_m2k, face_c, wet, passes,
        )  # fmt: skip
        known = temps + (1.0 - STAGE) / STAGE * (stage.temps_c - temps)
        known[: grid.slab] += warmed
        last = balance(
            solver, known, deep, end, cover.r_m2k_w,
            grid.top_half_w_m2k, stage.face_c, wet, passes,
        )  # fmt: skip
        temps, face_c = last.temps_c, last.face_c
        hydrating.age(temps[: grid.slab], dt_h)
        lost = blend(last.vapour_w_m2, stage.vapour_w_m2, 1.0 - STAGE) * 3600.0 / surface.LATENT_J_KG
        if not drying.over:
            drying.dry(dt_h, face_c, lost)
        bottom_c = grid.bottom_c(temps)
        foot = blend(last.temps_c[-1], stage.temps_c[-1], 1.0 - STAGE)
        yield Step(
            t_h=float(t_h),
            dt_h=dt_h,
            surface_c=face_c,
            middle_c=grid.middle_c(temps),
            bottom_c=bottom_c,
            coldest_c=np.minimum(np.minimum(face_c, bottom_c), temps[: grid.slab].min(axis=0)),
            face=end,
            cover=cover,
            evaporation_kg_m2_h=lost,
            heat_j_m2=(warmed / STAGE * grid.capacity_j_m2k[: grid.slab, None]).sum(axis=0),
            top_j_m2=dt_s * blend(last.flux_w_m2, stage.flux_w_m2, 1.0 - STAGE),
            deep_j_m2=dt_s * grid.deep_w_m2k * (deep - foot),
            field_c=temps,
        )
