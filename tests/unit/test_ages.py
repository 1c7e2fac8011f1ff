"""Rates and sums of age at their edges."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import (
    age_days_at_20_from_ttf,
    equivalent_age,
    gamma,
    gamma_constant,
    temperature_time_factor,
)
from curecast.errors import OutOfRange


def test_nothing_happens_below_minus_10() -> None:
    assert gamma([-10.1, -40.0]).tolist() == [0.0, 0.0]
    assert float(gamma(-10.0)) > 0.0
    assert float(gamma_constant(-10.1)) == 0.0
    assert float(gamma_constant(-10.0)) > 0.0


def test_both_branches_meet_at_20_c() -> None:
    assert float(gamma(20.0)) == 1.0
    assert float(gamma(20.0 - 1e-9)) == pytest.approx(1.0)


def test_nan_stays_nan() -> None:
    assert np.isnan(gamma([np.nan, 5.0])).tolist() == [True, False]
    assert np.isnan(temperature_time_factor([np.nan], 1.0)).all()


@pytest.mark.parametrize("rate", [gamma, gamma_constant])
def test_no_concrete_is_that_hot(rate: object) -> None:
    with pytest.raises(OutOfRange, match="maturity rules end at 100 °C"):
        rate([20.0, 101.0])  # type: ignore[operator]
    with pytest.raises(OutOfRange):
        temperature_time_factor([212.0], 1.0)


def test_refuses_activation_and_datum() -> None:
    with pytest.raises(OutOfRange):
        gamma_constant(10.0, 0.0)
    with pytest.raises(OutOfRange):
        age_days_at_20_from_ttf(100.0, 20.0)


def test_steps_of_unlike_length_over_many_members() -> None:
    temp = np.array([[20.0, 10.0], [20.0, 0.0], [20.0, -5.0]])
    age = equivalent_age(temp, [1.0, 2.0, 4.0])
    assert age.shape == (3, 2)
    assert age[:, 0].tolist() == [1.0, 3.0, 7.0]
    factor = temperature_time_factor(temp, [1.0, 2.0, 4.0])
    assert factor[:, 1].tolist() == [10.0, 10.0, 10.0]


def test_no_steps() -> None:
    assert equivalent_age(np.empty((0, 3)), 1.0).shape == (0, 3)
