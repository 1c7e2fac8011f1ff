"""Readings: kept, corrected, taken back; nothing that was said is lost."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

import pytest

from curecast.errors import ReadingsError, Refused
from curecast.store.connection import Store
from curecast.store.readings import (
    add_reading,
    add_readings,
    reading_rows,
    readings,
    take_back_reading,
)
from curecast.store.rows import NewReading, Placement


def test_a_reading_is_kept_as_it_was_said(
    store: Store, placement: Placement, now: datetime
) -> None:
    entered = now + timedelta(days=1)
    kept = add_reading(
        store, placement, "surface", 0.0, 0.0, now, "Ada", flags=("sun on it",), recorded=entered
    )
    assert readings(store, placement) == (kept,)
    assert (kept.value_c, kept.depth_m, kept.flags) == (0.0, 0.0, ("sun on it",))
    assert (kept.at, kept.recorded_at) == (now, entered)


def test_readings_come_by_time_and_belong_to_their_placement(
    store: Store, placement: Placement, now: datetime
) -> None:
    late = add_reading(store, placement, "air", None, 4.0, now + timedelta(hours=1), "Ada")
    early = add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    assert readings(store, placement) == (early, late)
    assert reading_rows(store, placement) == (late, early)


def test_a_correction_stands_for_what_it_corrects(
    store: Store, placement: Placement, now: datetime
) -> None:
    wrong = add_reading(store, placement, "surface", 0.0, 54.0, now, "Ada")
    right = add_reading(store, placement, "surface", 0.0, 12.2, now, "Ada", supersedes=wrong.id)
    assert readings(store, placement) == (right,)
    assert reading_rows(store, placement) == (wrong, right)
    with pytest.raises(Refused, match="no standing reading"):
        add_reading(store, placement, "surface", 0.0, 12.0, now, "Ada", supersedes=wrong.id)


def test_a_reading_can_be_taken_back_and_said_anew(
    store: Store, placement: Placement, now: datetime
) -> None:
    first = add_reading(store, placement, "surface", 0.0, -1.0, now, "Ada")
    gone = take_back_reading(store, placement, first.id, "Ada", now)
    assert readings(store, placement) == ()
    assert (gone.value_c, gone.supersedes) == (None, first.id)
    with pytest.raises(Refused, match="no standing reading"):
        take_back_reading(store, placement, first.id, "Ada", now)
    anew = add_reading(store, placement, "surface", 0.0, -1.0, now, "Ada")
    assert anew.id != first.id
    assert readings(store, placement) == (anew,)


def test_the_same_fact_twice_is_one_row(store: Store, placement: Placement, now: datetime) -> None:
    first = add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    assert add_reading(store, placement, "surface", 0.0, 9.0, now, "Ben") == first
    file = [
        NewReading("surface", 9.0, now, "logger.csv", 0.0),
        NewReading("surface", 9.1, now + timedelta(minutes=10), "logger.csv", 0.0),
        NewReading("surface", 9.1, now + timedelta(minutes=10), "logger.csv", 0.0),
        NewReading("surface", 9.2, now, "logger.csv", 0.0),
    ]
    added = add_readings(store, placement, file)
    assert [one.value_c for one in added] == [9.1, 9.2]
    assert add_readings(store, placement, file) == ()
    assert len(reading_rows(store, placement)) == 3


@pytest.mark.parametrize("value_c", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused_with_all_that_came_along(
    store: Store, placement: Placement, now: datetime, value_c: float
) -> None:
    with pytest.raises(ReadingsError, match="must be numbers"):
        add_reading(store, placement, "surface", 0.0, value_c, now, "Ada")
    good = NewReading("surface", 9.0, now, "logger.csv")
    bad = NewReading("surface", 9.0, now, "logger.csv", depth_m=value_c)
    with pytest.raises(ReadingsError, match="must be numbers"):
        add_readings(store, placement, [good, bad])
    assert reading_rows(store, placement) == ()


def test_a_clock_set_back_does_not_reorder_the_record(
    store: Store, placement: Placement, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    monkeypatch.setattr("curecast.store.identity.time.time_ns", lambda: 1)
    monkeypatch.setattr("curecast.store.identity._last_tick", 0)
    second = add_reading(store, placement, "surface", 0.0, 8.0, now, "Ada")
    assert reading_rows(store, placement) == (first, second)
