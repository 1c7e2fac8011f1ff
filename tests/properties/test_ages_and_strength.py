"""Claims about ages and strength that hold for every history."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from curecast.core.concrete.ages import (
    age_days_at_20_from_ttf,
    equivalent_age,
    gamma,
    gamma_constant,
    temperature_time_factor,
)
from curecast.core.concrete.shapes import eurocode, eurocode_age_d
from curecast.core.concrete.strength import StrengthCurve, doubt_factor

temps = st.floats(-30.0, 60.0)
histories = hnp.arrays(np.float64, st.integers(1, 30), elements=temps)
ages_d = st.floats(0.0, 400.0)
curves = st.builds(
    StrengthCurve,
    f28_mpa=st.floats(10.0, 60.0),
    shape=st.sampled_from(["eurocode", "aci209", "hyperbola", "exponential"]),
    s=st.floats(0.2, 0.6),
)


@given(temps, st.floats(0.0, 20.0))
def test_warmer_is_never_slower(temp: float, more: float) -> None:
    assert float(gamma(temp + more)) >= float(gamma(temp))
    assert float(gamma_constant(temp + more)) >= float(gamma_constant(temp))


@given(histories, st.floats(0.0, 15.0), st.floats(-10.0, 5.0))
def test_a_warmer_history_is_never_younger(temp: np.ndarray, more: float, datum: float) -> None:
    assert np.all(equivalent_age(temp + more, 0.5) >= equivalent_age(temp, 0.5))
    warm = temperature_time_factor(temp + more, 0.5, datum)
    assert np.all(warm >= temperature_time_factor(temp, 0.5, datum))


@given(histories)
def test_ages_never_fall(temp: np.ndarray) -> None:
    for age in (equivalent_age(temp, 1.0), temperature_time_factor(temp, 1.0)):
        assert np.all(np.diff(age, prepend=0.0) >= 0.0)


@given(histories, st.integers(2, 5))
def test_splitting_a_step_changes_nothing(temp: np.ndarray, parts: int) -> None:
    split = np.repeat(temp, parts)
    for whole, fine in (
        (equivalent_age(temp, 1.0), equivalent_age(split, 1.0 / parts)),
        (temperature_time_factor(temp, 1.0), temperature_time_factor(split, 1.0 / parts)),
    ):
        np.testing.assert_allclose(fine[parts - 1 :: parts], whole, rtol=1e-9, atol=1e-12)


@given(histories)
def test_a_batch_equals_its_members(temp: np.ndarray) -> None:
    batch = np.stack([temp, temp - 5.0, temp + 5.0], axis=1)
    together = equivalent_age(batch, 0.5)
    for member, shift in enumerate((0.0, -5.0, 5.0)):
        np.testing.assert_array_equal(together[:, member], equivalent_age(temp + shift, 0.5))


@given(st.floats(-10.0, 10.0), st.floats(0.0, 2000.0))
def test_standard_curing_is_clock_time(datum: float, hours: float) -> None:
    factor = temperature_time_factor([20.0], hours, datum)
    np.testing.assert_allclose(age_days_at_20_from_ttf(factor, datum), hours / 24.0, atol=1e-12)
    np.testing.assert_allclose(equivalent_age([20.0], hours), hours)


@given(curves, ages_d, ages_d, st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_strength_never_falls_in_time(
    curve: StrengthCurve, te: float, ttf: float, more_te: float, more_ttf: float
) -> None:
    now = float(curve.fraction_of_both(te, ttf))
    assert float(curve.fraction_of_both(te + more_te, ttf + more_ttf)) >= now


@given(curves, st.floats(0.0, 1.4), ages_d, ages_d, st.floats(0.0, 60.0), st.floats(-3.5, 0.0))
def test_a_need_that_is_met_stays_met(
    curve: StrengthCurve, need: float, te: float, ttf: float, more: float, z: float
) -> None:
    if curve.need_is_met(need, te, ttf, z):
        assert curve.need_is_met(need, te + more, ttf + more, z)


@given(curves, st.floats(0.0, 1.4), st.floats(0.0, 1.4), ages_d, ages_d, st.floats(-3.5, 3.5))
def test_a_smaller_draw_or_a_smaller_smaller_age_never_meets_more(
    curve: StrengthCurve, need: float, less: float, te: float, ttf: float, z: float
) -> None:
    if curve.need_is_met(need, te, min(te, ttf) * less / 1.4, z - less):
        assert curve.need_is_met(need, te, ttf, z)


@given(curves, st.floats(0.0, 1.4), ages_d, ages_d)
def test_the_strength_shown_covers_every_need_that_is_met(
    curve: StrengthCurve, need: float, te: float, ttf: float
) -> None:
    if curve.need_is_met(need, te, ttf):
        assert float(curve.fraction_of_both(te, ttf)) >= need


@given(st.floats(0.01, 1.1), st.floats(0.15, 0.6))
def test_the_inverse_is_the_inverse(share: float, s: float) -> None:
    np.testing.assert_allclose(eurocode(eurocode_age_d(share, s), s), share, rtol=1e-9)


@given(st.floats(-4.0, 4.0), st.floats(0.0, 100.0))
def test_doubt_is_even_in_the_logarithm(z: float, te: float) -> None:
    both = float(doubt_factor(z, te) * doubt_factor(-z, te))
    np.testing.assert_allclose(both, 1.0, rtol=1e-12)
