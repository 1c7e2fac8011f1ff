"""Claims about mixing, evaporation, setting, heat and buying that hold for every batch."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from curecast.core.build.takeoff import bag_yield_m3, takeoff
from curecast.core.concrete.evaporation import menzel_kg_m2_h, reported_kg_m2_h, uno_kg_m2_h
from curecast.core.concrete.fresh import mixed, mixed_bag, water_for, water_for_bag
from curecast.core.concrete.setting import final_set_h_at, reached_h, set_progress
from curecast.core.concrete.water import water_advice
from curecast.core.heat.hydration import HeatOfHydration, degree, heat_w_m3

kg = st.floats(10.0, 2000.0)
temps = st.floats(-20.0, 45.0)
rh = st.floats(0.0, 1.0)
wind = st.floats(0.0, 60.0)
heats = st.builds(
    HeatOfHydration,
    heat_j_kg=st.floats(3e5, 5.5e5),
    cement_kg_m3=st.floats(200.0, 500.0),
    alpha_u=st.floats(0.4, 1.0),
    tau_h=st.floats(5.0, 40.0),
    beta=st.floats(0.4, 1.2),
    activation_j_mol=st.floats(30e3, 55e3),
)


@given(st.floats(5.0, 30.0), kg, temps, kg, temps, kg, st.floats(0.0, 100.0), st.floats(0.0, 50.0))
def test_water_asked_for_gives_the_temperature_asked_for(
    target: float,
    agg: float,
    t_a: float,
    cem: float,
    t_c: float,
    wat: float,
    free: float,
    ice: float,
) -> None:
    water = water_for(target, agg, t_a, cem, t_c, wat, free, ice)
    back = mixed(agg, t_a, cem, t_c, wat, water.temperature_c, free, ice)
    np.testing.assert_allclose(back.temperature_c, target, rtol=1e-6, atol=1e-6)


@given(kg, temps, kg, st.floats(0.0, 90.0))
def test_a_mixture_lies_between_its_parts(bag: float, t_b: float, wat: float, t_w: float) -> None:
    t = float(mixed_bag(bag, t_b, wat, t_w).temperature_c)
    assert min(t_b, t_w) - 1e-9 <= t <= max(t_b, t_w) + 1e-9


@given(st.floats(5.0, 30.0), kg, temps, kg)
def test_bag_water_both_ways(target: float, bag: float, t_b: float, wat: float) -> None:
    water = water_for_bag(target, bag, t_b, wat)
    assert bool(water.hot_water) == (float(water.temperature_c) > 60.0)
    assert bool(water.possible) == (0.0 <= float(water.temperature_c) <= 100.0)
    back = mixed_bag(bag, t_b, wat, water.temperature_c)
    np.testing.assert_allclose(back.temperature_c, target, rtol=1e-6, atol=1e-6)


@given(temps, temps, rh, wind, st.floats(0.0, 20.0))
def test_evaporation(surface: float, air: float, humidity: float, kmh: float, more: float) -> None:
    for law in (menzel_kg_m2_h, uno_kg_m2_h, reported_kg_m2_h):
        now = float(law(surface, air, humidity, kmh))
        assert now >= 0.0
        assert float(law(surface, air, humidity, kmh + more)) >= now
        assert float(law(surface, air, max(humidity - 0.1, 0.0), kmh)) >= now
    assert float(menzel_kg_m2_h(surface + more, air, humidity, kmh)) >= float(
        menzel_kg_m2_h(surface, air, humidity, kmh)
    )


@given(st.floats(-1.0, 40.0), st.floats(0.0, 10.0))
def test_warmer_sets_sooner(temp: float, more: float) -> None:
    assert float(final_set_h_at(temp + more)) <= float(final_set_h_at(temp))


@given(hnp.arrays(np.float64, st.integers(1, 60), elements=st.floats(-10.0, 40.0)))
def test_time_of_set_lies_where_the_progress_is_one(temp: np.ndarray) -> None:
    progress = set_progress(temp, 1.0)
    hours = float(reached_h(progress, 1.0))
    if not np.isfinite(hours):
        assert progress[-1] < 1.0
        return
    ends = np.arange(len(temp) + 1.0)
    np.testing.assert_allclose(np.interp(hours, ends, np.append(0.0, progress)), 1.0, atol=1e-9)


@given(heats, st.floats(0.01, 500.0), st.floats(0.01, 500.0))
def test_hydration_only_goes_on(h: HeatOfHydration, age: float, more: float) -> None:
    assert 0.0 <= float(degree(age, h)) <= float(degree(age + more, h)) <= h.alpha_u


@given(heats, st.floats(1.0, 300.0), st.floats(-9.0, 60.0))
def test_heat_is_the_slope_of_the_degree(h: HeatOfHydration, age: float, temp: float) -> None:
    step = 1e-4 * age
    slope = (degree(age + step, h) - degree(age - step, h)) / (2 * step)
    at_reference = h.heat_j_kg * h.cement_kg_m3 * float(slope) / 3600.0
    assume(at_reference > 1e-3)
    heat = float(heat_w_m3(age, h.reference_temperature_c, h))
    np.testing.assert_allclose(heat, at_reference, rtol=1e-4)
    warmer = float(heat_w_m3(age, temp + 1.0, h))
    assert warmer > float(heat_w_m3(age, temp, h))


@given(st.floats(0.5, 5.0), st.floats(0.5, 5.0), st.floats(0.05, 0.5), st.floats(10.0, 45.0))
def test_bags_fill_the_form_and_none_is_spare(
    length: float, width: float, depth: float, bag: float
) -> None:
    out = takeoff(length, width, depth, bag, waste=0.0)
    assert out.bags is not None
    assert out.bags * bag_yield_m3(bag) >= out.volume_m3 * (1.0 - 1e-8)
    assert (out.bags - 1) * bag_yield_m3(bag) < out.volume_m3


@given(st.floats(5.0, 50.0), st.floats(0.05, 0.2))
def test_more_water_never_helps(bag: float, litres_per_kg: float) -> None:
    advice = water_advice(bag, bag * litres_per_kg)
    wetter = water_advice(bag, bag * litres_per_kg * 1.1)
    assert wetter.f28_factor <= advice.f28_factor
    kinds = ("below", "within", "above", "refused")
    assert kinds.index(wetter.kind) >= kinds.index(advice.kind)
