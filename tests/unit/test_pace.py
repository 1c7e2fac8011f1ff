"""How long placing takes."""

from __future__ import annotations

import pytest

from curecast.core.build.pace import placing_h, truck_h
from curecast.errors import OutOfRange

LB_80_KG = 80 * 0.45359237


def test_two_people_by_hand_one_bag_at_a_time() -> None:
    """38 bags of 80 lb take two people about two and a half hours: common practice."""
    assert placing_h(38, LB_80_KG, 2) == pytest.approx(2.5, abs=0.05)


def test_more_bags_heavier_bags_and_fewer_hands_take_longer() -> None:
    base = placing_h(40, LB_80_KG, 2)
    assert placing_h(80, LB_80_KG, 2) == pytest.approx(2 * base)
    assert placing_h(40, LB_80_KG / 2, 2) == pytest.approx(base / 2)
    assert placing_h(40, LB_80_KG, 1) == pytest.approx(2 * base)
    assert placing_h(40, LB_80_KG, 2, drum=True) < base
    assert placing_h(40, LB_80_KG, 6) == placing_h(40, LB_80_KG, 12)
    assert placing_h(0, LB_80_KG, 2) == 0.0


def test_a_crew_of_none_places_nothing() -> None:
    with pytest.raises(OutOfRange, match="crew of none"):
        placing_h(40, LB_80_KG, 0)


def test_a_truck_is_quicker_and_grows_with_the_load() -> None:
    assert truck_h(1.0) < placing_h(90, LB_80_KG, 2)
    assert truck_h(2.0) > truck_h(1.0) > 0.0
