"""Cold curing as suppliers' pages state it: seen there, in no standard.

Nothing hangs on these alone; they show on which side of practice the defaults lie.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import (
    age_days_at_20_from_ttf,
    gamma,
    gamma_constant,
    gamma_eurocode,
    temperature_time_factor,
)
from curecast.core.concrete.shapes import eurocode
from curecast.core.concrete.strength import StrengthCurve


def ages_d(temp_c: float, days: float) -> tuple[float, float]:
    """Equivalent age and temperature-time factor, both as days at 20 °C."""
    ttf = temperature_time_factor(np.array([temp_c]), 24.0 * days)
    return days * float(gamma(temp_c)), float(age_days_at_20_from_ttf(ttf)[0])


def test_seven_days_at_5_c_give_30_to_35_percent() -> None:
    te, ttf = ages_d(5.0, 7.0)
    assert 0.30 <= float(StrengthCurve(30.0).fraction_of_both(te, ttf)) <= 0.35
    assert float(eurocode(ttf)) == pytest.approx(0.320, abs=5e-4)  # computed


def test_seven_days_at_20_c_give_65_to_70_percent() -> None:
    te, ttf = ages_d(20.0, 7.0)
    assert 0.65 <= float(StrengthCurve(30.0).fraction_of_both(te, ttf)) <= 0.70
    assert float(eurocode(te)) == pytest.approx(0.684, abs=5e-4)  # computed


@pytest.mark.parametrize(
    ("share", "rate"),
    [
        (0.359, float(gamma(5.0))),
        (0.439, float(gamma_constant(5.0, 5000 * 8.314))),
        (0.487, float(gamma_eurocode(5.0))),
    ],
    ids=["variable Ea", "Q 5000", "Eurocode"],
)
def test_other_rules_are_kinder_at_5_c(share: float, rate: float) -> None:
    assert float(eurocode(7.0 * rate)) == pytest.approx(share, abs=5e-4)  # computed
    assert share > 0.35


@pytest.mark.parametrize(("strength_class", "days"), [(20.0, 3.0), (30.0, 2.0)])
def test_days_to_5_mpa_at_5_c_are_not_promised_sooner(strength_class: float, days: float) -> None:
    # C16/20 takes 3 d and C25/30 2 d at 5 °C to reach 5 MPa, by the page.
    te, ttf = ages_d(5.0, days)
    curve = StrengthCurve(strength_class)
    assert not bool(curve.need_is_met(5.0 / strength_class, te, ttf))


def test_10_mpa_at_0_c() -> None:
    # CEM I, w/c 0.50, 300 kg/m3: 8 d at 0 °C, by an admixture maker's page.
    te, ttf = ages_d(0.0, 8.0)
    assert not bool(StrengthCurve(30.0).need_is_met(10.0 / 30.0, te, ttf))
