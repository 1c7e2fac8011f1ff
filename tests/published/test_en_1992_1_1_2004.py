"""EN 1992-1-1:2004: strength with age, 3.1.2(6), and temperature-adjusted age, (B.10).

A second opinion comes from structuralcodes, which implements the same clauses.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.presets import PRESETS
from curecast.core.concrete.rates import _gamma_eurocode, gamma_eurocode
from curecast.core.concrete.shapes import eurocode, eurocode_age_d
from curecast.errors import OutOfRange
from tests.validation.rows import Agree

SOURCE = "EN 1992-1-1:2004"
LIBRARY = "structuralcodes"
ec2 = pytest.importorskip("structuralcodes.codes.ec2_2004")

RATES = [  # computed from (B.10)
    (0, 0.3671), (5, 0.4778), (10, 0.6161), (15, 0.7875), (20, 0.9981), (23, 1.1462),
    (30, 1.5662), (35, 1.9406), (40, 2.3880),
]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "rate"), RATES)
def test_rate(agree: Agree, temp_c: float, rate: float) -> None:
    agree(f"(B.10) rate at {temp_c} °C", SOURCE, rate, [gamma_eurocode(temp_c)], 5e-5, "h/h",
          "computed")  # fmt: skip


def test_rates_as_structuralcodes_has_them(agree: Agree) -> None:
    temps = [temp_c for temp_c, _ in RATES]
    theirs = np.array([float(ec2.t_T(temp_c, 1.0)) for temp_c in temps])
    agree("EC2 (B.10) rate, 0 to 40 °C", LIBRARY, theirs, gamma_eurocode(temps), 1e-9 * theirs,
          "h/h", "library", note="the same formula")  # fmt: skip


def test_temperature_adjusted_age(agree: Agree) -> None:
    # structuralcodes' published test, rtol 1e-5.
    age = np.sum(7.0 * gamma_eurocode([20.0, 25.0]))
    agree("(B.10) 7 d at 20 and 7 d at 25 °C", LIBRARY, 15.7723, age, 1.6e-4, "d", "library",
          note="1e-5, as its own test has it")  # fmt: skip
    age = np.sum([1.0, 1.0, 2.0] * gamma_eurocode([5.0, 15.0, 25.0]))
    agree("(B.10) 1 d at 5, 1 d at 15, 2 d at 25 °C", SOURCE, 3.775452, age, 5e-7, "d", "computed")


def test_range_stated_by_the_standard() -> None:
    for outside in (-0.1, 80.1):
        with pytest.raises(OutOfRange):
            gamma_eurocode([20.0, outside])


@pytest.mark.parametrize(
    ("history", "hours", "readings", "ages"),
    [
        (
            "mild, 72 h",
            [0, 6, 12, 18, 24, 36, 48, 60, 72],
            [18, 22, 28, 30, 27, 21, 18, 15, 14],
            [5.989, 13.519, 22.515, 31.315, 45.710, 57.411, 67.566, 76.791],
        ),
        (  # the last two means lie below the standard's 0 °C: arithmetic only
            "cold, 48 h",
            [0, 4, 8, 12, 16, 20, 24, 30, 36, 42, 48],
            [12, 14, 16, 15, 12, 9, 6, 3, 0, -2, -4],
            [2.858, 6.008, 9.235, 12.164, 14.691, 16.864, 19.658, 22.044, 24.131, 26.003],
        ),
    ],
)
def test_worked_histories(
    agree: Agree, history: str, hours: list[float], readings: list[float], ages: list[float]
) -> None:
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    age = np.cumsum(_gamma_eurocode(mean) * np.diff(hours))
    what = f"(B.10) worked history, {history}: adjusted age"
    agree(what, SOURCE, ages, age, 5.1e-4, "h", "computed")


def test_daily_mean_under_counts(agree: Agree) -> None:
    # 10 ± 10 °C: 0.6493 against 0.6162 at the mean; computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 10.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    ours = np.mean(gamma_eurocode(swing))
    agree("(B.10) mean rate of 10 ± 10 °C", SOURCE, 0.6493, ours, 5e-5, "h/h", "computed")


AGES_D = [0.5, 1, 2, 3, 5, 7, 14, 28, 56, 90, 365]
STRENGTH = {  # computed from (3.2)
    0.20: [.2734, .4239, .5779, .6630, .7609, .8187, .9205, 1, 1.0603, 1.0925, 1.1556],
    0.25: [.1977, .3420, .5039, .5982, .7106, .7788, .9016, 1, 1.0760, 1.1169, 1.1981],
    0.38: [.0851, .1958, .3528, .4580, .5950, .6839, .8544, 1, 1.1177, 1.1830, 1.3162],
}  # fmt: skip


@pytest.mark.parametrize("s", STRENGTH)
def test_strength_with_age(agree: Agree, s: float) -> None:
    ours = eurocode(AGES_D, s)
    what = f"(3.2) strength over f28, s {s}, 0.5 to 365 d"
    agree(what, SOURCE, STRENGTH[s], ours, 5.1e-5, kind="computed")
    second = np.array([float(ec2.beta_cc(float(t), s)) for t in AGES_D])
    agree(f"EC2 {what}", LIBRARY, second, ours, 1e-9 * second, kind="library",
          note="the same formula")  # fmt: skip


@pytest.mark.parametrize(("preset", "cement"), [("bag", "S"), ("bag-high-early", "N")])
def test_presets_take_a_class_of_the_standard(agree: Agree, preset: str, cement: str) -> None:
    theirs = ec2.s_time_development(cement)
    what = f"EC2 (3.2) s of class {cement}, preset {preset}"
    agree(what, LIBRARY, theirs, PRESETS[preset].s, 0.0, kind="library")


def test_strength_with_age_as_structuralcodes_prints_it(agree: Agree) -> None:
    printed = [0.8261668305, 0.9954229681, 1.0759707794, 1.1981246270]
    ours = eurocode([9, 27, 56, 365], 0.25)
    agree("EC2 (3.2) at 9, 27, 56, 365 d as its own test prints it", LIBRARY, printed, ours, 5e-11,
          kind="library")  # fmt: skip


FRACTIONS = [0.10, 0.20, 0.30, 0.50, 0.70, 0.75, 0.85]
INVERSE_D = {  # computed
    0.20: [.179, .342, .568, 1.404, 3.614, 4.709, 8.522],
    0.25: [.269, .506, .828, 1.967, 4.755, 6.053, 10.284],
    0.38: [.562, 1.022, 1.611, 3.511, 7.450, 9.070, 13.737],
}  # fmt: skip


@pytest.mark.parametrize("s", INVERSE_D)
def test_age_for_a_strength(agree: Agree, s: float) -> None:
    what = f"(3.2) age at 0.10 to 0.85 of f28, s {s}"
    agree(what, SOURCE, INVERSE_D[s], eurocode_age_d(FRACTIONS, s), 5.1e-4, "d", "computed")
