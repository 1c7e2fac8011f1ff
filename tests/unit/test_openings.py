"""When holds open: the table's days, what curing leaves, and the holds with rules of their own."""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from curecast.core.concrete.strength import StrengthCurve
from curecast.core.histories import EDGE, MIDDLE, SURFACE
from curecast.core.holdpoints import hold_rules
from curecast.core.openings import count_on_h, likely_h, openings
from curecast.core.reached import first_reached_h, warm_hours
from curecast.core.strengths import Strengths, age_needed_d, member_draws
from tests.fixtures.slabs import slab, steady

CURVE = StrengthCurve(27.6)
NINE_OF_TEN = np.array([NormalDist().inv_cdf(0.1)])
LOW = Strengths(CURVE, NINE_OF_TEN)

# Days at a constant 5, 10 and 20 °C with f28 27.6 MPa, as the hold table prints them.
DAYS = {
    "walk": (1.4, 0.7, 0.5),
    "strip": (2.3, 1.1, 0.6),
    "end-protection": (3.6, 1.8, 1.0),
    "light-load": (12.5, 6.3, 3.1),
    "drill": (22, 11, 7),
    "snug": (22, 11, 7),
    "full-torque": (61, 36, 28),
    "service-load": (72, 37, 29),
    "end-moist-cure": (7, 7, 7),
}


def days(name: str, temp_c: float, **more: bool) -> float:
    past = steady(temp_c, step_h=0.25)
    return float(openings(past, LOW, hold_rules(**more), 0.0)[name].at_h[0]) / 24.0  # type: ignore[arg-type]


@pytest.mark.parametrize("name", DAYS)
@pytest.mark.parametrize(("column", "temp_c"), [(0, 5.0), (1, 10.0), (2, 20.0)])
def test_days_of_the_hold_table(name: str, column: int, temp_c: float) -> None:
    printed = DAYS[name][column]
    assert days(name, temp_c) == pytest.approx(printed, abs=0.05 if printed % 1 else 0.5)


@pytest.mark.parametrize(("temp_c", "printed"), [(5.0, 112), (10.0, 56), (20.0, 29)])
def test_days_to_the_service_load_of_a_lifting_machine(temp_c: float, printed: int) -> None:
    assert days("service-load", temp_c, lifting=True) == pytest.approx(printed, abs=0.5)


def test_walk_waits_a_day_where_it_is_cool() -> None:
    assert days("walk", 9.99) == pytest.approx(1.0, abs=0.01)
    own = hold_rules(overrides={"walk": (None, 14.0)})
    assert openings(steady(9.0), LOW, own, 0.0)["walk"].at_h[0] / 24.0 < 1.0


def test_walk_waits_for_set() -> None:
    past = replace(steady(20.0), final_set_h=np.array([30.0]))
    assert openings(past, LOW, hold_rules(), 1.0)["walk"].at_h[0] == pytest.approx(31.0)
    never = replace(past, final_set_h=np.array([np.nan]))
    assert np.isinf(openings(never, LOW, hold_rules(), 1.0)["walk"].at_h[0])


def test_strip_counts_warm_hours_or_waits_a_day() -> None:
    strong = Strengths(CURVE, np.array([3.0]))  # strength is no matter: the hours decide
    assert openings(steady(12.0), strong, hold_rules(), 2.0)["strip"].at_h[0] == pytest.approx(14.0)
    assert openings(steady(9.0), strong, hold_rules(), 2.0)["strip"].at_h[0] == pytest.approx(26.0)
    own = hold_rules(overrides={"strip": (None, 20.0)})
    assert openings(steady(12.0), strong, own, 2.0)["strip"].at_h[0] == pytest.approx(22.0)


def test_strip_waits_for_more_strength_before_a_frost() -> None:
    mild, frosty = steady(8.0), slab(lambda t: np.full(len(t), 8.0), air_c=-3.0)
    rules = hold_rules()
    first = openings(mild, LOW, rules, 0.0)["strip"].at_h[0]
    later = openings(frosty, LOW, rules, 0.0)["strip"].at_h[0]
    assert later > first
    assert later == pytest.approx(LOW.reached_h(frosty, 5.0, "edge")[0])


def test_saw_cut_is_a_window() -> None:
    warm = openings(steady(20.0), LOW, hold_rules(), 1.5)["saw-cut"]
    opens = steady(20.0).final_set_h[0] + 1.5
    assert warm.at_h[0] == pytest.approx(opens)
    assert warm.closes_h is not None
    assert warm.closes_h[0] == pytest.approx(2.0 * (opens - 1.5) + 1.5)
    cold = openings(steady(2.0), LOW, hold_rules(), 0.0)["saw-cut"]
    assert cold.closes_h is not None
    assert cold.closes_h[0] == pytest.approx(24.0)


def test_moist_cure_counts_hours_with_the_face_at_5() -> None:
    # half of every day below 5 °C: two weeks instead of one
    half = slab(lambda t: np.where(t % 24.0 < 12.0, 9.0, 1.0), step_h=0.25)
    at = openings(half, LOW, hold_rules(), 0.0)["end-moist-cure"].at_h[0]
    assert at / 24.0 == pytest.approx(14.0, abs=0.7)
    # never at 5 °C: only the strength ends it, and not within a week
    cold = openings(steady(4.0), LOW, hold_rules(), 0.0)["end-moist-cure"].at_h[0]
    assert cold == pytest.approx(LOW.reached_h(steady(4.0), 0.7 * 27.6, "surface")[0])
    strong = Strengths(CURVE, np.array([3.0]))
    assert openings(steady(4.9), strong, hold_rules(), 0.0)["end-moist-cure"].at_h[0] >= 168.0


def test_re_check_follows_full_torque_by_a_day_and_service_load_follows_that() -> None:
    found = openings(steady(12.0), LOW, hold_rules(), 0.0)
    assert found["re-check"].at_h[0] == pytest.approx(found["full-torque"].at_h[0] + 24.0)
    assert found["service-load"].at_h[0] >= found["re-check"].at_h[0]


def test_makers_figures_and_a_test_govern() -> None:
    maker = hold_rules(maker_strength_mpa=12.0, maker_age_h=240.0)
    assert openings(steady(20.0), LOW, maker, 0.0)["full-torque"].at_h[0] == pytest.approx(240.0)
    tested = hold_rules(tested_mpa=1.1 * 20.7)
    assert tested["full-torque"].least_age_h == 168.0
    assert hold_rules(tested_mpa=1.09 * 20.7)["full-torque"].least_age_h == 672.0


def damp(hours: float, temp_c: float = 20.0) -> np.ndarray:
    return Strengths(CURVE, np.zeros(1), moist_cure_h=hours).factor(steady(temp_c), SURFACE)


def test_what_a_short_moist_cure_leaves() -> None:
    assert [float(damp(24.0 * d)[0]) for d in (0, 3, 5, 7, 28)] == pytest.approx(
        [0.70, 0.85, 0.95, 1.0, 1.0]
    )
    assert float(damp(72.0, 4.9)[0]) == pytest.approx(0.70)  # the face was too cold all along
    assert float(damp(72.0, 5.0)[0]) == pytest.approx(0.85)


def test_short_curing_concerns_the_top_and_the_anchors_alone() -> None:
    short = Strengths(CURVE, np.zeros(1), moist_cure_h=72.0, anchor_at_edge=False)
    past = steady(20.0)
    assert float(short.factor(past, MIDDLE)[0]) == 1.0
    assert float(short.factor(past, EDGE)[0]) == pytest.approx(0.85)
    assert float(short.factor(past, MIDDLE, anchor=True)[0]) == pytest.approx(0.85)
    full = Strengths(CURVE, np.zeros(1), anchor_at_edge=False)
    for place in ("surface", "edge", "anchor"):
        assert short.reached_h(past, 20.0, place)[0] > full.reached_h(past, 20.0, place)[0]


def test_a_cure_that_still_goes_on_counts_as_kept() -> None:
    so_far = steady(20.0, days=1.0)
    going_on = Strengths(CURVE, np.zeros(1), moist_cure_h=120.0)
    assert float(going_on.factor(so_far, SURFACE)[0]) == pytest.approx(0.95)
    just_poured = steady(20.0, days=0.0).columns(np.array([0]))
    assert float(going_on.factor(just_poured, SURFACE)[0]) == pytest.approx(0.95)


def test_a_cure_that_ends_between_two_instants_counts_what_was_warm() -> None:
    cold, hours = steady(2.0, step_h=3.0), Strengths(CURVE, np.zeros(1), moist_cure_h=25.0)
    assert float(hours.factor(cold, SURFACE)[0]) == pytest.approx(0.70)


def test_a_history_of_one_instant_opens_nothing() -> None:
    at_once = steady(20.0, days=0.0, step_h=0.5)
    one = replace(
        at_once, t_h=at_once.t_h[:1], temp_c=at_once.temp_c[:1], te20_h=at_once.te20_h[:1],
        ttf_c_h=at_once.ttf_c_h[:1], coldest_c=at_once.coldest_c[:1], air_c=at_once.air_c[:1],
    )  # fmt: skip
    short = Strengths(CURVE, np.zeros(1), moist_cure_h=24.0)
    found = openings(one, short, hold_rules(), 0.0)
    assert all(np.isinf(found[n].at_h[0]) for n, r in hold_rules().items() if r.strength_mpa)


def test_members_are_cured_each_by_its_own_face() -> None:
    past = slab(lambda t: np.stack([np.full(len(t), 8.0), np.full(len(t), 2.0)], axis=1))
    short = Strengths(CURVE, np.zeros(2), moist_cure_h=120.0)
    assert short.factor(past, SURFACE).tolist() == pytest.approx([0.95, 0.70])


def test_hot_placing_takes_a_hundredth_a_degree() -> None:
    hot = Strengths(CURVE, np.zeros(1))
    assert float(hot.factor(steady(34.0), MIDDLE)[0]) == pytest.approx(0.96)
    assert float(hot.factor(steady(30.0), MIDDLE)[0]) == 1.0
    # placed cool, hot later: no such loss
    later = slab(lambda t: np.where(t < 1.0, 25.0, 36.0))
    assert float(hot.factor(later, MIDDLE)[0]) == 1.0


def test_age_needed_scales_with_what_is_left() -> None:
    z = np.array([-1.0, 0.0, 1.0])
    whole, less = age_needed_d(CURVE, 14.0, z, 1.0), age_needed_d(CURVE, 14.0, z, 0.8)
    np.testing.assert_allclose(less, age_needed_d(CURVE, 14.0 / 0.8, z, 1.0))
    assert np.all(less > whole)
    assert np.isinf(age_needed_d(CURVE, 200.0, z, 1.0)).all()


def test_when_a_rising_series_is_reached() -> None:
    t, values = np.array([0.0, 1.0, 3.0]), np.array([[0.0, 5.0], [2.0, 5.0], [6.0, 9.0]])
    assert first_reached_h(t, values, np.array([4.0, 5.0])).tolist() == [2.0, 0.0]
    assert first_reached_h(t, values, np.array([7.0, np.nan])).tolist() == [np.inf, np.inf]
    torn = np.array([[0.0], [np.nan], [6.0]])
    assert first_reached_h(t, torn, np.array([3.0])).tolist() == [3.0]


def test_warm_hours_begin_with_the_last_batch() -> None:
    past = steady(12.0, days=2.0)
    assert warm_hours(past, SURFACE, 10.0, 2.25)[-1, 0] == pytest.approx(45.75)
    assert warm_hours(past, SURFACE, 12.1)[-1, 0] == 0.0


def test_half_and_nine_of_ten() -> None:
    times = np.arange(1.0, 101.0)
    assert likely_h(times) == 51.0
    assert count_on_h(times) == 91.0
    times[95:] = np.inf
    assert count_on_h(times) == 91.0
    times[85:] = np.inf
    assert np.isinf(count_on_h(times))


def test_draws_are_spread_evenly_and_seeded() -> None:
    draws = member_draws(100, 4)
    assert np.array_equal(draws, member_draws(100, 4))
    assert not np.array_equal(draws, member_draws(100, 5))
    assert np.mean(draws) == pytest.approx(0.0, abs=1e-9)
    assert np.mean(draws >= NINE_OF_TEN) == 0.9
