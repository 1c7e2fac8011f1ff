"""From steps to histories: ages, set, finishing, the edge's screen; batches and the shared rest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.aging import (
    Ages,
    equivalent_age_h,
    heat_age_h,
    mean_above_c,
    temperature_time_c_h,
)
from curecast.core.batches import Batch, run
from curecast.core.case import Case
from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.concrete.rates import gamma
from curecast.core.concrete.setting import _set_rate, finishing_start_h_at
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.column import march
from curecast.core.heat.covers import BARE, CoverSpell, cover_state
from curecast.core.heat.edge_screen import edge_share, screened_edge_c
from curecast.core.heat.forcing import Exposure
from curecast.core.heat.hydration import heat_rate_age
from curecast.core.heat.layers import Column
from curecast.core.heat.stepping import NORMAL, step_times_h
from curecast.core.heat.surface import Surroundings
from curecast.core.histories import EDGE, SURFACE, Histories, aged, collect
from curecast.core.marches import EARLY_H, shared_rest, with_rest
from curecast.core.weather.ensemble import Members
from tests.fixtures.slabs import slab, steady
from tests.reference.cases import HEAT, NOVEMBER_H, weather

CASE = Case(0.15, HEAT, StrengthCurve(27.6), Exposure(45.0, -93.0), placing_h=2.0, placed_c=15.0)
SKY = weather(6.0, 5.0, 3.0, 0.5, 21)


def members(count: int = 1) -> Members:
    return Members(
        NOVEMBER_H, **{k: np.repeat(v[:, None], count, 1) for k, v in SKY.items() if k != "start_h"}
    )


def test_degree_hours_are_exact_across_the_datum() -> None:
    ends = np.array([4.0, 4.0, -2.0, -2.0, 0.0, np.nan])
    others = np.array([2.0, -4.0, 6.0, -8.0, 0.0, 3.0])
    found = mean_above_c(ends, others)
    assert found[:5].tolist() == pytest.approx([3.0, 1.0, 2.25, 0.0, 0.0])
    assert np.isnan(found[5])
    fine = np.linspace(0.0, 24.0, 24 * 60 + 1)
    swing = 10.0 * np.sin(2 * np.pi * fine / 24)
    total = temperature_time_c_h(fine, swing[:, None])[-1, 0]
    assert total == pytest.approx(240.0 / np.pi, rel=1e-5)


def test_ages_of_a_steady_slab() -> None:
    past = steady([5.0, 20.0, -12.0], days=2.0)
    assert past.te20_h[-1, SURFACE].tolist() == pytest.approx([48 * 0.2925, 48.0, 0.0], rel=2e-4)
    assert past.ttf_c_h[-1, SURFACE].tolist() == pytest.approx([240.0, 960.0, 0.0])
    heat = heat_age_h(past.t_h, past.temp_c, HEAT)
    assert heat[-1, SURFACE, 0] == pytest.approx(48 * float(heat_rate_age(5.0, HEAT)))


def test_ages_added_up_on_the_way_are_those_summed_afterwards() -> None:
    t = np.array([0.0, 0.3, 1.0, 4.0, 9.5])
    temps = np.array([[12.0, -3.0], [9.0, 1.0], [4.0, -2.0], [-1.0, 6.0], [7.0, 30.0]])
    ages = Ages(temps[0])
    te20, ttf = np.zeros_like(temps), np.zeros_like(temps)
    for some in (slice(1, 2), slice(2, 5)):
        ages.add(np.diff(t)[some.start - 1 : some.stop - 1], temps[some], te20[some], ttf[some])
    np.testing.assert_allclose(te20, equivalent_age_h(t, temps))
    np.testing.assert_allclose(ttf, temperature_time_c_h(t, temps))
    np.testing.assert_allclose(ages.smaller_h, np.minimum(ages.te20_h, ages.ttf_c_h / 20.0))


def followed(
    column: Column, air_c: float, covers: tuple[CoverSpell, ...] = (), **more: float
) -> Histories:
    def still(_: float) -> Surroundings:
        one = np.ones(1)
        humid = saturation_kpa(air_c * one) * 0.5
        return Surroundings(air_c * one, 0.0 * one, 0.0 * one, humid, 1.0 * one)

    times = step_times_h(48.0, (6.0,), NORMAL)
    wanted = {"strip_at_h": 24.0} | more
    return collect(march(column, still, covers, times), **wanted)


FRESH = Column(0.15, HEAT, placed_c=12.0, ground_c=8.0, deep_c=9.0)


def test_a_march_leaves_its_histories() -> None:
    past = followed(FRESH, 6.0)
    again = aged(past)
    np.testing.assert_allclose(again.te20_h, past.te20_h)
    np.testing.assert_allclose(again.ttf_c_h, past.ttf_c_h)
    assert np.all(past.temp_c[0] == 12.0)
    assert np.all(past.te20_h[0] == 0.0)
    assert np.all(past.coldest_c <= past.temp_c.min(axis=1) + 1e-9)
    assert np.all(past.air_c == 6.0)
    assert past.evaporation_kg_m2_h[0] > 0.0
    first = past.columns(np.array([0]))
    assert first.t_h is past.t_h
    assert np.array_equal(first.temp_c, past.temp_c)


def test_set_and_finishing_run_by_the_faces_temperature() -> None:
    past = followed(FRESH, 6.0)
    t = np.linspace(0.0, past.final_set_h[0], 4000)
    face = np.interp(t, past.t_h, past.temp_c[:, SURFACE, 0])
    rates = _set_rate(face)
    share = float(np.sum(0.5 * np.diff(t) * (rates[1:] + rates[:-1])))
    assert share == pytest.approx(1.0, abs=2e-3)
    coldest, warmest = face.min(), face.max()
    floats = past.finishing_h[0]
    assert finishing_start_h_at(warmest) < floats < finishing_start_h_at(coldest)
    later = followed(FRESH, 6.0, floats_from_h=1.5).finishing_h[0]
    assert later == pytest.approx(floats + 1.5, abs=0.5)
    frozen = replace(FRESH, placed_c=-2.0, ground_c=-3.0, deep_c=-3.0, heat_scale=0.0)
    assert np.isnan(followed(frozen, -5.0).final_set_h[0])


def test_a_covered_face_reports_no_drying() -> None:
    covered = followed(FRESH, 6.0, (CoverSpell(0.03, 0.0, 99.0),))
    assert covered.evaporation_kg_m2_h[0] == 0.0


def test_means_between_two_instants() -> None:
    past = slab(lambda t: t, days=2.0)
    assert past.mean_c(SURFACE, 6.0, 18.0)[0] == pytest.approx(12.0)
    assert past.mean_c(SURFACE, 5.1, 5.2)[0] == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("cover", "stripped", "early", "late"),
    [
        (None, False, 0.60, 0.60), (None, True, 0.40, 0.40),
        (CoverSpell(0.3, 0.0, 99.0), False, 0.70, 0.55),
        (CoverSpell(0.3, 0.0, 99.0), True, 0.70, 0.55),
        (CoverSpell(0.3, 0.0, 99.0, laps=False), False, 0.55, 0.45),
        (CoverSpell(0.3, 0.0, 99.0, laps=False), True, 0.33, 0.25),
    ],
)  # fmt: skip
def test_shares_of_the_edge_screen(
    cover: CoverSpell | None, stripped: bool, early: float, late: float
) -> None:
    state = BARE if cover is None else cover_state([cover], 10.0)
    assert edge_share(state, stripped, 24.0) == early
    assert edge_share(state, stripped, 24.1) == late
    air, top = np.array([-4.0]), np.array([6.0])
    assert screened_edge_c(air, top, early)[0] == pytest.approx(-4.0 + early * 10.0)


def test_the_edge_turns_colder_when_the_form_comes_off() -> None:
    kept, gone = followed(FRESH, -2.0, strip_at_h=99.0), followed(FRESH, -2.0, strip_at_h=12.0)
    after = kept.t_h > 12.5
    assert np.all(gone.temp_c[after, EDGE] < kept.temp_c[after, EDGE])
    assert np.all(gone.temp_c[:, SURFACE] == kept.temp_c[:, SURFACE])


def test_batch_of_starts_equals_each_start_alone() -> None:
    w = members(3)
    w = replace(w, air_c=w.air_c + np.array([0.0, -2.0, 3.0]))
    starts = NOVEMBER_H + np.array([80.0, 83.0, 100.0])
    together = run(CASE, w, Batch(starts, ()), 24.0)
    for i in range(3):
        alone = run(CASE, w, Batch(starts[i : i + 1], ()), 24.0)
        part = together.columns(slice(3 * i, 3 * i + 3))
        np.testing.assert_allclose(part.temp_c, alone.temp_c, atol=1e-9)
        np.testing.assert_allclose(part.te20_h, alone.te20_h, atol=1e-9)
        np.testing.assert_allclose(part.final_set_h, alone.final_set_h, atol=1e-9)


def test_warm_water_warms_the_batch_and_never_cools_it() -> None:
    cold = replace(CASE, placed_c=None)
    starts = np.array([NOVEMBER_H + 80.0])
    plain = run(cold, members(), Batch(starts, ()), 1.0).temp_c[0, SURFACE, 0]
    warm = run(cold, members(), Batch(starts, (), 13.0), 1.0).temp_c[0, SURFACE, 0]
    assert plain < warm <= 13.0
    assert run(cold, members(), Batch(starts, (), -5.0), 1.0).temp_c[0, SURFACE, 0] == plain


def test_the_shared_rest_stands_for_each_starts_own_weeks() -> None:
    """A start half-way between the long runs: its ages after five weeks, whole or borrowed."""
    w = members()
    starts = NOVEMBER_H + np.array([24.0, 72.0, 120.0])
    until_h = 24.0 * 25
    rest = shared_rest(CASE, w, starts, until_h, 45.0, np.full(1, np.inf))
    early = run(CASE, w, Batch(starts[1:2], ()), EARLY_H)
    whole = with_rest(early, rest, starts[1] + CASE.middle_h, until_h)
    own = run(CASE, w, Batch(starts[1:2], ()), until_h)
    assert np.all(np.diff(whole.t_h) > 0.0)
    for name in ("te20_h", "ttf_c_h"):
        borrowed = getattr(whole, name)
        assert np.all(np.diff(borrowed, axis=0) >= -1e-9)
        at = whole.t_h[-1]
        i = int(np.searchsorted(own.t_h, at))
        np.testing.assert_allclose(borrowed[-1], getattr(own, name)[i], rtol=0.02)
    assert rest.first(1) is rest
    assert with_rest(early, rest, starts[1] + CASE.middle_h, EARLY_H) is early


def test_ground_and_bags_take_the_air_before_the_pour() -> None:
    w = members()
    start = np.array([NOVEMBER_H + 100.4])
    assert ground_c(CASE, w, start)[0, 0] == pytest.approx(w.air_c[28:100, 0].mean())
    assert day_mean_c(CASE, w, start)[0, 0] == pytest.approx(w.air_c[76:100, 0].mean())
    at_once = np.array([NOVEMBER_H + 2.0])
    assert ground_c(CASE, w, at_once)[0, 0] == pytest.approx(w.air_c[:72, 0].mean())
    warmer = replace(CASE, exposure=replace(CASE.exposure, air_offset_k=2.0))
    assert ground_c(warmer, w, start)[0, 0] == pytest.approx(w.air_c[28:100, 0].mean() + 2.0)
    assert ground_c(replace(CASE, ground_c=0.0), w, start)[0, 0] == 0.0
    assert deep_c(replace(CASE, deep_c=0.0), w, 45.0) == 0.0
    assert 4.0 <= deep_c(CASE, w, 45.0) <= 22.0


def test_rate_of_age_is_read_at_the_step_not_its_mean() -> None:
    # 15 and 5 °C by turns: the mean rate is above the rate of the mean
    t = np.arange(0.0, 48.5, 0.5)
    temps = np.where(t % 24 < 12, 15.0, 5.0)[:, None]
    assert equivalent_age_h(t, temps)[-1, 0] > 1.01 * 48.0 * float(gamma(10.0))
