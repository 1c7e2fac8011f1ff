"""Freiesleben Hansen & Pedersen 1977: variable activation energy, exponential strength law.

Constants from memory; the tables were computed from the formulas by independent code.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import at_23, equivalent_age, gamma
from curecast.core.concrete.shapes import eurocode, exponential
from tests.validation.rows import Agree

SOURCE = "Freiesleben Hansen & Pedersen, Nordisk Betong 1, 1977"


@pytest.mark.parametrize(
    ("temp_c", "rate"),
    [
        (-5, 0.0681), (0, 0.1511), (2, 0.2000), (5, 0.2925), (7, 0.3673), (10, 0.4974),
        (15, 0.7476), (20, 1.0), (23, 1.1494), (30, 1.5737), (35, 1.9524), (40, 2.4057),
    ],
)  # fmt: skip
def test_rate(agree: Agree, temp_c: float, rate: float) -> None:
    agree(f"rate at {temp_c} °C", SOURCE, rate, [gamma(temp_c)], 5e-5, "h/h", "computed")


def test_age_reported_at_23_c(agree: Agree) -> None:
    # Printed 6.107 h, from factors rounded to four places: 24 x 0.2925 / 1.1494, so +/- 0.002.
    # 23 °C inside the formula would give 5.573 h.
    agree(
        "24 h at 5 °C, as an age at 23 °C", SOURCE, 6.107, [at_23(24.0 * gamma(5.0))], 0.002, "h",
        "computed", note="printed from factors of 4 places",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("history", "hours", "readings", "ages"),
    [
        (
            "mild, 72 h",
            [0, 6, 12, 18, 24, 36, 48, 60, 72],
            [18, 22, 28, 30, 27, 21, 18, 15, 14],
            [6.000, 13.555, 22.591, 31.429, 45.868, 57.584, 67.491, 76.151],
        ),
        (
            "cold, 48 h",
            [0, 4, 8, 12, 16, 20, 24, 30, 36, 42, 48],
            [12, 14, 16, 15, 12, 9, 6, 3, 0, -2, -4],
            [2.577, 5.568, 8.663, 11.342, 13.426, 14.976, 16.629, 17.750, 18.532, 19.103],
        ),
    ],
)
def test_worked_histories(
    agree: Agree, history: str, hours: list[float], readings: list[float], ages: list[float]
) -> None:
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    age = equivalent_age(mean, np.diff(hours))
    what = f"worked history, {history}: equivalent age at 20 °C"
    agree(what, SOURCE, ages, age, 5.1e-4, "h", "computed")


@pytest.mark.parametrize(
    ("s", "ultimate", "tau_d"),
    [(0.20, 1.2214, 1.120), (0.25, 1.2840, 1.750), (0.38, 1.4623, 4.043)],
)
def test_eurocode_is_this_law_with_alpha_one_half(
    agree: Agree, s: float, ultimate: float, tau_d: float
) -> None:
    assert np.exp(s) == pytest.approx(ultimate, abs=5e-5)
    assert 28.0 * s**2 == pytest.approx(tau_d, abs=5e-4)
    age = np.array([0.25, 1.0, 7.0, 28.0, 90.0])
    law = exponential(age, float(np.exp(s)), 28.0 * s**2, 0.5)
    agree(
        f"Eurocode's s {s} is this law, ultimate {ultimate}, tau {tau_d} d: 0.25 to 90 d",
        SOURCE, law, eurocode(age, s), 1e-12 * law, kind="computed", note="an identity",
    )  # fmt: skip
