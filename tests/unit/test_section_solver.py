"""The edge section's solver: order, balance, symmetry, stability, and batches."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_modes import section_modes
from curecast.core.heat.soil import Material
from curecast.core.heat.surface import Surroundings
from tests.fixtures.edge_weather import (
    GENERIC,
    forcing,
    one_coefficient,
    rough_autumn,
    still,
)

NO_BASE_M2K_W = 1e9
COVER = (CoverSpell(0.35, 6.3, 20.0, laps=False), CoverSpell(0.5, 20.0, 31.7, laps=True))


def slab_series(x_share: float, biot: float, fourier: float) -> float:
    """A wall insulated on one side, of 1 °C into 0 °C: temperature at ``x_share`` from there."""
    total = 0.0
    for n in range(60):
        low, high = n * np.pi + 1e-9, (n + 0.5) * np.pi - 1e-9
        root = brentq(lambda z: z * np.tan(z) - biot, low, high)
        factor = 4.0 * np.sin(root) / (2.0 * root + np.sin(2.0 * root))
        total += factor * np.exp(-(root**2) * fourier) * np.cos(root * x_share)
    return total


def test_error_falls_with_the_square_of_the_cells(monkeypatch: pytest.MonkeyPatch) -> None:
    # insulated base, no form: the answer is the product of two series
    h, k, depth, half, t_h = 10.0, 1.5, 0.15, 0.3, 3.0
    one_coefficient(monkeypatch, h)
    column = Column(
        depth, GENERIC, 1.0, 0.0, 0.0, under_r_m2k_w=NO_BASE_M2K_W, heat_scale=0.0,
        concrete=Material(k, 2350.0, 1000.0), evaporates=False,
    )  # fmt: skip
    fourier = k / 2.35e6 * t_h * 3600.0
    x_edge = slab_series(1.0, h * half / k, fourier / half**2)
    z_top = slab_series(1.0, h * depth / k, fourier / depth**2)
    z_mid = slab_series(0.5, h * depth / k, fourier / depth**2)
    exact = np.array([x_edge * z_top, x_edge * z_mid])
    errors = []
    for fineness in (0.5, 0.75, 1.0, 1.5):
        edge = EdgeSection(column, 2 * half, form_r_m2k_w=0.0, fineness=fineness)
        found = march(edge, still(), (), t_h, plan=((9.0, 2.0),)).temp_c[-1, :2, 0]
        errors.append(np.abs(found - exact).max())
    orders = np.log(np.array(errors[:-1]) / errors[1:]) / np.log([1.5, 1 / 0.75, 1.5])
    assert orders.mean() == pytest.approx(2.0, abs=0.35), (errors, orders)
    assert errors[2] < 1e-3


def test_error_falls_with_the_square_of_the_step() -> None:
    # smooth surroundings, no sunrise to stumble over; the first hour in minutes
    def smooth(t_h: float) -> Surroundings:
        wave = np.full(1, np.sin(2 * np.pi * t_h / 24.0))
        return Surroundings(
            6.0 * wave, -40.0 + 10.0 * wave, 0.0 * wave, 0.5 + 0.0 * wave, 3.0 - wave
        )

    edge = EdgeSection(Column(0.15, GENERIC, 12.0, 8.0, 8.0, evaporates=False), 1.2)

    def run(step_min: float) -> np.ndarray:
        plan = ((1.0, 1.0), (99.0, step_min))
        return march(edge, smooth, (), 24.0, plan=plan).temp_c[6:]

    exact = run(2.5)
    errors = [np.abs(run(step) - exact).max() for step in (60.0, 30.0, 15.0)]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders.min() > 1.7, (errors, orders)


def test_energy_balances() -> None:
    # a day is too short for the change to be felt at the foot of the soil
    weather = rough_autumn(40)
    column = Column(0.2, GENERIC, np.array([15.0, 9.0]), 8.0, 8.0)
    edge = EdgeSection(column, 2.4, strip_at_h=18.5)
    run = march(
        edge, forcing(weather, weather["start_h"], [0.0, -3.0]), COVER, 24.0,
        fields_at_h=(0.0, 24.0),
    )  # fmt: skip
    grid = section_modes(edge.shape).grid
    there = grid.number >= 0
    stored = [grid.capacity_j_mk @ run.fields_c[hour][there] for hour in (0.0, 24.0)]
    gain = stored[1] - stored[0]
    assert np.all(run.heat_j_m[-1] > 1e6)
    assert gain - run.faces_j_m[-1] == pytest.approx(run.heat_j_m[-1], rel=1e-6)


def test_heat_given_off_is_what_the_degree_of_hydration_says() -> None:
    # nothing escapes upwards or sideways worth mentioning: mild air, thick cover, no base
    column = Column(0.2, GENERIC, 20.0, 20.0, 20.0, under_r_m2k_w=NO_BASE_M2K_W)
    edge = EdgeSection(column, 2.0, form_r_m2k_w=NO_BASE_M2K_W)
    closed = (CoverSpell(NO_BASE_M2K_W, 0.0, 99.0),)
    run = march(edge, still(air_c=20.0), closed, 48.0)
    area = 0.2 * 1.0
    alpha = 0.75 * np.exp(-((14.0 / run.at("centre_mid")["heat_age_h"][-1, 0]) ** 0.85))
    assert run.heat_j_m[-1, 0] == pytest.approx(480e3 * 335.0 * alpha * area, rel=2e-4)
    rise = run.heat_j_m[-1, 0] / (area * 2350.0 * 960.0)
    assert run.at("arris")["temp_c"][-1, 0] - 20.0 == pytest.approx(rise, abs=1e-3)


def test_top_and_side_are_alike_when_built_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    one_coefficient(monkeypatch, 15.0)
    column = Column(0.4, GENERIC, 20.0, 5.0, 5.0, under_r_m2k_w=NO_BASE_M2K_W, evaporates=False)
    edge = EdgeSection(column, 0.8, form_r_m2k_w=0.0, anchor_edge_m=0.2)
    run = march(edge, still(), (), 24.0)
    side, top = run.at("side_mid")["temp_c"], run.at("top_anchor")["temp_c"]
    assert side[1:] == pytest.approx(top[1:], abs=0.02)  # x and z are cut differently


def test_a_batch_is_its_members_run_alone() -> None:
    weather = rough_autumn(40)
    offsets, placed = np.array([0.0, -4.0, 3.0]), np.array([15.0, 12.0, 20.0])
    ground, scale = np.array([8.0, 3.0, 9.0]), np.array([1.0, 0.8, 1.1])

    def run(pick: slice) -> np.ndarray:
        column = Column(0.2, GENERIC, placed[pick], ground[pick], 9.0, heat_scale=scale[pick])
        edge = EdgeSection(column, 1.6, above_grade_m=0.1, strip_at_h=30.0)
        air = forcing(weather, weather["start_h"] + 0.4, offsets[pick])
        history = march(edge, air, COVER, 36.0)
        return np.stack([history.temp_c, history.te20_h, history.ttf_c_h, history.heat_age_h])

    together = run(slice(None))
    for i in range(3):
        assert run(slice(i, i + 1))[..., 0] == pytest.approx(together[..., i], abs=1e-9)


@pytest.mark.parametrize("dt_s", [60.0, 600.0, 3600.0, 7200.0])
@pytest.mark.parametrize("h_w_m2k", [10.0, 150.0, 1e5])
def test_no_step_and_no_face_makes_a_mode_grow_or_ring(dt_s: float, h_w_m2k: float) -> None:
    column = Column(0.2, GENERIC, 20.0, 5.0, 5.0)
    modes = section_modes(EdgeSection(column, 2.4, fineness=0.6).shape)
    op, slab, faces = modes.operator(dt_s), len(modes.grid.slab), len(modes.grid.face_cell)
    behind = modes.read[slab : slab + faces]
    own = h_w_m2k / (1.0 + h_w_m2k * modes.grid.face_r_m2k_w)
    known = np.diag(op.keep[:, 0]) - op.from_start * (modes.from_faces @ (own[:, None] * behind))
    flux = -np.linalg.solve(np.eye(faces) + h_w_m2k * op.to_faces, h_w_m2k * (behind @ known))
    step = known + op.from_end * (modes.from_faces @ flux)
    values = np.linalg.eigvals(step)
    assert np.abs(values).max() < 1.0
    assert values.real.min() > -0.5
