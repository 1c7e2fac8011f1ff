"""fib Model Code 2010: strength with age, 5.1-51, and temperature-adjusted age, 5.1-85.

It has Eurocode's curve and age. The printed numbers are those of structuralcodes' own tests.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.rates import gamma_eurocode
from curecast.core.concrete.shapes import eurocode
from tests.validation.rows import Agree

mc2010 = pytest.importorskip("structuralcodes.codes.mc2010")

SOURCE = "fib Model Code 2010"
LIBRARY = "structuralcodes"
CLASSES = {"32.5 N": 0.38, "32.5 R": 0.25, "42.5 N": 0.25, "42.5 R": 0.20, "52.5 N": 0.20}


@pytest.mark.parametrize(
    ("age_d", "cement", "printed"),
    [
        (10, "32.5 N", 0.77425), (10, "42.5 N", 0.84507), (10, "42.5 R", 0.87401),
        (20, "32.5 N", 0.93275), (30, "32.5 N", 1.01297), (40, "32.5 N", 1.06404),
    ],
)  # fmt: skip
def test_printed_strengths(agree: Agree, age_d: float, cement: str, printed: float) -> None:
    ours = eurocode(age_d, CLASSES[cement])
    what = f"5.1-51 strength over f28 at {age_d} d, {cement}, fcm 20 MPa"
    agree(what, SOURCE, printed, [ours], 5e-6, kind="library")


@pytest.mark.parametrize("cement", CLASSES)
def test_strength_with_age(agree: Agree, cement: str) -> None:
    ages_d = np.array([0.5, 1.0, 3.0, 7.0, 14.0, 28.0, 56.0, 90.0, 365.0])
    theirs = mc2010.beta_cc(ages_d, 20.0, cement)
    what = f"MC2010 5.1-51 strength over f28, {cement}, 0.5 to 365 d"
    agree(what, LIBRARY, theirs, eurocode(ages_d, CLASSES[cement]), 1e-9 * theirs, kind="library",
          note="the same formula")  # fmt: skip


def test_temperature_adjusted_age(agree: Agree) -> None:
    temps, days = np.array([5.0, 12.0, 20.0, 31.0]), np.array([2.0, 1.0, 4.0, 0.5])
    theirs = float(mc2010.t_T(temps, days))
    ours = float(np.sum(gamma_eurocode(temps) * days))
    what = "MC2010 5.1-85 adjusted age of 2, 1, 4, 0.5 d at 5, 12, 20, 31 °C"
    agree(what, LIBRARY, theirs, ours, 1e-9 * theirs, "d", "library", note="the same formula")
    agree(
        "5.1-85 adjusted age of 7 d at 20 and 7 d at 25 °C", SOURCE, 15.7723,
        np.sum(7.0 * gamma_eurocode([20.0, 25.0])), 5e-5, "d", "library",
    )  # fmt: skip
