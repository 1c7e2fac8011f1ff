"""CSA A23.1, cold weather; EN 13670 and EN 206 beside it."""

from __future__ import annotations

import pytest

from curecast.core.holdpoints import hold_rules
from curecast.core.rules.tables import (
    HOT_WARN_C,
    least_maintained_c,
    most_placed_c,
    removal_difference_k,
    rule_set,
)
from curecast.errors import OutOfRange
from tests.validation.rows import Agree

SOURCE = "CSA A23.1, cold weather"


@pytest.mark.parametrize(
    ("thickness_m", "coldest", "hottest"),
    [(0.2, 10, 35), (0.5, 10, 30), (1.5, 5, 25), (2.5, 5, 20)],
)
def test_placing_temperatures(
    agree: Agree, thickness_m: float, coldest: float, hottest: float
) -> None:
    ours = [least_maintained_c("CSA", thickness_m)[0], most_placed_c("CSA", thickness_m)[0]]
    what = f"coldest and hottest as placed, {thickness_m} m"
    agree(what, SOURCE, [coldest, hottest], ours, 0.0, "°C")


@pytest.mark.parametrize(
    ("thickness_m", "printed"),
    [
        (0.3, (29, 22, 19, 17, 12)),
        (0.6, (22, 18, 16, 15, 12)),
        (0.9, (18, 16, 15, 14, 12)),
        (1.2, (17, 15, 14, 13, 12)),
    ],
)
def test_difference_at_removal(
    agree: Agree, thickness_m: float, printed: tuple[float, ...]
) -> None:
    ours = [removal_difference_k(thickness_m, ratio)[0] for ratio in (0, 3, 5, 7, 20)]
    what = f"face less air at removal, {thickness_m} m, length over height 0, 3, 5, 7, 20"
    agree(what, SOURCE, printed, ours, 0.0, "K")


def test_a_thin_slab_counts_as_the_thinnest_row() -> None:
    assert removal_difference_k(0.1, 25.0)[0] == 12
    assert removal_difference_k(0.1, 12.0)[0] == pytest.approx(17 - 5 * 5 / 13)


def test_frost_strengths(agree: Agree) -> None:
    what = "strength that stands one freeze"
    for name, source, strength, kind in (
        ("EN", "EN 13670:2009, 8.5", 5.0, "memory"),
        ("CSA", "CSA A23.1, cold weather", 7.0, "published"),
    ):
        ours = rule_set(name).frost_strength_mpa
        agree(what, source, strength, ours, 0.0, "MPa", kind)
        assert hold_rules(rule_set=name)["end-protection"].strength_mpa == strength


def test_cold_air(agree: Agree) -> None:
    agree(
        "air at or below this is cold weather", SOURCE, 5.0, rule_set("CSA").cold_air_c, 0.0, "°C"
    )


def test_en_206_at_delivery(agree: Agree) -> None:
    agree("least at delivery", "EN 206", 5.0, least_maintained_c("EN", 0.2)[0], 0.0, "°C")
    agree("most at delivery", "EN 206", 30.0, most_placed_c("EN", 0.2)[0], 0.0, "°C", "memory")


def test_hot_limits(agree: Agree) -> None:
    ours = most_placed_c("ACI", 0.2)[0]
    agree("95 °F at discharge", "ACI 301-20 and 305.1-14", (95 - 32) / 1.8, ours, 1e-9, "°C")
    agree("90 °F", "TM 5-822-7", (90 - 32) / 1.8, HOT_WARN_C, 0.3, "°C", note="a rounded figure")


@pytest.mark.parametrize("thickness_m", [0.0, -0.2, float("nan")])
def test_a_slab_has_a_thickness(thickness_m: float) -> None:
    for name in ("ACI", "EN", "CSA"):
        with pytest.raises(OutOfRange):
            least_maintained_c(name, thickness_m)


def test_unknown_rule_set() -> None:
    with pytest.raises(OutOfRange, match="no rule set"):
        rule_set("BS")
