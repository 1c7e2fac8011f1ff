"""Forecasts and observations as they were fetched."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

import pytest

from curecast.store.askings import OUTCOMES, add_asking, latest_asking
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for, latest_forecast, save_forecast
from curecast.store.observations import observations, save_observations
from curecast.store.rows import NewObservation

HOUR = timedelta(hours=1)
PLACE = "44.1000,-69.1100"


def test_the_same_issue_is_one_row(store: Store, now: datetime) -> None:
    first = save_forecast(store, "service", PLACE, now, now + HOUR, '{"é": 1}')
    again = save_forecast(store, "service", PLACE, now, now + 2 * HOUR, '{"é": 1}')
    assert again == first
    assert first.body == '{"é": 1}'
    changed = save_forecast(store, "service", PLACE, now, now + 2 * HOUR, '{"é": 2}')
    assert forecasts_for(store, PLACE) == (first, changed)
    assert latest_forecast(store, PLACE) == changed


def test_nothing_is_known_before_it_was_fetched(store: Store, now: datetime) -> None:
    old = save_forecast(store, "service", PLACE, now, now, "old")
    new = save_forecast(store, "service", PLACE, now + 6 * HOUR, now + 7 * HOUR, "new")
    assert latest_forecast(store, PLACE, now - HOUR) is None
    assert latest_forecast(store, PLACE, now + 6.5 * HOUR) == old
    assert latest_forecast(store, PLACE, now + 7 * HOUR) == new
    assert latest_forecast(store, PLACE, source="other") is None
    assert latest_forecast(store, "0.0000,0.0000") is None


def test_reports_are_kept_once_and_corrected_by_later_ones(store: Store, now: datetime) -> None:
    reports = [NewObservation(now, 0.0, wind_ms=math.nan), NewObservation(now + HOUR, -1.5)]
    assert save_observations(store, PLACE, "KABC", reports) == 2
    assert save_observations(store, PLACE, "KABC", reports) == 0
    assert save_observations(store, PLACE, "KABC", [NewObservation(now, 0.5)]) == 1
    assert save_observations(store, PLACE, "KABC", []) == 0
    kept = observations(store, PLACE, now, now + HOUR)
    assert [(one.at, one.air_c, one.wind_ms) for one in kept] == [
        (now, 0.5, None),
        (now + HOUR, -1.5, None),
    ]


def test_a_report_that_goes_back_counts_again(store: Store, now: datetime) -> None:
    for air_c in (1.0, 2.0, 1.0):
        assert save_observations(store, PLACE, "KABC", [NewObservation(now, air_c)]) == 1
    assert [one.air_c for one in observations(store, PLACE, now, now)] == [1.0]


def test_stations_do_not_correct_each_other(store: Store, now: datetime) -> None:
    save_observations(store, PLACE, "KABC", [NewObservation(now, 1.0)])
    save_observations(store, PLACE, "KXYZ", [NewObservation(now, 2.0)])
    assert [one.air_c for one in observations(store, PLACE, now, now)] == [1.0, 2.0]
    assert [one.air_c for one in observations(store, PLACE, now, now, "KXYZ")] == [2.0]
    assert observations(store, PLACE, now + HOUR, now + 2 * HOUR) == ()


def test_the_last_asking_of_a_kind_is_found(store: Store, now: datetime) -> None:
    for outcome, hours in (("given", 0), ("failed", 1), ("same", 2)):
        add_asking(store, "nws", PLACE, "forecast", outcome, now + hours * HOUR, {"h": hours})
    add_asking(store, "nws", PLACE, "point", "given", now + HOUR, {})

    def last(*outcomes: str, hours: float = 9) -> int | None:
        wanted = outcomes or OUTCOMES
        found = latest_asking(store, "nws", PLACE, "forecast", now + hours * HOUR, wanted)
        return None if found is None else found.payload["h"]

    assert last() == 2
    assert last("given") == 0
    assert last(hours=1.5) == 1
    assert last(hours=-1) is None
    assert latest_asking(store, "met-norway", PLACE, "forecast", now) is None


def test_only_known_outcomes_are_noted(store: Store, now: datetime) -> None:
    with pytest.raises(ValueError, match="no such outcome"):
        add_asking(store, "nws", PLACE, "forecast", "perhaps", now, {})
