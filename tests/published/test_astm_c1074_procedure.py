"""ASTM C1074's procedure on a worked case: cylinders, their maturity, a slab's maturity, strength.

The steps are those of the standard (8 and 9 of the 2019 edition, from memory): strengths of
cylinders cured at 23 °C against their equivalent age; the slab's equivalent age from its
temperatures; its strength read from the first at the second. The numbers are our own.
"""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
import pytest

from curecast.core.concrete.fits import TestPoint, fit_curve
from curecast.core.concrete.strength import StrengthCurve
from tests.fixtures.slabs import slab
from tests.validation.rows import Agree

#: Cylinders in the moist room at 23 °C: age [d], mean strength [MPa].
CYLINDERS = ((1.0, 8.1), (3.0, 16.5), (7.0, 22.4), (14.0, 26.7), (28.0, 29.6))
#: exp(-(33 500 / 8.314)(1/296.15 - 1/293.15)): an hour at 23 °C in hours at 20 °C.
AT_23_C = 1.1494
SOURCE = "ASTM C1074, the procedure, on numbers of our own"


def by_hand() -> tuple[float, float]:
    """ln f against 1 - sqrt(28 / te) by plain least squares: f28 and s."""
    x = np.array([1.0 - sqrt(28.0 / (AT_23_C * age)) for age, _ in CYLINDERS])
    y = np.array([log(f) for _, f in CYLINDERS])
    s = float(np.sum((x - x.mean()) * (y - y.mean())) / np.sum((x - x.mean()) ** 2))
    return exp(float(y.mean()) - s * float(x.mean())), s


def test_the_strength_maturity_relation(agree: Agree) -> None:
    points = tuple(TestPoint(AT_23_C * age, f, "lab-cylinder") for age, f in CYLINDERS)
    fit = fit_curve(StrengthCurve(27.6), points)
    f28, s = by_hand()
    what = "worked case, 28-day strength of the strength-maturity relation"
    agree(what, SOURCE, f28, fit.curve.f28_mpa, 1e-6, "MPa", "computed")
    agree("worked case, its s", SOURCE, s, fit.curve.s, 1e-6, "-", "computed")
    # C1074 asks no more of the relation than that it follows the points: here to 4 %.
    assert np.max(np.abs(fit.residual)) < 0.04


def test_the_slab_read_at_its_own_maturity(agree: Agree) -> None:
    """Two days at 15 °C, then five at 8 °C (variable activation energy below 20 °C)."""
    past = slab(lambda t: np.where(t < 48.0, 15.0, 8.0), days=7.0, step_h=0.25)
    rate = [
        exp(-((33_500.0 + 1470.0 * (20.0 - c)) / 8.314) * (1.0 / (c + 273.15) - 1.0 / 293.15))
        for c in (15.0, 8.0)
    ]
    te_d = 2.0 * rate[0] + 5.0 * rate[1]
    assert past.te20_h[-1, 0, 0] / 24.0 == pytest.approx(te_d, rel=2e-3)
    f28, s = by_hand()
    points = tuple(TestPoint(AT_23_C * age, f, "lab-cylinder") for age, f in CYLINDERS)
    curve = fit_curve(StrengthCurve(27.6), points).curve
    found = curve.f28_mpa * float(curve.fraction(past.te20_h[-1, 0, 0] / 24.0))
    by_relation = f28 * exp(s * (1.0 - sqrt(28.0 / te_d)))
    # 0.2 %: the step at 48 h falls inside one quarter of an hour.
    what = "worked case, the slab's strength at 2 d of 15 °C and 5 d of 8 °C"
    agree(what, SOURCE, by_relation, found, 2e-3 * by_relation, "MPa", "computed")
