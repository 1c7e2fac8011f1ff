"""Schindler & Folliard, ACI Materials Journal 102-M04, 2005: heat of hydration.

Constants from memory; tables computed by independent code (LSODA, rtol 1e-10).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from curecast.core.heat.cements import (
    SCHINDLER_REFERENCE_C,
    TYPE_I,
    TYPE_II,
    TYPE_III,
    Cement,
    heat_from_composition,
    schindler_activation,
    schindler_beta,
    schindler_tau,
)
from curecast.core.heat.hydration import (
    HeatOfHydration,
    degree,
    heat_rate_age,
    heat_w_m3,
    tau_at_reference,
    ultimate_degree,
)

RHO_C = 2350e3  # J/m3/K
GENERIC = HeatOfHydration(480e3, 335.0, 0.75, 14.0, 0.85, 40_000.0, 21.1)
HOURS = (6, 12, 24, 48, 72, 168)
CEMENTS = {"I": TYPE_I, "II": TYPE_II, "III": TYPE_III}


def adiabatic(h: HeatOfHydration, start_c: float) -> tuple[np.ndarray, np.ndarray]:
    """Temperature and heat age at ``HOURS``, no heat lost."""

    def slopes(_: float, y: np.ndarray) -> list[float]:
        age, temp = y
        heat = float(heat_w_m3(age, temp, h))
        return [float(heat_rate_age(temp, h)), heat * 3600.0 / RHO_C]

    done = solve_ivp(
        slopes, (0, 168), [0.0, start_c], "LSODA", t_eval=HOURS, rtol=1e-8, atol=1e-9, max_step=1.0
    )
    return done.y[1], done.y[0]


def of_type(name: str, w_c: float = 0.5) -> HeatOfHydration:
    cement = CEMENTS[name]
    return HeatOfHydration(
        heat_from_composition(cement),
        335.0,
        float(ultimate_degree(w_c)),
        schindler_tau(cement),
        schindler_beta(cement),
        schindler_activation(cement),
        SCHINDLER_REFERENCE_C,
    )


generic_runs = cache(lambda start_c: adiabatic(GENERIC, start_c))


@pytest.mark.parametrize(
    ("start_c", "printed"),
    [
        (10.0, [11.58, 19.43, 39.14, 53.98, 57.23, 59.82]),
        (20.0, [27.25, 44.40, 61.43, 67.56, 69.00, 70.36]),
        (30.0, [49.12, 67.65, 76.16, 79.05, 79.84, 80.67]),
    ],
)
def test_adiabatic_rise(start_c: float, printed: list[float]) -> None:
    np.testing.assert_allclose(generic_runs(start_c)[0], printed, rtol=0, atol=0.05)


def test_adiabatic_energy_balance() -> None:
    temp, age = generic_runs(20.0)
    rise = (temp - 20.0) * RHO_C / (480e3 * 335.0)
    np.testing.assert_allclose(rise, degree(age, GENERIC), rtol=0, atol=1e-4)
    assert age[2] == pytest.approx(85.82, abs=0.05)
    assert float(degree(85.82, GENERIC)) == pytest.approx(0.6054, abs=5e-5)
    limit_k = 480e3 * 0.75 * 335.0 / RHO_C
    assert limit_k == pytest.approx(51.32, abs=0.005)
    assert temp[-1] < 20.0 + limit_k


def test_peak_rate() -> None:
    age = np.linspace(3.0, 9.0, 60_001)
    heat = heat_w_m3(age, 21.1, GENERIC)
    assert float(heat.max()) == pytest.approx(1253.8, abs=0.05)
    assert float(age[heat.argmax()]) == pytest.approx(5.6075, abs=1.5e-4)
    exact = 14.0 * (0.85 / 1.85) ** (1 / 0.85)
    assert exact == pytest.approx(5.6075, abs=5e-5)


@pytest.mark.parametrize(
    ("name", "heat_j_g", "tau_h", "beta", "activation", "alphas", "j_g"),
    [
        ("I", 484.6, 15.01, 0.6742, 46_626, (0.358, 0.525, 0.610), (174, 254, 296)),
        ("II", 468.9, 16.70, 0.5977, 43_642, (0.332, 0.489, 0.578), (156, 229, 271)),
        ("III", 485.0, 9.80, 0.5880, 51_881, (0.411, 0.545, 0.615), (200, 264, 298)),
    ],
)
def test_cement_types(
    name: str,
    heat_j_g: float,
    tau_h: float,
    beta: float,
    activation: float,
    alphas: tuple[float, ...],
    j_g: tuple[float, ...],
) -> None:
    h = of_type(name)
    assert h.heat_j_kg / 1000 == pytest.approx(heat_j_g, abs=0.05)
    assert h.tau_h == pytest.approx(tau_h, abs=0.0051)
    assert h.beta == pytest.approx(beta, abs=5.1e-5)
    assert h.activation_j_mol == pytest.approx(activation, abs=0.5)
    alpha = degree([24.0, 72.0, 168.0], h)
    np.testing.assert_allclose(alpha, alphas, rtol=0, atol=5.1e-4)
    np.testing.assert_allclose(alpha * h.heat_j_kg / 1000, j_g, rtol=0, atol=0.51)


@pytest.mark.parametrize(("w_c", "printed"), [(0.45, 0.7204), (0.5, 0.7428), (0.6, 0.7791)])
def test_ultimate_degree(w_c: float, printed: float) -> None:
    assert float(ultimate_degree(w_c)) == pytest.approx(printed, abs=5e-5)


@pytest.mark.parametrize(
    ("name", "start_c", "printed"),
    [
        ("I", 20.0, [59.18, 67.53, 69.48]),
        ("II", 20.0, [52.98, 63.27, 66.31]),
        ("III", 20.0, [63.20, 68.11, 69.57]),
        ("I", 10.0, [36.38, 54.75, 58.48]),
    ],
)
def test_adiabatic_rise_by_type(name: str, start_c: float, printed: list[float]) -> None:
    temp, _ = adiabatic(of_type(name), start_c)
    np.testing.assert_allclose(temp[[2, 4, 5]], printed, rtol=0, atol=0.05)


@pytest.mark.parametrize(("name", "rise_k"), [("I", 14.8), ("II", 13.8), ("III", 14.8)])
def test_rise_per_100_kg_is_near_fitzgibbons_12_to_14(name: str, rise_k: float) -> None:
    # FitzGibbon 1976: 12-14 K per 100 kg of cement; Schindler's set sits at its top or 6 % above.
    temp, _ = adiabatic(of_type(name), 20.0)
    per_100 = (float(temp[-1]) - 20.0) / 3.35
    assert per_100 == pytest.approx(rise_k, abs=0.051)
    assert 12.0 <= per_100 <= 14.0 * 1.06


def test_set_by_degree_of_hydration() -> None:
    # Initial set at 0.15 w/c, final at 0.26 w/c (from memory): 5.25 and 7.24 h at 21.1 °C.
    assert float(degree(5.25, GENERIC)) == pytest.approx(0.15 * 0.5, abs=2e-4)
    assert float(degree(7.24, GENERIC)) == pytest.approx(0.26 * 0.5, abs=2e-4)


def test_another_reference_changes_nothing_but_the_clock() -> None:
    """tau at 23 °C with ages at 23 °C gives the heat of tau at 21.1 °C with its own ages."""
    tau = tau_at_reference(14.0, 40_000.0, 21.1, 23.0)
    same = HeatOfHydration(480e3, 335.0, 0.75, tau, 0.85, 40_000.0, 23.0)
    faster = heat_rate_age(10.0, GENERIC) / heat_rate_age(10.0, same)
    for age in (3.0, 12.0, 60.0):
        at_21 = float(heat_w_m3(age, 10.0, GENERIC))
        assert float(heat_w_m3(age / faster, 10.0, same)) == pytest.approx(at_21, rel=1e-9)


def test_no_reaction_in_frozen_water() -> None:
    assert heat_w_m3(5.0, [-10.1, -9.9], GENERIC).tolist()[0] == 0.0
    assert float(heat_w_m3(5.0, -9.9, GENERIC)) > 0.0


def test_types_are_whole_compositions() -> None:
    for cement in CEMENTS.values():
        assert isinstance(cement, Cement)
        assert 0.9 < cement.c3s + cement.c2s + cement.c3a + cement.c4af + cement.so3 <= 1.0
