"""Entries that come twice are kept once, whoever sends them and however often."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

import pytest

from curecast.errors import ReadingsError, Refused
from curecast.store.connection import Store
from curecast.store.entry_keys import log_mark
from curecast.store.readings import reading_rows, readings
from curecast.store.record import events
from curecast.store.rows import Placement
from curecast.tracking.keeping import last_said
from curecast.tracking.once import keep_once, undo_once
from curecast.tracking.said import Said


def keep(store: Store, placement: Placement, key: str, at: datetime, value_c: float) -> bool:
    """Keep one surface reading; whether it was new."""
    said = Said("reading", at, value_c=value_c)
    return keep_once(store, placement, key, [said], at, 0.2, None) is not None


def test_a_key_counts_once(store: Store, placement: Placement, now: datetime) -> None:
    at = now + timedelta(hours=5)
    assert keep(store, placement, "a", at, 9.0)
    assert not keep(store, placement, "a", at, 9.0)
    assert keep(store, placement, "b", at + timedelta(minutes=9), 9.0)
    assert [r.value_c for r in readings(store, placement)] == [9.0, 9.0]


def test_a_repeat_does_not_bring_back_what_was_taken_back(
    store: Store, placement: Placement, now: datetime
) -> None:
    at = now + timedelta(hours=5)
    keep(store, placement, "a", at, 9.0)
    ((last, _),) = last_said(store, placement, 3)
    assert undo_once(store, placement, "u", last, at)
    assert undo_once(store, placement, "u", last, at) is None
    assert not keep(store, placement, "a", at, 9.0)
    assert readings(store, placement) == ()
    assert len(reading_rows(store, placement)) == 2


def test_what_is_refused_leaves_its_key_free(
    store: Store, placement: Placement, now: datetime
) -> None:
    at = now + timedelta(hours=5)
    with pytest.raises(ReadingsError, match="cannot be"):
        keep(store, placement, "a", at, 900.0)
    assert keep(store, placement, "a", at, 9.0)


def test_undo_takes_back_only_what_was_meant(
    store: Store, placement: Placement, now: datetime
) -> None:
    at = now + timedelta(hours=5)
    keep(store, placement, "a", at, 9.0)
    ((meant, _),) = last_said(store, placement, 3)
    cover = Said("cover", at, text="blanket on", numbers={"layers": 1.0})
    keep_once(store, placement, "b", [cover], at, 0.2, None)
    with pytest.raises(Refused, match="not the last"):
        undo_once(store, placement, "u", meant, at)
    newest = last_said(store, placement, 3)[0][0]
    assert [s.kind for s in undo_once(store, placement, "u", newest, at) or ()] == ["cover"]
    assert events(store, placement) == ()
    assert len(readings(store, placement)) == 1


def test_many_at_once_keep_one(store: Store, placement: Placement, now: datetime) -> None:
    at = now + timedelta(hours=5)
    with ThreadPoolExecutor(6) as hands:
        kept = list(hands.map(lambda _: keep(store, placement, "a", at, 9.0), range(12)))
    assert sum(kept) == 1
    assert len(reading_rows(store, placement)) == 1


def test_the_mark_moves_with_every_row(store: Store, placement: Placement, now: datetime) -> None:
    before = log_mark(store, placement, "here")
    assert log_mark(store, placement, "here") == before
    keep(store, placement, "a", now + timedelta(hours=5), 9.0)
    assert log_mark(store, placement, "here") != before
