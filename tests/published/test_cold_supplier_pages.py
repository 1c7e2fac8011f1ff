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
from tests.validation.rows import Agree

SOURCE = "Cold curing on suppliers' pages (no standard)"


def ages_d(temp_c: float, days: float) -> tuple[float, float]:
    """Equivalent age and temperature-time factor, both as days at 20 °C."""
    ttf = temperature_time_factor(np.array([temp_c]), 24.0 * days)
    return days * float(gamma(temp_c)), float(age_days_at_20_from_ttf(ttf)[0])


@pytest.mark.parametrize(("temp_c", "least", "most"), [(5.0, 0.30, 0.35), (20.0, 0.65, 0.70)])
def test_seven_days(agree: Agree, temp_c: float, least: float, most: float) -> None:
    ours = StrengthCurve(30.0).fraction_of_both(*ages_d(temp_c, 7.0))
    what = f"share of f28 after 7 d at {temp_c:.0f} °C, {100 * least:.0f} to {100 * most:.0f} %"
    half = (most - least) / 2
    agree(what, SOURCE, (least + most) / 2, [ours], half, kind="supplier", note="half the range")


def test_seven_days_by_the_curve(agree: Agree) -> None:
    cold, mild = eurocode(ages_d(5.0, 7.0)[1]), eurocode(ages_d(20.0, 7.0)[0])
    what = "the default curve after 7 d at 5 and 20 °C"
    agree(what, SOURCE, [0.320, 0.684], [cold, mild], 5e-4, kind="computed")


@pytest.mark.parametrize(
    ("rule", "share", "rate"),
    [
        ("variable Ea", 0.359, float(gamma(5.0))),
        ("Q 5000 K", 0.439, float(gamma_constant(5.0, 5000 * 8.314))),
        ("Eurocode (B.10)", 0.487, float(gamma_eurocode(5.0))),
    ],
)
def test_other_rules_are_kinder_at_5_c(agree: Agree, rule: str, share: float, rate: float) -> None:
    what = f"kinder than the range: 7 d at 5 °C by {rule} alone"
    agree(what, SOURCE, share, [eurocode(7.0 * rate)], 5e-4, kind="computed")
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
