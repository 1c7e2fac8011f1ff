"""ACI 306R, cold weather: temperatures, days, and its two statements about 500 psi."""

from __future__ import annotations

import pytest

from curecast.core.concrete.ages import gamma, gamma_constant
from curecast.core.concrete.shapes import eurocode
from curecast.core.rules.tables import (
    least_maintained_c,
    least_mixed_c,
    most_drop_k,
    protection_days,
    rule_set,
)

WARM_C, COOL_C = (70 - 32) / 1.8, (50 - 32) / 1.8


@pytest.mark.parametrize(  # table 5.1 (88/10: 3.1), from memory; inches of least dimension
    ("inches", "maintained", "mild", "frost", "hard_frost", "drop"),
    [
        (8, 13, 16, 18, 21, 28),
        (24, 10, 13, 16, 18, 22),
        (48, 7, 10, 13, 16, 17),
        (80, 5, 7, 10, 13, 11),
    ],
)
def test_table_5_1(
    inches: float, maintained: float, mild: float, frost: float, hard_frost: float, drop: float
) -> None:
    thickness = inches * 0.0254
    assert least_maintained_c("ACI", thickness)[0] == maintained
    assert least_mixed_c(thickness, 2.0)[0] == mild
    assert least_mixed_c(thickness, -5.0)[0] == frost
    assert least_mixed_c(thickness, -20.0)[0] == hard_frost
    assert most_drop_k(thickness)[0] == drop


@pytest.mark.parametrize(
    ("service", "plain", "rapid"), [(1, 2, 1), (2, 3, 2), (3, 6, 4)]
)  # from memory
def test_protection_days(service: int, plain: float, rapid: float) -> None:
    assert protection_days(service)[0] == plain
    assert protection_days(service, rapid=True)[0] == rapid


def test_500_psi_stands_one_freeze() -> None:
    assert rule_set("ACI").frost_strength_mpa == pytest.approx(500 * 0.0068947573, abs=0.06)
    assert rule_set("ACI").cold_air_c == pytest.approx((40 - 32) / 1.8, abs=0.05)


def test_two_statements_about_500_psi_agree() -> None:
    """24 h at 70 °F and 48 h at 50 °F are both said to give it (attributed to 306R)."""
    warm, cool = 24 * (WARM_C - 0.0), 48 * (COOL_C - 0.0)
    assert warm == pytest.approx(507, abs=0.5)
    assert cool == pytest.approx(480, abs=0.5)
    assert abs(warm / cool - 1) < 0.10
    assert float(24 * gamma(WARM_C)) == pytest.approx(float(48 * gamma(COOL_C)), rel=0.10)
    q5000 = 48 * float(gamma_constant(COOL_C, 5000 * 8.314, WARM_C))
    assert q5000 == pytest.approx(24.6, abs=0.05)


def test_the_traditional_datum_does_not_agree() -> None:
    warm, cool = 24 * (WARM_C + 10.0), 48 * (COOL_C + 10.0)
    assert (warm, cool) == (pytest.approx(747, abs=0.5), pytest.approx(960, abs=0.5))
    assert cool / warm - 1 > 0.10


@pytest.mark.parametrize(("days", "share"), [(6, 0.50), (11, 0.65), (21, 0.85), (29, 0.95)])
def test_default_promises_no_more_at_50_f_than_table_6_8(days: float, share: float) -> None:
    # ACI 306R-88, Type I, days at 50 °F for a share of f28; from memory.
    assert float(eurocode(days * gamma(COOL_C))) <= share
