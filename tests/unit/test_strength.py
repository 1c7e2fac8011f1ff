"""Strength from two ages: which one is read, and when a need is met."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import gamma
from curecast.core.concrete.allowances import (
    f28_bag,
    hot_placing_factor,
    moist_curing_factor,
    water_factor,
)
from curecast.core.concrete.shapes import eurocode, eurocode_age_d
from curecast.core.concrete.strength import (
    SHAPES,
    StrengthCurve,
    coefficient_of_variation,
    doubt_factor,
)
from curecast.errors import OutOfRange

NINE_OF_TEN = -1.2816
CURVE = StrengthCurve(27.6)


def test_a_small_strength_is_read_at_the_smaller_age() -> None:
    assert float(CURVE.fraction_of_both(3.0, 2.0)) == float(eurocode(2.0))
    assert float(CURVE.fraction_of_both(2.0, 3.0)) == float(eurocode(2.0))


def test_a_large_strength_is_read_at_equivalent_age() -> None:
    assert float(CURVE.fraction_of_both(10.0, 4.0)) == float(eurocode(10.0))


def test_the_step_lies_where_equivalent_age_passes_055() -> None:
    at = float(eurocode_age_d(0.55))
    assert float(CURVE.fraction_of_both(at * 0.9999, 1.0)) == float(eurocode(1.0))
    assert float(CURVE.fraction_of_both(at * 1.0001, 1.0)) == pytest.approx(0.55, abs=1e-4)


def test_a_small_need_waits_for_the_smaller_age_even_after_the_step() -> None:
    assert bool(CURVE.need_is_met(0.60, te_d=6.0, ttf_d=1.0))
    assert not bool(CURVE.need_is_met(0.50, te_d=6.0, ttf_d=1.0))
    assert bool(CURVE.need_is_met(0.50, te_d=6.0, ttf_d=3.6))


def test_a_met_need_is_never_above_the_strength_shown() -> None:
    te, ttf = np.meshgrid(np.linspace(0, 40, 41), np.linspace(0, 40, 41))
    shown = CURVE.fraction_of_both(te, ttf)
    for need in np.linspace(0.02, 1.05, 60):
        assert not np.any(CURVE.need_is_met(need, te, ttf) & (shown < need))


def test_strength_in_mpa_from_hours() -> None:
    strength = CURVE.strength_mpa([48.0, 240.0], [480.0, 4800.0])
    assert strength.tolist() == pytest.approx([27.6 * 0.1958, 27.6 * eurocode(10.0)], rel=1e-3)
    minus_10 = CURVE.strength_mpa(48.0, 480.0, datum_c=-10.0)
    assert float(minus_10) == pytest.approx(27.6 * float(eurocode(480.0 / 720.0)))


@pytest.mark.parametrize("shape", SHAPES)
def test_no_age_no_strength(shape: str) -> None:
    curve = StrengthCurve(27.6, shape=shape)
    assert curve.fraction([0.0, -1.0]).tolist() == [0.0, 0.0]
    assert float(curve.strength_mpa(0.0, 0.0)) == 0.0
    assert not bool(curve.need_is_met(0.1, 0.0, 0.0))


def test_nan_meets_nothing() -> None:
    nan = float("nan")
    for te, ttf, z, need in ((nan, 5.0, 0.0, 0.3), (5.0, nan, 0.0, 0.3), (5.0, 5.0, nan, 0.3)):
        assert not bool(CURVE.need_is_met(need, te, ttf, z))
    assert not bool(CURVE.need_is_met(nan, 90.0, 90.0))
    assert not bool(CURVE.need_is_met(0.9, nan, 90.0))
    assert np.isnan(CURVE.fraction_of_both(nan, 3.0))


# Needs over a median of 27.6 MPa, and the days that they take by nine of ten at a constant
# 5, 10 and 20 °C, where the temperature-time factor counts T/20 of a day: the hold table's.
HOLD_DAYS = [
    (1.0, (1.4, None, None)),
    (2.0, (2.3, 1.1, 0.6)),
    (3.5, (3.6, 1.8, None)),
    (10.0, (12.5, 6.3, 3.1)),
    (14.0, (22.0, 11.0, None)),
    (20.7, (61.0, 36.0, None)),
]


@pytest.mark.parametrize(("need_mpa", "days"), HOLD_DAYS)
def test_days_of_the_hold_table(need_mpa: float, days: tuple[float | None, ...]) -> None:
    for temp_c, printed in zip((5.0, 10.0, 20.0), days, strict=True):
        if printed is None:
            continue
        half = 0.5 if printed in (11, 22, 36, 61) else 0.05  # printed to whole days
        time = np.arange(0.01, 90.0, 0.01)
        met = CURVE.need_is_met(
            need_mpa / 27.6, time * gamma(temp_c), time * temp_c / 20.0, NINE_OF_TEN
        )
        assert time[met.argmax()] == pytest.approx(printed, abs=half + 0.01)


@pytest.mark.parametrize(("share", "days"), [(0.75, 18), (0.80, 24), (0.90, 47), (1.00, 113)])
def test_a_need_near_f28_can_hardly_be_met_by_nine_of_ten(share: float, days: float) -> None:
    time = np.arange(0.05, 150.0, 0.05)
    met = CURVE.need_is_met(share, time, time, NINE_OF_TEN)
    assert time[met.argmax()] == pytest.approx(days, abs=0.6)


def test_doubt() -> None:
    assert float(coefficient_of_variation(0.0)) == pytest.approx(np.hypot(0.15, 0.25))
    assert coefficient_of_variation([7.0, 28.0]).tolist() == [0.15, 0.15]
    assert float(doubt_factor(0.0, 3.0)) == 1.0
    draws = doubt_factor(np.random.default_rng(3).standard_normal(200_000), 28.0)
    assert float(np.median(draws)) == pytest.approx(1.0, abs=0.002)
    assert float(np.std(draws) / np.mean(draws)) == pytest.approx(0.15, abs=0.001)


def test_tests_shrink_the_doubt() -> None:
    sure = StrengthCurve(27.6, cov_late=0.05, cov_early=0.0)
    assert bool(sure.need_is_met(0.9, 25.0, 25.0, NINE_OF_TEN))
    assert not bool(CURVE.need_is_met(0.9, 25.0, 25.0, NINE_OF_TEN))


@pytest.mark.parametrize("bad", [{"shape": "line"}, {"f28_mpa": 0.0}, {"f28_mpa": float("nan")}])
def test_refuses(bad: dict[str, object]) -> None:
    with pytest.raises(OutOfRange):
        StrengthCurve(**({"f28_mpa": 27.6} | bad))  # type: ignore[arg-type]


def test_age_for_a_share_at_its_ends() -> None:
    assert eurocode_age_d([-0.1, 0.0, 1.0, 1.5]).tolist() == [0.0, 0.0, 28.0, np.inf]


def test_allowances() -> None:
    assert moist_curing_factor([0, 1.5, 3, 5, 7, 28]).tolist() == pytest.approx(
        [0.70, 0.775, 0.85, 0.95, 1.0, 1.0]
    )
    assert hot_placing_factor([20.0, 30.0, 35.0]).tolist() == pytest.approx([1.0, 1.0, 0.95])
    assert water_factor([0.4, 0.5, 0.9], 0.5).tolist() == pytest.approx([1.0, 1.0, 0.4])
    with pytest.raises(OutOfRange):
        f28_bag(-1.0)
