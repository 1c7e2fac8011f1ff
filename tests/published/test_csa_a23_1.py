"""CSA A23.1, cold weather; EN 13670 and EN 206 beside it."""

from __future__ import annotations

import pytest

from curecast.core.rules.tables import (
    least_maintained_c,
    most_placed_c,
    removal_difference_k,
    rule_set,
)
from curecast.errors import OutOfRange


@pytest.mark.parametrize(
    ("thickness_m", "coldest", "hottest"),
    [(0.2, 10, 35), (0.5, 10, 30), (1.5, 5, 25), (2.5, 5, 20)],
)
def test_placing_temperatures(thickness_m: float, coldest: float, hottest: float) -> None:
    assert least_maintained_c("CSA", thickness_m)[0] == coldest
    assert most_placed_c("CSA", thickness_m)[0] == hottest


@pytest.mark.parametrize(
    ("thickness_m", "printed"),
    [
        (0.3, (29, 22, 19, 17, 12)),
        (0.6, (22, 18, 16, 15, 12)),
        (0.9, (18, 16, 15, 14, 12)),
        (1.2, (17, 15, 14, 13, 12)),
    ],
)
def test_difference_at_removal(thickness_m: float, printed: tuple[float, ...]) -> None:
    for ratio, difference in zip((0, 3, 5, 7, 20), printed, strict=True):
        assert removal_difference_k(thickness_m, ratio)[0] == difference


def test_a_thin_slab_counts_as_the_thinnest_row() -> None:
    assert removal_difference_k(0.1, 25.0)[0] == 12
    assert removal_difference_k(0.1, 12.0)[0] == pytest.approx(17 - 5 * 5 / 13)


def test_frost_strengths() -> None:
    assert [rule_set(name).frost_strength_mpa for name in ("ACI", "EN", "CSA")] == [3.5, 5.0, 7.0]


def test_en_206_asks_5_c_at_delivery() -> None:
    assert least_maintained_c("EN", 0.2)[0] == 5.0


def test_aci_301_hot_limit() -> None:
    assert most_placed_c("ACI", 0.2)[0] == pytest.approx((95 - 32) / 1.8)


@pytest.mark.parametrize("thickness_m", [0.0, -0.2, float("nan")])
def test_a_slab_has_a_thickness(thickness_m: float) -> None:
    for name in ("ACI", "EN", "CSA"):
        with pytest.raises(OutOfRange):
            least_maintained_c(name, thickness_m)


def test_unknown_rule_set() -> None:
    with pytest.raises(OutOfRange, match="no rule set"):
        rule_set("BS")
