"""Strength tests of a pour re-fit its curve: at which age each stands, and what they say."""

from __future__ import annotations

from typing import Any

import numpy as np

from curecast.core.concrete.fits import CurveFit, TestPoint, fit_curve
from curecast.core.concrete.rates import gamma
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.histories import MIDDLE, SURFACE, Histories
from curecast.prospect.record import Record, Tested
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity

__all__ = ["fit_json", "fit_notes", "fit_of"]

#: A laboratory's moist room. [°C]
_LAB_C = 23.0
#: Younger concrete says nothing of the curve. [d]
_YOUNGEST_D = 0.5


def fit_of(
    record: Record, past: Histories, curve: StrengthCurve, origin_h: float
) -> CurveFit | None:
    """The curve fitted to a pour's tests; None without any that can be used.

    Parameters
    ----------
    record : Record
        Its tests.
    past : Histories
        The slab as corrected by its readings. A cylinder that lay beside it counts as old as
        the slab at mid-depth: it was colder, so that its strength is not flattered.
    curve : StrengthCurve
        Before any test.
    origin_h : float
        Start of the histories, hours since 1970. [h]
    """
    points = tuple(
        TestPoint(age, test.strength_mpa, test.kind)
        for test in record.tested
        if (age := _age_d(test, past, origin_h)) >= _YOUNGEST_D and test.strength_mpa > 0.0
    )
    return fit_curve(curve, points) if points else None


def _age_d(test: Tested, past: Histories, origin_h: float) -> float:
    """Age at 20 °C of the tested concrete. [d]"""
    if test.kind == "lab-cylinder":
        return float(gamma(_LAB_C)) * (test.at_h - origin_h) / 24.0
    place = MIDDLE if test.kind == "cylinder" else SURFACE
    median = np.median(past.te20_h[:, place, 1:], axis=1)
    return float(np.interp(test.at_h - origin_h, past.t_h, median)) / 24.0


def fit_notes(answer: SlabAnswer) -> list[str]:
    """What the tests made of the curve, in a sentence."""
    fit = answer.fit
    if fit is None:
        return []
    units = answer.job.units
    before, after = (
        show_quantity(c.f28_mpa, "strength", units) for c in (answer.case.curve, fit.curve)
    )
    return [f"tests: {fit.said}; strength after 28 days at 20 °C {after} (before: {before})"]


def fit_json(answer: SlabAnswer) -> dict[str, Any] | None:
    """The fit in numbers: the curve before and after, and each test beside it."""
    fit = answer.fit
    if fit is None:
        return None
    return {
        "said": fit.said,
        "f28_mpa": fit.curve.f28_mpa,
        "f28_before_mpa": answer.case.curve.f28_mpa,
        "s": fit.curve.s,
        "doubt": fit.curve.cov_late,
        "tolerance_factor": fit.factor,
        "tests": [
            {
                "kind": p.kind,
                "age_at_20_c_d": p.te_d,
                "strength_mpa": p.strength_mpa,
                "fitted_mpa": p.strength_mpa / float(np.exp(left)),
            }
            for p, left in zip(fit.points, fit.residual, strict=True)
        ],
    }
