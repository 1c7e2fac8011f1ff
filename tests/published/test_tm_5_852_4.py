"""TM 5-852-4, eq. 16 (also ACI 306R and 305R): temperature of fresh concrete.

Worked cases computed by independent code, in the units they were written in; 0.22 never
applies to water.
"""

from __future__ import annotations

import pytest

from curecast.core.concrete.fresh import mixed, mixed_bag, water_for, water_for_bag


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def f(celsius: float) -> float:
    return celsius * 1.8 + 32.0


def test_cubic_yard() -> None:
    batch = mixed(3000, c(40), 564, c(40), 240, c(140), free_water_kg=60)
    assert f(float(batch.temperature_c)) == pytest.approx(62.14, abs=0.005)
    water = water_for(c(65), 3000, c(40), 564, c(40), 240, free_water_kg=60)
    assert f(float(water.temperature_c)) == pytest.approx(152.9, abs=0.05)
    assert bool(water.hot_water)


def test_cubic_metre() -> None:
    batch = mixed(1850, 2, 320, 5, 135, 60, free_water_kg=40)
    assert float(batch.temperature_c) == pytest.approx(14.33, abs=0.005)
    assert not bool(batch.hot_water)


@pytest.mark.parametrize(("water_f", "concrete_f"), [(120, 57.30), (140, 62.55)])
def test_80_lb_bag_at_35_f(water_f: float, concrete_f: float) -> None:
    batch = mixed_bag(80, c(35), 6.26, c(water_f))
    assert f(float(batch.temperature_c)) == pytest.approx(concrete_f, abs=0.005)


def test_the_factor_of_solids_does_not_apply_to_water() -> None:
    # A mistake on public pages: 42.6 °F.
    assert f(float(mixed_bag(80, c(35), 6.26, c(140)).temperature_c)) > 60.0


@pytest.mark.parametrize(("concrete_f", "water_f"), [(55, 111.2), (60, 130.3)])
def test_water_that_an_80_lb_bag_needs(concrete_f: float, water_f: float) -> None:
    water = water_for_bag(c(concrete_f), 80, c(35), 6.26)
    assert f(float(water.temperature_c)) == pytest.approx(water_f, abs=0.05)
    assert bool(water.possible)
    assert not bool(water.hot_water)


def test_hot_bag_and_ice() -> None:
    assert f(float(mixed_bag(80, c(95), 6.26, c(40)).temperature_c)) == pytest.approx(
        80.57, abs=0.005
    )
    half = mixed_bag(80, c(95), 3.13, c(40), ice_kg=3.13)
    assert f(float(half.temperature_c)) == pytest.approx(60.6, abs=0.05)


def test_50_degrees_in_the_water_raise_concrete_by_10_to_15() -> None:
    # 300 / 1900 / 180 kg: 13.55 °C (published range, computed value).
    cold = float(mixed(1900, 5, 300, 5, 180, 5).temperature_c)
    warm = float(mixed(1900, 5, 300, 5, 180, 55).temperature_c)
    assert 10.0 <= warm - cold <= 15.0
    assert warm - cold == pytest.approx(13.55, abs=0.005)


def test_frozen_aggregate_carries_its_latent_heat() -> None:
    # ACI 306R: the term of free water becomes W (0.50 T - 80) below 0 °C (from memory).
    thawed = mixed(1850, 0.0, 320, 5, 135, 60, free_water_kg=40)
    frozen = mixed(1850, -1e-9, 320, 5, 135, 60, free_water_kg=40)
    capacity = 0.22 * 2170 + 175
    assert float(thawed.temperature_c - frozen.temperature_c) == pytest.approx(80 * 40 / capacity)
