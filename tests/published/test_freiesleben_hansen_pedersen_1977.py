"""Freiesleben Hansen & Pedersen 1977: variable activation energy, exponential strength law.

Constants from memory; the tables were computed from the formulas by independent code.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import at_23, equivalent_age, gamma
from curecast.core.concrete.shapes import eurocode, exponential


@pytest.mark.parametrize(
    ("temp_c", "rate"),
    [
        (-5, 0.0681), (0, 0.1511), (2, 0.2000), (5, 0.2925), (7, 0.3673), (10, 0.4974),
        (15, 0.7476), (20, 1.0), (23, 1.1494), (30, 1.5737), (35, 1.9524), (40, 2.4057),
    ],
)  # fmt: skip
def test_rate(temp_c: float, rate: float) -> None:
    assert float(gamma(temp_c)) == pytest.approx(rate, abs=5e-5)


def test_age_reported_at_23_c() -> None:
    # Printed 6.107 h, from factors rounded to four places: 24 x 0.2925 / 1.1494, so +/- 0.002.
    # 23 °C inside the formula would give 5.573 h.
    assert float(at_23(24.0 * gamma(5.0))) == pytest.approx(6.107, abs=0.002)


@pytest.mark.parametrize(
    ("hours", "readings", "ages"),
    [
        (
            [0, 6, 12, 18, 24, 36, 48, 60, 72],
            [18, 22, 28, 30, 27, 21, 18, 15, 14],
            [6.000, 13.555, 22.591, 31.429, 45.868, 57.584, 67.491, 76.151],
        ),
        (
            [0, 4, 8, 12, 16, 20, 24, 30, 36, 42, 48],
            [12, 14, 16, 15, 12, 9, 6, 3, 0, -2, -4],
            [2.577, 5.568, 8.663, 11.342, 13.426, 14.976, 16.629, 17.750, 18.532, 19.103],
        ),
    ],
    ids=["mild", "cold"],
)
def test_worked_histories(hours: list[float], readings: list[float], ages: list[float]) -> None:
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    age = equivalent_age(mean, np.diff(hours))
    np.testing.assert_allclose(age, ages, rtol=0, atol=5.1e-4)


@pytest.mark.parametrize(
    ("s", "ultimate", "tau_d"),
    [(0.20, 1.2214, 1.120), (0.25, 1.2840, 1.750), (0.38, 1.4623, 4.043)],
)
def test_eurocode_is_this_law_with_alpha_one_half(s: float, ultimate: float, tau_d: float) -> None:
    assert np.exp(s) == pytest.approx(ultimate, abs=5e-5)
    assert 28.0 * s**2 == pytest.approx(tau_d, abs=5e-4)
    age = np.array([0.25, 1.0, 7.0, 28.0, 90.0])
    law = exponential(age, float(np.exp(s)), 28.0 * s**2, 0.5)
    np.testing.assert_allclose(law, eurocode(age, s), rtol=1e-12)
