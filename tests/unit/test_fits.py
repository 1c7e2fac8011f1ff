"""Strength tests re-fit the curve; few of them carry little, and that is said."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from curecast.core.concrete.fits import CurveFit, TestPoint, fit_curve
from curecast.core.concrete.strength import StrengthCurve
from curecast.errors import OutOfRange

CURVE = StrengthCurve(27.6)


def fit(*pairs: tuple[float, float], kind: str = "cylinder") -> CurveFit:
    return fit_curve(CURVE, tuple(TestPoint(te, mpa, kind) for te, mpa in pairs))


def test_four_tests_over_their_ages_give_both_numbers() -> None:
    true = StrengthCurve(34.0, s=0.30)
    ages = (2.0, 4.0, 9.0, 28.0)
    found = fit(*((te, float(true.fraction(te)) * 34.0) for te in ages)).curve
    assert (found.f28_mpa, found.s) == (pytest.approx(34.0), pytest.approx(0.30))
    assert found.cov_late == pytest.approx(0.08)


@pytest.mark.parametrize("seed", range(20))
def test_bounded_least_squares_as_scipy_finds_it(seed: int) -> None:
    rng = np.random.default_rng(seed)
    ages = np.sort(rng.uniform(1.0, 40.0, 6))
    shown = 25.0 * np.exp(rng.uniform(0.05, 0.9) * (1.0 - np.sqrt(28.0 / ages)))
    shown *= np.exp(0.1 * rng.standard_normal(6))
    found = fit(*zip(ages, shown, strict=True)).curve
    matrix = np.column_stack([np.ones(6), 1.0 - np.sqrt(28.0 / ages)])
    low, high = np.log(27.6 * np.array([0.3, 1.8]))
    best = lsq_linear(matrix, np.log(shown), ([low, 0.15], [high, 0.60])).x
    assert [np.log(found.f28_mpa), found.s] == pytest.approx(best.tolist(), abs=1e-6)


@pytest.mark.parametrize("count", [1, 2])
def test_one_or_two_tests_raise_nothing_and_shrink_no_doubt(count: int) -> None:
    high, low = fit(*[(28.0, 40.0)] * count), fit(*[(28.0, 20.0)] * count)
    assert high.curve == CURVE
    assert low.curve.f28_mpa == pytest.approx(20.0)
    assert low.curve.cov_late == CURVE.cov_late
    assert "no fit" in high.said
    assert "lowers" in low.said


def test_the_doubt_shrinks_with_more_tests_and_widens_with_their_scatter() -> None:
    def doubt(count: int, scatter: float) -> float:
        shown = 30.0 * np.exp(scatter * np.resize([-1.0, 1.0, 0.0], count))
        return fit(*((28.0, float(f)) for f in shown)).curve.cov_late

    assert doubt(3, 0.06) > doubt(6, 0.06) > doubt(12, 0.06) >= 0.08
    assert doubt(3, 0.08) <= CURVE.cov_late
    assert doubt(9, 0.25) > CURVE.cov_late


def test_a_hammer_counts_less_than_a_cylinder() -> None:
    points = tuple(TestPoint(28.0, 30.0) for _ in range(3))
    found = fit_curve(CURVE, (*points, TestPoint(28.0, 20.0, "rebound")))
    assert found.curve.f28_mpa == pytest.approx(30.0, abs=0.5)


@pytest.mark.parametrize("point", [TestPoint(0.0, 30.0), TestPoint(28.0, 0.0),
                                   TestPoint(28.0, float("nan")),
                                   TestPoint(28.0, 30.0, "tea leaves")])  # fmt: skip
def test_what_no_fit_can_use_is_refused(point: TestPoint) -> None:
    with pytest.raises(OutOfRange):
        fit_curve(CURVE, (point,))
