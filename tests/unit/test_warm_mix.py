"""Warm and cool mixing water; a bag of 80 lb at 35 °F is the worked case."""

from __future__ import annotations

import math

import pytest

from curecast.core.build.warm_mix import (
    Batch,
    concrete_c,
    heating_h,
    ice_kg,
    kettle_l,
    warm_water,
)
from curecast.errors import OutOfRange

LB = 0.45359237


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def f(celsius: float) -> float:
    return 1.8 * celsius + 32.0


BAG = Batch(80 * LB, 6.26 * LB, c(35), c(50))


@pytest.mark.parametrize(("target", "water"), [(55, 111.2), (60, 130.3)])
def test_water_for_a_cold_bag(target: float, water: float) -> None:
    # Worked from ACI's equation: 111.2 °F for 55 °F, 130.3 °F for 60 °F.
    out = warm_water(BAG, c(target))
    assert f(out.water_c) == pytest.approx(water, abs=0.05)
    assert out.enough
    assert out.reached_c == pytest.approx(c(target))


def test_never_over_60_on_cement() -> None:
    out = warm_water(BAG, c(70))
    assert out.water_c == 60.0
    assert not out.enough
    assert f(out.reached_c) == pytest.approx(62.55, abs=0.005)
    warmer = Batch(BAG.bags_kg, BAG.water_kg, out.bags_c, BAG.tap_c)
    assert concrete_c(warmer, 60.0) == pytest.approx(c(70))


def test_tap_water_that_is_warm_enough_is_left_alone() -> None:
    out = warm_water(Batch(80 * LB, 6.26 * LB, 20.0, 12.0), 13.0)
    assert out.water_c == 12.0
    assert out.enough
    assert out.kettle_l == 0.0


def test_a_cold_drum_wants_hotter_water() -> None:
    # Worked by hand: 22 kg of steel take as much heat as 11 kg of dry mix.
    drum = Batch(BAG.bags_kg, BAG.water_kg, BAG.bags_c, BAG.tap_c, 22.0, BAG.bags_c)
    more = Batch(BAG.bags_kg + 11.0, BAG.water_kg, BAG.bags_c, BAG.tap_c)
    assert warm_water(drum, c(50)).water_c == pytest.approx(warm_water(more, c(50)).water_c)
    assert warm_water(drum, c(50)).water_c > warm_water(BAG, c(50)).water_c


def test_kettle_and_heater() -> None:
    # 10 l at 52.5 °C from 95 °C and 10 °C: half and half.
    assert kettle_l(10.0, 52.5, 10.0) == pytest.approx(5.0)
    assert kettle_l(10.0, 5.0, 10.0) == 0.0
    # 100 l by 40 K: 16.744 MJ; 2 kW of which 85 % arrives: 2.74 h.
    assert heating_h(100.0, 10.0, 50.0, 2000.0) == pytest.approx(16.744e6 / 1700.0 / 3600.0)
    assert heating_h(100.0, 50.0, 10.0, 2000.0) == 0.0


def test_ice_for_a_hot_bag() -> None:
    # 80 lb at 95 °F, water at 40 °F: 80.57 °F; half of the water as ice 60.6 °F.
    hot = Batch(80 * LB, 6.26 * LB, c(95), c(40))
    assert f(concrete_c(hot, c(40))) == pytest.approx(80.57, abs=0.005)
    assert f(concrete_c(hot, c(40), 3.13 * LB)) == pytest.approx(60.6, abs=0.05)
    ice = ice_kg(hot, c(70))
    assert f(concrete_c(hot, c(40), ice)) == pytest.approx(70.0)
    assert ice_kg(hot, c(90)) == 0.0
    assert math.isnan(ice_kg(hot, c(33)))


REFUSED = {
    "warm_water(Batch(0.0, 1.0, 5.0, 10.0), 13.0)": lambda: warm_water(
        Batch(0.0, 1.0, 5.0, 10.0), 13.0
    ),
    "warm_water(Batch(36.0, 0.0, 5.0, 10.0), 13.0)": lambda: warm_water(
        Batch(36.0, 0.0, 5.0, 10.0), 13.0
    ),
    "heating_h(10.0, 5.0, 50.0, 0.0)": lambda: heating_h(10.0, 5.0, 50.0, 0.0),
    "kettle_l(10.0, 50.0, 96.0)": lambda: kettle_l(10.0, 50.0, 96.0),
}


@pytest.mark.parametrize("what", REFUSED)
def test_refuses(what: str) -> None:
    with pytest.raises(OutOfRange):
        REFUSED[what]()
