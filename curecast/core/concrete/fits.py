"""Strength tests re-fit the curve: bounded least squares, and how far few points carry."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, inf, log, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.strength import StrengthCurve
from curecast.core.concrete.tolerance import tolerance_factor
from curecast.errors import OutOfRange

__all__ = ["CurveFit", "TestPoint", "fit_curve"]

Array = NDArray[np.float64]

#: Standard error of one test, by kind: cylinder, pull-out, rebound through its own correlation
#: (ASSUMED, after the within-test spreads that ACI 228.1R names; from memory). [-]
ERRORS = {"cylinder": 0.05, "lab-cylinder": 0.05, "pull-out": 0.10, "rebound": 0.20}
#: Fewer points than this carry no fit: they can only lower the curve.
LEAST_POINTS = 3
#: s is fitted from so many points over such a ratio of ages; else it stays. [-]
_POINTS_FOR_S, _RATIO_FOR_S = 4, 2.0
#: Bounds of what a fit may find: f28 over the curve's own, and s (ASSUMED). [-]
_F28_BOUNDS, _S_BOUNDS = (0.3, 1.8), (0.15, 0.60)
#: Cylinders of one batch scatter less than a slab of many: least doubt left (ASSUMED). [-]
_LEAST_COV = 0.08
_NINE_OF_TEN = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True)
class TestPoint:
    """One strength test.

    Parameters
    ----------
    te_d : float
        Age of the tested concrete at 20 °C, above 0. [d]
    strength_mpa : float
        What it showed, above 0. [MPa]
    kind : str
        One of ``ERRORS``. [-]
    """

    __test__ = False

    te_d: float
    strength_mpa: float
    kind: str = "cylinder"


@dataclass(frozen=True)
class CurveFit:
    """What tests make of a curve.

    Parameters
    ----------
    curve : StrengthCurve
        To be used from now on; the old one where the points carry nothing. [MPa]
    points : tuple of TestPoint
        What it rests on. [various]
    residual : ndarray, shape (point,)
        Logarithm of test over fit. [-]
    factor : float or None
        One-sided tolerance factor, nine of ten by nine of ten; None without a fit. [-]
    said : str
        What was done, and why not more. [-]
    """

    curve: StrengthCurve
    points: tuple[TestPoint, ...]
    residual: Array
    factor: float | None
    said: str


def fit_curve(curve: StrengthCurve, points: tuple[TestPoint, ...]) -> CurveFit:
    """Fit a curve's 28-day strength, and its s where the ages allow, to tests.

    Parameters
    ----------
    curve : StrengthCurve
        Before any test. [MPa]
    points : tuple of TestPoint
        At least one. [various]

    Returns
    -------
    CurveFit
        With fewer than three points nothing is raised and no doubt shrinks: they only lower a
        curve that lies above them. From three on ln f = ln f28 + ln g is fitted, weighted by
        the tests' errors and bounded; from four over twice the age Eurocode's s as well. The
        doubt is what a one-sided tolerance factor makes of the scatter; it never falls below
        8 %, and grows only where the tests scatter more than the old doubt. [MPa]

    Raises
    ------
    OutOfRange
        No point, an age or a strength that is not above 0, or an unknown kind.

    Examples
    --------
    >>> tests = tuple(TestPoint(28.0, f) for f in (30.0, 31.0, 32.0))
    >>> fit = fit_curve(StrengthCurve(27.6), tests)
    >>> round(fit.curve.f28_mpa, 1), round(fit.curve.cov_late, 3)
    (31.0, 0.108)
    """
    _check(points)
    age = np.array([p.te_d for p in points])
    shown = np.log([p.strength_mpa for p in points])
    weight = np.array([ERRORS[p.kind] for p in points]) ** -2.0
    plain = shown - np.log(curve.fraction(age))
    if len(points) < LEAST_POINTS:
        return _lowered(curve, points, shown, age, float(np.average(plain, weights=weight)))
    free_s = (
        curve.shape == "eurocode"
        and len(points) >= _POINTS_FOR_S
        and age.max() / age.min() >= _RATIO_FOR_S
    )
    f28, s = _solved(curve, 1.0 - np.sqrt(28.0 / age), shown, plain, weight, free_s)
    fitted = replace(curve, f28_mpa=f28, s=s)
    residual = shown - np.log(f28 * fitted.fraction(age))
    free = len(points) - (2 if free_s else 1)
    scatter = sqrt(float(np.average(residual**2, weights=weight)) * len(points) / free)
    factor = tolerance_factor(free + 1)
    late = _doubt(scatter, factor, curve.cov_late)
    early = curve.cov_early * min(late / curve.cov_late, 1.0) if curve.cov_late else 0.0
    what = "28-day strength and s" if free_s else "28-day strength"
    return CurveFit(
        replace(fitted, cov_late=late, cov_early=early),
        points,
        residual,
        factor,
        f"{what} fitted to {len(points)} tests; their scatter of {100.0 * scatter:.0f} % and a "
        f"tolerance factor of {factor:.2f} leave a doubt of {100.0 * late:.0f} %",
    )


def _check(points: tuple[TestPoint, ...]) -> None:
    if not points:
        raise OutOfRange("a fit needs a test")
    for p in points:
        if not (0.0 < p.te_d < inf and 0.0 < p.strength_mpa < inf) or p.kind not in ERRORS:
            raise OutOfRange(f"no fit can use a {p.kind} test of {p.strength_mpa} MPa at {p.te_d}")


def _lowered(
    curve: StrengthCurve, points: tuple[TestPoint, ...], shown: Array, age: Array, level: float
) -> CurveFit:
    """Too few points for a fit: the curve may only come down to them."""
    f28 = min(curve.f28_mpa, max(exp(level), _F28_BOUNDS[0] * curve.f28_mpa))
    lower = replace(curve, f28_mpa=f28)
    left = shown - np.log(f28 * lower.fraction(age))
    tests = "1 test carries" if len(points) == 1 else f"{len(points)} tests carry"
    did = "lowers the curve to what they show" if f28 < curve.f28_mpa else "leaves the curve"
    said = f"{tests} no fit ({LEAST_POINTS} are asked): that {did}, and shrinks no doubt"
    return CurveFit(lower, points, left, None, said)


def _solved(
    curve: StrengthCurve, x: Array, shown: Array, plain: Array, weight: Array, free_s: bool
) -> tuple[float, float]:
    """f28 and s of the least weighted squares inside their bounds."""
    low, high = (log(b * curve.f28_mpa) for b in _F28_BOUNDS)
    if not free_s:
        level = float(np.average(plain, weights=weight))
        return exp(min(max(level, low), high)), curve.s

    def level_at(s: float) -> float:
        return min(max(float(np.average(shown - s * x, weights=weight)), low), high)

    def slope_at(level: float) -> float:
        s = float(np.sum(weight * x * (shown - level)) / np.sum(weight * x * x))
        return min(max(s, _S_BOUNDS[0]), _S_BOUNDS[1])

    centre = float(np.average(x, weights=weight))
    middle = float(np.average(shown, weights=weight))
    slope = np.sum(weight * (x - centre) * (shown - middle)) / np.sum(weight * (x - centre) ** 2)
    # Inside the box the plain solution; on its border each side is a problem of one number.
    tries = [(level_at(s), s) for s in (min(max(float(slope), *_S_BOUNDS[:1]), _S_BOUNDS[1]),)]
    tries += [(level_at(s), s) for s in _S_BOUNDS]
    tries += [(level, slope_at(level)) for level in (low, high)]
    level, s = min(
        tries, key=lambda pair: float(np.sum(weight * (shown - pair[0] - pair[1] * x) ** 2))
    )
    return exp(level), s


def _doubt(scatter: float, factor: float, before: float) -> float:
    """Coefficient of variation that stands for the tolerance limit."""
    spread = factor * scatter / _NINE_OF_TEN
    limit = sqrt(np.expm1(spread**2)) if spread < 1.0 else inf
    widest = max(before, sqrt(np.expm1(scatter**2)))
    return float(max(min(limit, widest), min(_LEAST_COV, before)))
