"""EN 1992-1-1:2004: strength with age, 3.1.2(6), and temperature-adjusted age, (B.10).

A second opinion comes from structuralcodes, which implements the same clauses.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.rates import _gamma_eurocode, gamma_eurocode
from curecast.core.concrete.shapes import eurocode, eurocode_age_d
from curecast.errors import OutOfRange

ec2 = pytest.importorskip("structuralcodes.codes.ec2_2004")

RATES = [  # computed from (B.10)
    (0, 0.3671), (5, 0.4778), (10, 0.6161), (15, 0.7875), (20, 0.9981), (23, 1.1462),
    (30, 1.5662), (35, 1.9406), (40, 2.3880),
]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "rate"), RATES)
def test_rate(temp_c: float, rate: float) -> None:
    assert float(gamma_eurocode(temp_c)) == pytest.approx(rate, abs=5e-5)
    assert float(gamma_eurocode(temp_c)) == pytest.approx(float(ec2.t_T(temp_c, 1.0)), rel=1e-9)


def test_temperature_adjusted_age() -> None:
    # 7 d at 20 °C and 7 d at 25 °C: 15.7723 d (structuralcodes' published test, rtol 1e-5).
    assert float(np.sum(7.0 * gamma_eurocode([20.0, 25.0]))) == pytest.approx(15.7723, rel=1e-5)
    # 1 d at 5, 1 d at 15, 2 d at 25 °C: 3.775452 d.
    age = float(np.sum([1.0, 1.0, 2.0] * gamma_eurocode([5.0, 15.0, 25.0])))
    assert age == pytest.approx(3.775452, abs=5e-7)


def test_range_stated_by_the_standard() -> None:
    for outside in (-0.1, 80.1):
        with pytest.raises(OutOfRange):
            gamma_eurocode([20.0, outside])


@pytest.mark.parametrize(
    ("hours", "readings", "ages"),
    [
        (
            [0, 6, 12, 18, 24, 36, 48, 60, 72],
            [18, 22, 28, 30, 27, 21, 18, 15, 14],
            [5.989, 13.519, 22.515, 31.315, 45.710, 57.411, 67.566, 76.791],
        ),
        (  # the last two means lie below the standard's 0 °C: arithmetic only
            [0, 4, 8, 12, 16, 20, 24, 30, 36, 42, 48],
            [12, 14, 16, 15, 12, 9, 6, 3, 0, -2, -4],
            [2.858, 6.008, 9.235, 12.164, 14.691, 16.864, 19.658, 22.044, 24.131, 26.003],
        ),
    ],
    ids=["mild", "cold"],
)
def test_worked_histories(hours: list[float], readings: list[float], ages: list[float]) -> None:
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    age = np.cumsum(_gamma_eurocode(mean) * np.diff(hours))
    np.testing.assert_allclose(age, ages, rtol=0, atol=5.1e-4)


def test_daily_mean_under_counts() -> None:
    # 10 ± 10 °C: 0.6493 against 0.6162 at the mean; computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 10.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    assert float(np.mean(gamma_eurocode(swing))) == pytest.approx(0.6493, abs=5e-5)


AGES_D = [0.5, 1, 2, 3, 5, 7, 14, 28, 56, 90, 365]
STRENGTH = {  # computed from (3.2)
    0.20: [.2734, .4239, .5779, .6630, .7609, .8187, .9205, 1, 1.0603, 1.0925, 1.1556],
    0.25: [.1977, .3420, .5039, .5982, .7106, .7788, .9016, 1, 1.0760, 1.1169, 1.1981],
    0.38: [.0851, .1958, .3528, .4580, .5950, .6839, .8544, 1, 1.1177, 1.1830, 1.3162],
}  # fmt: skip


@pytest.mark.parametrize("s", STRENGTH)
def test_strength_with_age(s: float) -> None:
    np.testing.assert_allclose(eurocode(AGES_D, s), STRENGTH[s], rtol=0, atol=5.1e-5)
    second = [float(ec2.beta_cc(float(t), s)) for t in AGES_D]
    np.testing.assert_allclose(eurocode(AGES_D, s), second, rtol=1e-9)


@pytest.mark.parametrize(
    ("age_d", "printed"),
    [(9, 0.8261668305), (27, 0.9954229681), (56, 1.0759707794), (365, 1.1981246270)],
)
def test_strength_with_age_as_structuralcodes_prints_it(age_d: float, printed: float) -> None:
    assert float(eurocode(age_d, 0.25)) == pytest.approx(printed, abs=5e-11)


@pytest.mark.parametrize(
    ("age_d", "s", "printed"),
    [
        (10, 0.38, 0.77425), (10, 0.25, 0.84507), (10, 0.20, 0.87401), (30, 0.38, 1.01297),
        (20, 0.38, 0.93275), (40, 0.38, 1.06404),
    ],
)  # fmt: skip
def test_model_code_2010_has_the_same_curve(age_d: float, s: float, printed: float) -> None:
    # fib Model Code 2010, 5.1-51, classes 32.5 N, 42.5 N and 42.5 R, fcm 20 MPa.
    assert float(eurocode(age_d, s)) == pytest.approx(printed, abs=5e-6)


FRACTIONS = [0.10, 0.20, 0.30, 0.50, 0.70, 0.75, 0.85]
INVERSE_D = {  # computed
    0.20: [.179, .342, .568, 1.404, 3.614, 4.709, 8.522],
    0.25: [.269, .506, .828, 1.967, 4.755, 6.053, 10.284],
    0.38: [.562, 1.022, 1.611, 3.511, 7.450, 9.070, 13.737],
}  # fmt: skip


@pytest.mark.parametrize("s", INVERSE_D)
def test_age_for_a_strength(s: float) -> None:
    np.testing.assert_allclose(eurocode_age_d(FRACTIONS, s), INVERSE_D[s], rtol=0, atol=5.1e-4)
