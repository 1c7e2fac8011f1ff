"""TM 5-852-4, eq. 16 (also ACI 306R and 305R): temperature of fresh concrete.

Worked cases computed by independent code, in the units they were written in; 0.22 never
applies to water.
"""

from __future__ import annotations

import pytest

from curecast.core.concrete.fresh import mixed, mixed_bag, water_for, water_for_bag
from tests.validation.rows import Agree

SOURCE = "TM 5-852-4, eq. 16 (ACI 306R, 305R)"


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def f(celsius: float) -> float:
    return celsius * 1.8 + 32.0


def test_cubic_yard(agree: Agree) -> None:
    batch = mixed(3000, c(40), 564, c(40), 240, c(140), free_water_kg=60)
    ours = f(float(batch.temperature_c))
    agree("a cubic yard at 40 °F, water at 140 °F", SOURCE, 62.14, ours, 0.005, "°F", "computed")
    water = water_for(c(65), 3000, c(40), 564, c(40), 240, free_water_kg=60)
    ours = f(float(water.temperature_c))
    agree("the water that makes it 65 °F", SOURCE, 152.9, ours, 0.05, "°F", "computed")
    assert bool(water.hot_water)


def test_cubic_metre(agree: Agree) -> None:
    batch = mixed(1850, 2, 320, 5, 135, 60, free_water_kg=40)
    agree("a cubic metre at 2 °C, water at 60 °C", SOURCE, 14.33, [batch.temperature_c], 0.005,
          "°C", "computed")  # fmt: skip
    assert not bool(batch.hot_water)


@pytest.mark.parametrize(("water_f", "concrete_f"), [(120, 57.30), (140, 62.55)])
def test_80_lb_bag_at_35_f(agree: Agree, water_f: float, concrete_f: float) -> None:
    ours = f(float(mixed_bag(80, c(35), 6.26, c(water_f)).temperature_c))
    what = f"80 lb at 35 °F with 6.26 lb of water at {water_f} °F"
    agree(what, SOURCE, concrete_f, ours, 0.005, "°F", "computed")


def test_the_factor_of_solids_does_not_apply_to_water() -> None:
    # A mistake on public pages: 42.6 °F.
    assert f(float(mixed_bag(80, c(35), 6.26, c(140)).temperature_c)) > 60.0


@pytest.mark.parametrize(("concrete_f", "water_f"), [(55, 111.2), (60, 130.3)])
def test_water_that_an_80_lb_bag_needs(agree: Agree, concrete_f: float, water_f: float) -> None:
    water = water_for_bag(c(concrete_f), 80, c(35), 6.26)
    what = f"the water that makes it {concrete_f} °F"
    agree(what, SOURCE, water_f, f(float(water.temperature_c)), 0.05, "°F", "computed")
    assert bool(water.possible)
    assert not bool(water.hot_water)


def test_hot_bag_and_ice(agree: Agree) -> None:
    ours = f(float(mixed_bag(80, c(95), 6.26, c(40)).temperature_c))
    what = "80 lb at 95 °F with water at 40 °F"
    agree(what, SOURCE, 80.57, ours, 0.005, "°F", "computed")
    half = mixed_bag(80, c(95), 3.13, c(40), ice_kg=3.13)
    ours = f(float(half.temperature_c))
    agree(f"{what}, half of it ice", SOURCE, 60.6, ours, 0.05, "°F", "computed")


def test_50_degrees_in_the_water_raise_concrete_by_10_to_15(agree: Agree) -> None:
    # 300 / 1900 / 180 kg: 13.55 °C (published range, computed value).
    cold = float(mixed(1900, 5, 300, 5, 180, 5).temperature_c)
    warm = float(mixed(1900, 5, 300, 5, 180, 55).temperature_c)
    assert 10.0 <= warm - cold <= 15.0
    what = "50 °C more in the water, 300 / 1900 / 180 kg"
    agree(what, SOURCE, 13.55, warm - cold, 0.005, "K", "computed")


def test_frozen_aggregate_carries_its_latent_heat(agree: Agree) -> None:
    # ACI 306R: the term of free water becomes W (0.50 T - 80) below 0 °C (from memory).
    thawed = mixed(1850, 0.0, 320, 5, 135, 60, free_water_kg=40)
    frozen = mixed(1850, -1e-9, 320, 5, 135, 60, free_water_kg=40)
    capacity = 0.22 * 2170 + 175
    lost = thawed.temperature_c - frozen.temperature_c
    agree("frozen free water of a cubic metre: latent heat", SOURCE, 80 * 40 / capacity, [lost],
          1e-5, "K", "memory")  # fmt: skip
