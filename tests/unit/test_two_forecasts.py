"""Two forecasts for one place: both are followed, and the milder one never alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.weather.ensemble import members
from curecast.core.weather.pooled import pooled, spread_of, told_by
from curecast.core.weather.series import Forecast
from curecast.outlook.several import fresh_beside
from curecast.prospect.week import assess_week
from curecast.prospect.week_weather import spread_words, week_members, week_rain
from tests.fixtures.answers import START_H, job, weather

COUNT = 60


def shifted(forecast: Forecast, by_k: float, source: str = "another source") -> Forecast:
    moved = replace(forecast.weather, air_c=forecast.weather.air_c + by_k)
    return replace(forecast, weather=moved, source=source)


def test_half_of_the_members_follow_each() -> None:
    one = weather(6.0, 5).weather
    two = replace(one, air_c=one.air_c - 4.0)
    lead = np.full(len(one), 1.0)
    alone = [members(w, lead, count=COUNT, seed=3, latitude=44.0) for w in (one, two)]
    both = pooled(alone)
    np.testing.assert_allclose(both.air_c[:, 0], one.air_c - 2.0)
    np.testing.assert_array_equal(both.air_c[:, 1::2], alone[0].air_c[:, 1::2])
    np.testing.assert_array_equal(both.air_c[:, 2::2], alone[1].air_c[:, 2::2])
    assert pooled(alone[:1]) is alone[0]


def test_what_they_differ_by_widens_the_doubt() -> None:
    """Each source's own variance, and a quarter of the squared difference beside it."""
    one = weather(6.0, 5)
    plain, wide = (
        week_members(job(), one, beside, one.weather.end_h, 400, 7).air_c[:, 1:].var(axis=1)
        for beside in ((), (shifted(one, -4.0),))
    )
    assert np.mean(wide - plain) == pytest.approx(4.0, abs=0.6)


def test_two_that_agree_change_nothing() -> None:
    one = weather(6.0, 5)
    alone, both = (
        week_members(job(), one, beside, one.weather.end_h + 50, COUNT, 7).air_c
        for beside in ((), (shifted(one, 0.0),))
    )
    np.testing.assert_allclose(alone, both)


def test_after_the_other_ends_its_difference_fades() -> None:
    base = weather(6.0, 8).weather
    short = replace(weather(6.0, 2), issued_h=START_H).weather
    other = replace(short, air_c=short.air_c - 5.0)
    told = told_by(base, other)
    off = told.air_c - base.air_c
    assert off[: len(short)] == pytest.approx(-5.0)
    assert off[len(short) + 23] == pytest.approx(-5.0 * np.exp(-1.0))
    observed = replace(base, span=np.zeros(len(base), np.int8))
    assert told_by(observed, other).air_c[:10] == pytest.approx(base.air_c[:10])


def test_the_largest_difference_and_its_hour() -> None:
    one = weather(6.0, 5)
    two = shifted(one, -1.0)
    two.weather.air_c[40] -= 3.0
    spread = spread_of(one.weather, two.weather, START_H, START_H + 200.0)
    assert spread is not None
    assert spread.largest_k == pytest.approx(4.0)
    assert spread.at_h == one.weather.start_h + 40
    said = spread_words(job(), one.source, two, spread)
    assert "differ by 1 K on average" in said
    assert said.endswith("the colder then is another source.")
    assert spread_of(one.weather, two.weather, START_H + 5000.0, START_H + 6000.0) is None


def test_the_greater_chance_of_rain_counts() -> None:
    one = weather(6.0, 3)
    wet = replace(one.weather, chance_rain=np.full(len(one.weather), 0.7))
    hours, chance = week_rain(one, [replace(one, weather=wet)])
    assert len(hours) == len(one.weather)
    assert chance == pytest.approx(0.7)


def test_never_the_milder_one_alone() -> None:
    """A start that one of two sources lets freeze is not poured as the other would have it."""
    mild, cold = weather(7.0, 8), shifted(weather(7.0, 8), -9.0)
    start = START_H + 26.0
    by_mild, by_both = (
        assess_week(job(), mild, START_H, only_h=start, beside=beside).starts[0]
        for beside in ((), (cold,))
    )
    assert by_mild.measure.level == 0
    assert by_both.measure.level > 0 or by_both.frost.chance_freeze > 0.2


def test_only_young_ones_that_reach_a_day_ahead_are_followed() -> None:
    one, two = weather(6.0, 5), shifted(weather(6.0, 5), 0.0, "MET Norway, x")
    order = ("nws", "met-norway")
    assert fresh_beside([two, one], START_H, order) == (two,)
    old = replace(two, issued_h=START_H - 30.0)
    assert fresh_beside([one, old], START_H, order) == ()
    short = replace(weather(6.0, 1), source="MET Norway, x")
    assert fresh_beside([one, short], START_H, order) == ()
