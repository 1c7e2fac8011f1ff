"""The record that re-tunes the doubt: kept forecasts against reports of a place's station."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from curecast.clock import from_unix_h
from curecast.core.weather.own_doubt import OwnDoubt
from curecast.outlook.previous import find_previous
from curecast.outlook.retuning import find_own_doubt
from curecast.store.connection import Store
from curecast.store.observations import save_observations
from curecast.store.rows import NewObservation
from curecast.tracking import keep_forecast, place_of
from tests.fixtures.answers import START_H, job, weather

DAYS = 30


def keep(store: Store, days: int, off_k: float) -> float:
    """A forecast a day, and what was measured: colder by so much. The time after them. [h]"""
    for k in range(days):
        keep_forecast(store, place_of(job()), weather(6.0, 3, START_H + 24.0 * k))
    truth = weather(6.0, days + 3, START_H).weather
    reports = [
        NewObservation(at=from_unix_h(truth.start_h + i), air_c=float(air) + off_k)
        for i, air in enumerate(truth.air_c[: 24 * days])
    ]
    save_observations(store, place_of(job()), "KXYZ", reports)
    return START_H + 24.0 * days


def test_a_month_of_record_is_found(store: Store) -> None:
    now_h = keep(store, DAYS, -1.0)
    found = find_own_doubt(store, job(), now_h)
    assert found.days == DAYS + 1  # the first and the last in part
    assert found.pairs > 1000
    assert found.bias_k == pytest.approx(-(DAYS + 1) / (DAYS + 21.0), abs=0.01)
    assert found.scale < 1.0


def test_without_a_record_the_model_stands(store: Store) -> None:
    assert find_own_doubt(None, job(), START_H) == OwnDoubt()
    assert find_own_doubt(store, job(), START_H) == OwnDoubt()
    now_h = keep(store, 4, -1.0)
    assert find_own_doubt(store, job(), now_h) == OwnDoubt()


def test_a_forecast_never_judges_hours_before_it(store: Store) -> None:
    """Measured hours that lay behind an issue are no test of it."""
    late = weather(6.0, 3, START_H)
    keep_forecast(store, place_of(job()), late)
    before = [
        NewObservation(at=from_unix_h(START_H) - timedelta(hours=h), air_c=-30.0)
        for h in range(1, 400)
    ]
    save_observations(store, place_of(job()), "KXYZ", before)
    assert find_own_doubt(store, job(), START_H + 72.0) == OwnDoubt()


def test_the_forecast_before_is_the_last_that_is_older(store: Store) -> None:
    issues = [weather(6.0, 7, START_H + h) for h in (-80.0, -12.0, -6.0, 0.0)]
    for issue in issues:
        keep_forecast(store, place_of(job()), issue)
    found = find_previous(store, job(), issues[-1], START_H + 1.0)
    assert found is not None
    assert found.issued_h == START_H - 6.0
    assert find_previous(store, job(), issues[1], START_H + 1.0) is not None
    first = find_previous(store, job(), issues[0], START_H + 1.0)
    assert first is None
    assert np.isfinite(found.weather.air_c).all()
