"""Outside a formula's range: an error that names the range. What is not known opens nothing."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import curecast.core.concrete
import curecast.core.heat
from curecast.core.concrete import (
    ages,
    allowances,
    evaporation,
    fits,
    fresh,
    mixes,
    rates,
    setting,
    water,
)
from curecast.core.concrete.shapes import aci209, eurocode, exponential, hyperbola
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.concrete.tolerance import tolerance_factor
from curecast.core.heat import covers, forcing, hydration, layers, soil, sun, surface
from curecast.core.heat.section import EdgeSection
from curecast.core.heat.section_grid import SectionShape
from curecast.core.histories import Histories
from curecast.core.holdpoints import hold_rules
from curecast.core.openings import Strengths, openings
from curecast.errors import OutOfRange

NAN = float("nan")
GENERIC = hydration.HeatOfHydration(480e3, 335.0, 0.75, 14.0, 0.85, 40_000.0)
SLAB = layers.Column(0.15, GENERIC, 15.0, 8.0, 10.0)
HOT = [20.0, 100.1]
MENZEL, UNO, REPORTED = (
    evaporation.menzel_kg_m2_h, evaporation.uno_kg_m2_h, evaporation.reported_kg_m2_h,
)  # fmt: skip
MIXED, WATER_FOR = fresh.mixed, fresh.water_for

Call = Callable[[], object]

# function, what it is asked, words of the range in its answer
CASES: list[tuple[Any, Call, str]] = [
    (rates.gamma, lambda: rates.gamma(HOT), "100 °C"),
    (rates.gamma_constant, lambda: rates.gamma_constant(HOT), "100 °C"),
    (rates.gamma_constant, lambda: rates.gamma_constant(20.0, 0.0), "must be positive"),
    (rates.gamma_constant, lambda: rates.gamma_constant(20.0, NAN), "must be positive"),
    (rates.gamma_eurocode, lambda: rates.gamma_eurocode([-0.1]), "0 to 80 °C"),
    (rates.gamma_eurocode, lambda: rates.gamma_eurocode([80.1]), "0 to 80 °C"),
    (ages.equivalent_age, lambda: ages.equivalent_age(HOT, 1.0), "100 °C"),
    (ages.temperature_time_factor, lambda: ages.temperature_time_factor(HOT, 1.0), "100 °C"),
    (ages.age_days_at_20_from_ttf, lambda: ages.age_days_at_20_from_ttf(1.0, 20.0), "below 20 °C"),
    (ages.age_days_at_20_from_ttf, lambda: ages.age_days_at_20_from_ttf(1.0, NAN), "below 20 °C"),
    (allowances.f28_bag, lambda: allowances.f28_bag(0.0), "above 0 MPa"),
    (allowances.f28_bag, lambda: allowances.f28_bag(20.0, NAN), "above 0 MPa"),
    (evaporation.saturation_kpa, lambda: evaporation.saturation_kpa([0.0, -237.3]), "-200 °C"),
    (evaporation.wind_at_slab_ms, lambda: evaporation.wind_at_slab_ms(-0.1), "below 0"),
    (evaporation.wind_at_slab_ms, lambda: evaporation.wind_at_slab_ms(5.0, 1.1), "0 to 1"),
    (MENZEL, lambda: MENZEL(20, 20, 50, 10), "0 to 1"),
    (MENZEL, lambda: MENZEL(20, 20, 0.5, -1), "below 0"),
    (UNO, lambda: UNO(20, 20, -0.01, 10), "0 to 1"),
    (UNO, lambda: UNO(20, 20, 0.5, [3, -1]), "below 0"),
    (REPORTED, lambda: REPORTED(20, 20, 1.01, 10), "0 to 1"),
    (REPORTED, lambda: REPORTED(20, 20, 0.5, -1), "below 0"),
    (MIXED, lambda: MIXED(-1, 2, 320, 5, 135, 60), "negative"),
    (MIXED, lambda: MIXED(0, 2, 0, 5, 0, 60), "must have a mass"),
    (WATER_FOR, lambda: WATER_FOR(15, 1850, 2, 320, 5, 0.0), "without added water"),
    (WATER_FOR, lambda: WATER_FOR(15, 1850, 2, -320, 5, 135), "negative"),
    (fresh.mixed_bag, lambda: fresh.mixed_bag(36, 5, -3, 50), "negative"),
    (fresh.water_for_bag, lambda: fresh.water_for_bag(15, 36, 5, 0.0), "without added water"),
    (mixes.find_mix, lambda: mixes.find_mix("mud"), "take one of bag"),
    (mixes.find_mix, lambda: mixes.find_mix("bag", bag_kg=36.3, water_l=6.0), "2.8 to 4.4 l"),
    (mixes.find_mix, lambda: mixes.find_mix("bag", alpha_u=1.2), "ends at 1"),
    (setting.set_progress, lambda: setting.set_progress([20.0], 1.0, 0.0), "above 0"),
    (setting.finishing_progress, lambda: setting.finishing_progress([20.0], 1.0, NAN), "above 0"),
    (water.water_advice, lambda: water.water_advice(0.0, 3.0), "above 0"),
    (water.bag_w_c, lambda: water.bag_w_c(36.3, 0.0), "above 0"),
    (fits.fit_curve, lambda: fits.fit_curve(StrengthCurve(25.0), ()), "a fit needs a test"),
    (
        fits.fit_curve,
        lambda: fits.fit_curve(StrengthCurve(25.0), (fits.TestPoint(28.0, NAN),)),
        "no fit can use",
    ),
    (tolerance_factor, lambda: tolerance_factor(1), "two tests or more"),
    (StrengthCurve, lambda: StrengthCurve(NAN), "above 0"),
    (StrengthCurve, lambda: StrengthCurve(25.0, "line"), "take one of eurocode"),
    (StrengthCurve, lambda: StrengthCurve(25.0, s=0.0), "s must be above 0"),
    (StrengthCurve, lambda: StrengthCurve(25.0, cov_late=-0.1), "cannot be below 0"),
    (covers.CoverSpell, lambda: covers.CoverSpell(-0.1, 0.0, 9.0), "below 0"),
    (covers.CoverSpell, lambda: covers.CoverSpell(0.1, 0.0, 9.0, absorptance=1.1), "0 to 1"),
    (forcing.Exposure, lambda: forcing.Exposure(45.0, 0.0, sky_view=1.5), "0 to 1"),
    (forcing.Exposure, lambda: forcing.Exposure(45.0, 0.0, wind_factor=NAN), "0 to 1"),
    (hydration.HeatOfHydration, lambda: replace(GENERIC, alpha_u=1.01), "ends at 1"),
    (hydration.HeatOfHydration, lambda: replace(GENERIC, beta=NAN), "above 0"),
    (hydration.ultimate_degree, lambda: hydration.ultimate_degree([0.5, 0.0]), "above 0"),
    (layers.Column, lambda: replace(SLAB, thickness_m=0.049), "0.05 to 1.0 m"),
    (layers.Column, lambda: replace(SLAB, thickness_m=NAN), "0.05 to 1.0 m"),
    (layers.Column, lambda: replace(SLAB, under_r_m2k_w=-0.1), "below 0"),
    (layers.Column, lambda: replace(SLAB, concrete_cells=7), "even number"),
    (soil.Material, lambda: soil.Material(0.0, 2350.0, 960.0), "above 0"),
    (
        EdgeSection,
        lambda: EdgeSection(SLAB, 1.2, above_grade_m=0.2).shape,
        "between the slab's top",
    ),
    (
        SectionShape,
        lambda: replace(EdgeSection(SLAB, 1.2).shape, anchor_edge_m=0.7),
        "half the slab's width",
    ),
    (SectionShape, lambda: EdgeSection(SLAB, NAN).shape, "0.2 to 50 m"),
    (sun.cos_zenith, lambda: sun.cos_zenith(0.0, 91.0, 0.0), "-90 to 90"),
    (sun.cos_zenith, lambda: sun.cos_zenith(0.0, 45.0, NAN), "-180 to 180"),
    (sun.clear_sky_w_m2, lambda: sun.clear_sky_w_m2(1.1), "-1 to 1"),
    (sun.through_cloud, lambda: sun.through_cloud([0.5, 5.0]), "0 to 1"),
    (sun.checked_cloud, lambda: sun.checked_cloud(-0.1), "0 to 1"),
    (surface.sky_emissivity, lambda: surface.sky_emissivity(5.0, 10.0), "0 to 1"),
    (surface.convection_w_m2k, lambda: surface.convection_w_m2k(-0.1), "below 0"),
]


@pytest.mark.parametrize(
    ("call", "words"),
    [case[1:] for case in CASES],
    ids=[f"{case[0].__name__}-{i}" for i, case in enumerate(CASES)],
)
def test_outside_its_range_a_formula_says_so(call: Call, words: str) -> None:
    with pytest.raises(OutOfRange) as told:
        call()
    assert words in f"{told.value} {told.value.hint or ''}"


def public(package: Any) -> list[tuple[str, Any]]:
    found = []
    for info in pkgutil.iter_modules(package.__path__):
        module = importlib.import_module(f"{package.__name__}.{info.name}")
        found += [
            (f"{info.name}.{name}", thing)
            for name, thing in vars(module).items()
            if not name.startswith("_") and getattr(thing, "__module__", "") == module.__name__
        ]
    return found


@pytest.mark.parametrize("package", [curecast.core.concrete, curecast.core.heat])
def test_every_promise_to_raise_is_tried_here(package: Any) -> None:
    tried = {case[0] for case in CASES}
    promised = {
        name: thing
        for name, thing in public(package)
        if (inspect.isfunction(thing) or inspect.isclass(thing))
        and "OutOfRange" in (inspect.getdoc(thing) or "")
    }
    assert promised
    assert {name for name, thing in promised.items() if thing not in tried} == set()


UNKNOWN: list[tuple[str, Callable[[float], Any]]] = [
    ("gamma", rates.gamma),
    ("gamma_constant", rates.gamma_constant),
    ("gamma_eurocode", rates.gamma_eurocode),
    ("temperature_time_factor", lambda t: ages.temperature_time_factor([t], 1.0)),
    ("age_days_at_20_from_ttf", ages.age_days_at_20_from_ttf),
    ("eurocode", eurocode),
    ("aci209", aci209),
    ("hyperbola", lambda t: hyperbola(t, 1.2, 0.2)),
    ("exponential", lambda t: exponential(t, 1.4, 4.0, 0.5)),
    ("water_factor", lambda w_c: allowances.water_factor(w_c, 0.5)),
    ("moist_curing_factor", allowances.moist_curing_factor),
    ("hot_placing_factor", allowances.hot_placing_factor),
    ("set_progress", lambda t: setting.set_progress([t], 1.0)),
    ("degree", lambda age: hydration.degree(age, GENERIC)),
    ("heat_w_m3", lambda t: hydration.heat_w_m3(5.0, t, GENERIC)),
    ("through_cloud", sun.through_cloud),
    ("sky_emissivity", lambda dew: surface.sky_emissivity(dew, 0.5)),
]


@pytest.mark.parametrize(("name", "formula"), UNKNOWN, ids=[name for name, _ in UNKNOWN])
def test_what_is_not_known_stays_unknown(name: str, formula: Callable[[float], Any]) -> None:
    assert np.isnan(formula(NAN)).all()


def test_set_is_never_reached_by_the_unknown() -> None:
    progress = setting.set_progress([20.0, NAN, 20.0, 20.0], 3.0)
    assert setting.reached_h(progress, 3.0).item() == np.inf


HOURS = np.arange(0.0, 2401.0, 2.0)
MEMBERS = 10


def steady(temp_c: float) -> Histories:
    """A hundred days at one temperature."""
    whole = np.full((len(HOURS), 4, MEMBERS), temp_c)
    age = np.broadcast_to(HOURS[:, None, None], whole.shape)
    each = np.ones(MEMBERS)
    return Histories(
        t_h=HOURS,
        temp_c=whole,
        te20_h=age * float(rates.gamma(temp_c)),
        ttf_c_h=age * temp_c,
        coldest_c=whole[:, 0],
        air_c=whole[:, 0],
        final_set_h=6.0 * each,
        finishing_h=3.0 * each,
        evaporation_kg_m2_h=0.1 * each,
    )


def opened(history: Histories, z: float = 0.0) -> dict[str, np.ndarray]:
    strengths = Strengths(StrengthCurve(40.0), np.full(MEMBERS, z))
    return {n: o.at_h for n, o in openings(history, strengths, hold_rules(), 1.0).items()}


def test_every_hold_opens_where_all_is_known() -> None:
    assert {
        name for name, at in opened(steady(20.0)).items() if not np.all(np.isfinite(at))
    } == set()


def test_no_hold_opens_on_nothing_known() -> None:
    known = steady(20.0)
    nothing = {
        name: np.full_like(getattr(known, name), NAN) for name in vars(known) if name != "t_h"
    }
    assert {
        n for n, at in opened(replace(known, **nothing)).items() if np.isfinite(at).any()
    } == set()


def test_no_strength_is_reached_after_a_gap() -> None:
    known = steady(20.0)
    te, ttf = known.te20_h.copy(), known.ttf_c_h.copy()
    te[5:], ttf[5:] = NAN, NAN
    for lost in ({"te20_h": te}, {"ttf_c_h": ttf}, {"te20_h": te, "ttf_c_h": ttf}):
        times = opened(replace(known, **lost))
        assert "walk" in times
        by_strength = ("light-load", "drill", "full-torque", "service-load", "re-check")
        if "te20_h" in lost:
            assert {name for name in by_strength if np.isfinite(times[name]).any()} == set()
        else:
            assert not np.isfinite(times["light-load"]).any()


def test_no_strength_is_reached_with_an_unknown_doubt() -> None:
    times = opened(steady(20.0), NAN)
    for name in ("walk", "strip", "end-protection", "light-load", "drill", "full-torque"):
        assert not np.isfinite(times[name]).any()
