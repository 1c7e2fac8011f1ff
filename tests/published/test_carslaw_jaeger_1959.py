"""Conduction in closed form (Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959).

The numbers were worked out from the formulas by independent code. A cover of R = 1/h under a
gale stands for a face with one total coefficient h: radiation and film are then nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from curecast.core.heat import column as column_module
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.layers import Column, layers
from curecast.core.heat.soil import Material, slab_widths
from curecast.core.heat.step import Step
from curecast.core.heat.stepping import step_times_h
from curecast.core.heat.surface import Surroundings
from tests.validation.rows import Agree

SOURCE = "Carslaw & Jaeger 1959"
SOLVER_K = 0.02  # what 20 cells may be off; the printed digits are finer
NOTE = "0.02 °C is asked of 20 cells"
CELLS = 20
CONCRETE = Material(1.5, 2350.0, 1000.0)
SOIL_NIST = Material(0.3, 1600.0, 800.0)  # dry, NISTIR 6551 table 1
SAND, CLAY = Material(2.0, 1950.0, 1045.0), Material(1.5, 1500.0, 2085.0)  # ISO 10456
NO_LOSS = 1e9
GALE_MS = 1e9
FINE = ((6.0, 2.0), (1e9, 6.0))
COLD = HeatOfHydration(1.0, 1.0, 1.0, 1e9, 1.0, 40_000.0)  # gives nothing
# Generic heat of the adiabatic check: tau at 21.1 °C, rho c 2.35e6.
GENERIC = HeatOfHydration(480e3, 335.0, 0.75, 14.0, 0.85, 40_000.0, 21.1)


def slab(thickness_m: float, start_c: float, **more: Any) -> Column:
    usual = {
        "thickness_m": thickness_m, "hydration": COLD, "placed_c": start_c, "ground_c": start_c,
        "deep_c": start_c, "concrete": CONCRETE, "concrete_cells": CELLS, "soil_cells": CELLS,
    }  # fmt: skip
    return Column(**usual | more)


def steps(
    column: Column, until_h: float, h_w_m2k: float, air: Callable[[float], float] = lambda _: 0.0,
    plan: Any = FINE,
) -> dict[float, Step]:  # fmt: skip
    def forcing(t_h: float) -> Surroundings:
        none = np.zeros(1)
        return Surroundings(np.array([air(t_h)]), none, none, none, np.full(1, GALE_MS))

    cover = CoverSpell(1.0 / h_w_m2k, 0.0, NO_LOSS)
    times = step_times_h(until_h, plan=plan)
    return {round(s.t_h, 6): s for s in march(column, forcing, [cover], times, passes=3)}


def test_semi_infinite_with_a_coefficient(agree: Agree) -> None:
    # x/2 sqrt(at), h 20, 20 °C under air at 0: rows 1, 3, 6, 12, 24 h; x 0, .05, .10, .20 m.
    expected = np.array([
        [11.015, 16.687, 19.178, 19.987], [8.000, 12.756, 16.153, 19.288],
        [6.223, 10.110, 13.335, 17.534], [4.686, 7.700, 10.425, 14.750],
        [3.443, 5.694, 7.830, 11.611],
    ])  # fmt: skip
    column = slab(1.0, 20.0, soil=CONCRETE, concrete_cells=160, soil_cells=60)
    widths = slab_widths(1.0, 160)
    assert widths.max() <= 0.010
    depth = np.cumsum(widths) - 0.5 * widths
    found = steps(column, 24.0, 20.0)
    ours = [
        [found[t].surface_c[0], *np.interp([0.05, 0.10, 0.20], depth, found[t].field_c[:160, 0])]
        for t in (1.0, 3.0, 6.0, 12.0, 24.0)
    ]
    agree("semi-infinite body, h 20, cells of 10 mm or less", SOURCE, expected, ours, SOLVER_K,
          "°C", "computed", NOTE)  # fmt: skip


@pytest.mark.parametrize(  # base and surface at 1, 3, 6, 12, 24 h
    ("thickness_m", "h", "base", "surface"),
    [
        (0.10, 10.0, [19.050, 14.984, 10.315, 4.888, 1.098], [14.414, 11.107, 7.645, 3.623, 0.813]),
        (0.10, 20.0, [18.356, 12.256, 6.570, 1.887, 0.156], [10.994, 7.119, 3.815, 1.096, 0.090]),
        (0.10, 5.0, [19.485, 17.075, 13.891, 9.193, 4.027], [16.842, 14.583, 11.863, 7.851, 3.439]),
        (0.15, 10.0, [19.851, 17.758, 14.219, 9.036, 3.648], [14.427, 11.716, 9.277, 5.893, 2.379]),
    ],
)
def test_slab_on_an_insulated_base(
    agree: Agree, thickness_m: float, h: float, base: list[float], surface: list[float]
) -> None:
    found = steps(slab(thickness_m, 20.0, under_r_m2k_w=NO_LOSS), 24.0, h)
    hours = (1.0, 3.0, 6.0, 12.0, 24.0)
    ours = [[found[t].bottom_c[0] for t in hours], [found[t].surface_c[0] for t in hours]]
    agree(f"slab {thickness_m} m on an insulated base, h {h:.0f}, base and surface", SOURCE,
          [base, surface], ours, SOLVER_K, "°C", "computed", NOTE)  # fmt: skip


DAY_RAD_H = 2.0 * np.pi / 24.0


def swing(times_h: Any, values: Any) -> tuple[float, float]:
    """Amplitude, and lag behind the cosine in hours, by least squares."""
    t = np.asarray(times_h)
    basis = np.stack([np.cos(DAY_RAD_H * t), np.sin(DAY_RAD_H * t), np.ones_like(t)], axis=1)
    cosine, sine, _ = np.linalg.lstsq(basis, np.asarray(values), rcond=None)[0]
    return float(np.hypot(cosine, sine)), float(np.arctan2(sine, cosine) / DAY_RAD_H)


def daily(h_w_m2k: float) -> tuple[list[Step], np.ndarray]:
    """The tenth day of a slab of 0.3 m on soil of its own kind, air 10 °C either way of 0."""
    column = slab(0.30, 0.0, soil=CONCRETE, soil_cells=40)
    air = lambda t: 10.0 * float(np.cos(DAY_RAD_H * t))  # noqa: E731
    found = steps(column, 240.0, h_w_m2k, air, ((1e9, 10.0),))
    last = [s for s in found.values() if s.t_h > 216.0]
    widths = slab_widths(0.30, CELLS)
    depth = np.concatenate([np.cumsum(widths) - 0.5 * widths, 0.30 + layers(column).soil_depth_m])
    return last, depth


def test_daily_swing_goes_down_into_the_slab(agree: Agree) -> None:
    # depth of the wave sqrt(2a/w) = .13249 m: amplitude and lag at .05 .10 .15 .20 .30 m
    last, depth = daily(1e8)
    t = [s.t_h for s in last]
    at = (0.05, 0.10, 0.15, 0.20, 0.30)
    log_swings = [swing(t, [s.field_c[i, 0] for s in last]) for i in range(len(depth))]
    # both are straight lines of depth: read between cells without a doubt
    sizes = np.exp(np.interp(at, depth, np.log([a for a, _ in log_swings])))
    lags = np.interp(at, depth, [lag for _, lag in log_swings])
    agree("daily swing 10 °C at the face: size at 50 to 300 mm", SOURCE,
          [6.857, 4.701, 3.223, 2.210, 1.039], sizes, SOLVER_K, "°C", "computed", NOTE)  # fmt: skip
    agree("daily swing at the face: lag at 50 to 300 mm", SOURCE,
          [1.441, 2.883, 4.324, 5.766, 8.649], lags, 0.02, "h", "computed",
          "one and a bit minutes of a 10 min step")  # fmt: skip


@pytest.mark.parametrize(("h", "size", "lag"), [(10.0, 0.4142, 1.865), (20.0, 0.6005, 1.325)])
def test_daily_swing_through_a_coefficient(agree: Agree, h: float, size: float, lag: float) -> None:
    last, _ = daily(h)
    ours = swing([s.t_h for s in last], [s.surface_c[0] for s in last])
    agree(f"daily swing 10 °C of the air, h {h:.0f}: size at the face", SOURCE, 10 * size, ours[0],
          SOLVER_K, "°C", "computed", NOTE)  # fmt: skip
    agree(f"daily swing of the air, h {h:.0f}: lag at the face", SOURCE, lag, ours[1], 0.02, "h",
          "computed", "one and a bit minutes of a 10 min step")  # fmt: skip


def test_lumped_slab_under_a_blanket(agree: Agree) -> None:
    # time constant 35.90 h; a lumped answer, so the concrete conducts as if it were metal
    column = slab(0.10, 20.0, concrete=Material(1000.0, 2350.0, 1000.0), under_r_m2k_w=NO_LOSS)
    found = steps(column, 24.0, 1.0 / 0.55, lambda _: -5.0)
    ours = [found[t].middle_c[0] for t in (12.0, 24.0)]
    agree("lumped slab under a blanket, 12 and 24 h", SOURCE, [12.897, 7.812], ours, SOLVER_K,
          "°C", "computed", NOTE)  # fmt: skip


@pytest.mark.parametrize(
    ("soil_c", "soil", "contact_c"),
    [
        (0.0, SOIL_NIST, 15.04), (0.0, SAND, 9.64), (0.0, CLAY, 9.29),
        (5.0, SOIL_NIST, 16.28), (5.0, SAND, 12.23), (5.0, CLAY, 11.97),
        (-3.0, SOIL_NIST, 14.29), (-3.0, SAND, 8.08), (-3.0, CLAY, 7.68),
    ],
)  # fmt: skip
def test_contact_of_concrete_and_soil(
    agree: Agree, soil_c: float, soil: Material, contact_c: float
) -> None:
    column = slab(0.10, 20.0, ground_c=soil_c, deep_c=soil_c, soil=soil, concrete_cells=60,
                  soil_cells=60)  # fmt: skip
    found = steps(column, 0.5, 1e-9, plan=((1.0, 0.5),))
    agree(f"concrete at 20 °C on soil of k {soil.conductivity_w_mk} at {soil_c:.0f} °C, contact",
          SOURCE, contact_c, found[0.25].bottom_c[0], SOLVER_K, "°C", "computed",
          "cells of 2 mm or less")  # fmt: skip


class _Steady:
    """A heat source that never changes, in place of hydration."""

    w_m3 = 0.0

    def __init__(self, column: Column, slab_c: np.ndarray) -> None:
        self.per_h = 3600.0 * self.w_m3 / column.concrete.capacity_j_m3k
        self.ones = np.ones_like(slab_c)

    def warmed_k(self, dt_h: float) -> np.ndarray:
        return self.per_h * dt_h * self.ones

    def age(self, slab_c: np.ndarray, dt_h: float) -> None:
        pass


@pytest.fixture
def source(monkeypatch: pytest.MonkeyPatch) -> type[_Steady]:
    monkeypatch.setattr(column_module, "Hydrating", _Steady)
    return _Steady


def test_steady_source_on_an_insulated_base(
    agree: Agree, source: type[_Steady], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(source, "w_m3", 800.0)
    light = Material(1.5, 235.0, 100.0)  # its capacity is nothing to a steady state
    column = slab(0.10, 0.0, concrete=light, under_r_m2k_w=NO_LOSS)
    last = steps(column, 48.0, 10.0)[48.0]
    agree("800 W/m3 in 0.1 m, base insulated: top and base", SOURCE, [8.000, 10.667],
          [last.surface_c[0], last.bottom_c[0]], SOLVER_K, "°C", "computed", NOTE)  # fmt: skip
    warmed = steps(slab(0.10, 0.0, under_r_m2k_w=NO_LOSS), 10.0, 1e-9)[10.0]
    agree("800 W/m3 without losses", SOURCE, 1.2255, warmed.middle_c[0] / 10.0, 5e-5, "K/h",
          "computed")  # fmt: skip


def test_steady_layers(
    agree: Agree, source: type[_Steady], monkeypatch: pytest.MonkeyPatch
) -> None:
    # 0.1 m with 500 W/m3; cover and film 0.4 to -5 °C; soil of R 0.25 (2 m of k 8) to 5 °C
    monkeypatch.setattr(source, "w_m3", 500.0)
    light, soil = Material(1.5, 235.0, 100.0), Material(8.0, 10.0, 10.0)
    column = slab(0.10, 5.0, concrete=light, soil=soil)
    last = steps(column, 96.0, 1.0 / 0.40, lambda _: -5.0)[96.0]
    agree("layers with 500 W/m3: base and top", SOURCE, [9.0698, 8.4884],
          [last.bottom_c[0], last.surface_c[0]], SOLVER_K, "°C", "computed", NOTE)  # fmt: skip
    up, down = (-float(j[0]) / (3600.0 * last.dt_h) for j in (last.top_j_m2, last.deep_j_m2))
    agree("layers with 500 W/m3: flux up, down and in all", SOURCE, [33.721, 16.279, 50.0],
          [up, down, up + down], [5e-2, 5e-2, 1e-5], "W/m2", "computed",
          "0.02 °C over a resistance of 0.4; the sum is kept exactly")  # fmt: skip


@pytest.mark.parametrize(
    ("placed_c", "expected"),
    [
        (10.0, [11.58, 19.43, 39.14, 53.98, 57.23, 59.82]),
        (20.0, [27.25, 44.40, 61.43, 67.56, 69.00, 70.36]),
        (30.0, [49.12, 67.65, 76.16, 79.05, 79.84, 80.67]),
    ],
)
def test_adiabatic_heat_of_hydration(agree: Agree, placed_c: float, expected: list[float]) -> None:
    # LSODA, rtol 1e-10: 6, 12, 24, 48, 72, 168 h
    column = slab(0.20, placed_c, hydration=GENERIC, under_r_m2k_w=NO_LOSS)
    found = steps(column, 168.0, 1e-9)
    ours = [found[t].middle_c[0] for t in (6.0, 12.0, 24.0, 48.0, 72.0, 168.0)]
    agree(f"column without losses from {placed_c:.0f} °C, 6 to 168 h",
          "Schindler & Folliard 2005, adiabatic", expected, ours, 0.05, "°C", "computed",
          "0.05 °C is asked")  # fmt: skip
