"""A place's own record of forecasts against measured air re-tunes the doubt, within bounds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.weather.doubt import air_error_c
from curecast.core.weather.own_doubt import (
    COLDEST_K,
    LEAST_DAYS,
    NARROWEST,
    WARMEST_K,
    WIDEST,
    OwnDoubt,
    own_doubt,
)
from curecast.prospect.week_weather import doubt_words, lead_days, week_members
from tests.fixtures.answers import START_H, job, weather


def record(days: int, scale: float = 1.0, bias_k: float = 0.0, seed: int = 1) -> OwnDoubt:
    """So many issues, a day apart and three days long, whose errors the model itself draws."""
    errors, leads, which = [], [], []
    for k in range(days):
        issue = weather(5.0, 3, START_H + 24.0 * k).weather
        lead = lead_days(issue, float(issue.start_h))
        drawn = air_error_c(issue, lead, 1, seed + k, 44.0)[:, 0]
        errors.append(scale * drawn + bias_k)
        leads.append(lead)
        which.append((issue.start_h + np.arange(len(issue))) // 24)
    joined = [np.concatenate(part) for part in (errors, leads, which)]
    return own_doubt(*joined, np.zeros(len(joined[0]), bool))


@pytest.mark.parametrize("scale", [1.0, 1.4])
def test_a_long_record_finds_the_scale(scale: float) -> None:
    found = record(120, scale)
    assert found.days == 123  # issues at 18:00 in New York reach into one day more
    assert found.scale == pytest.approx(1.0 + (scale - 1.0) * 0.9, abs=0.15)
    assert abs(found.bias_k) < 0.5


def test_a_cold_bias_is_found_and_a_warm_one_believed_less() -> None:
    cold, warm = record(120, bias_k=-1.5), record(120, bias_k=1.8)
    assert cold.bias_k == pytest.approx(-1.3, abs=0.4)
    assert warm.bias_k == WARMEST_K


def test_a_short_record_says_nothing() -> None:
    assert record(LEAST_DAYS - 4, 1.8, -2.0) == OwnDoubt()
    assert own_doubt([], [], [], []) == OwnDoubt()
    lonely = own_doubt(np.ones(50), np.ones(50), np.arange(50), np.zeros(50, bool))
    assert lonely == OwnDoubt()


def test_bounds_hold_whatever_the_record() -> None:
    perfect, wild = record(120, 0.0), record(120, 6.0, -9.0)
    assert perfect.scale == NARROWEST
    assert wild.scale == WIDEST
    assert wild.bias_k == COLDEST_K


def test_a_shorter_record_moves_less() -> None:
    assert 1.0 < record(12, 1.8).scale < record(100, 1.8).scale


def test_what_is_not_known_is_left_out() -> None:
    error = np.concatenate([np.full(300, np.nan), np.ones(300)])
    day = np.concatenate([np.arange(300), np.repeat(np.arange(20), 15)])
    found = own_doubt(error, np.ones(600), day, np.zeros(600, bool))
    assert (found.days, found.pairs) == (20, 300)


def test_the_members_follow_it() -> None:
    forecast = weather(6.0, 5)
    own = OwnDoubt(1.5, -1.0, 30, 900)
    plain, tuned = (
        week_members(job(), forecast, (), forecast.weather.end_h, 50, 3, doubt).air_c
        for doubt in (OwnDoubt(), own)
    )
    np.testing.assert_allclose(tuned[:, 0], plain[:, 0] - 1.0)
    spread = tuned[:, 1:] - tuned[:, :1]
    np.testing.assert_allclose(spread, 1.5 * (plain[:, 1:] - plain[:, :1]))
    observed = replace(forecast.weather, span=np.zeros(len(forecast.weather), np.int8))
    measured = replace(forecast, weather=observed)
    same = week_members(job(), measured, (), observed.end_h, 50, 3, own).air_c
    np.testing.assert_allclose(same[:, 0], observed.air_c)
    assert doubt_words(job(), OwnDoubt()) == ""
    said = doubt_words(job(), own)
    assert said.startswith("By 30 days of measured air here, forecasts err 1.5 times as much")
    assert "taken 1 K colder" in said
