"""Ids: sorted by time, unique, and never behind those that are on record."""

from __future__ import annotations

import time
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest

from curecast.store.identity import new_id


def test_an_id_is_a_version_7_uuid_of_now() -> None:
    before = time.time_ns() // 1_000_000
    one = uuid.UUID(new_id())
    assert (one.version, one.variant) == (7, uuid.RFC_4122)
    assert before <= one.int >> 80 <= time.time_ns() // 1_000_000 + 1


def test_ids_sort_in_the_order_of_their_making() -> None:
    made = [new_id() for _ in range(5000)]
    assert made == sorted(set(made))


def test_threads_never_share_an_id() -> None:
    with ThreadPoolExecutor(8) as pool:
        made = [
            one
            for ids in pool.map(lambda _: [new_id() for _ in range(500)], range(8))
            for one in ids
        ]
    assert len(set(made)) == 4000


def test_a_clock_set_back_does_not_put_an_id_behind_the_record(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    last = new_id()
    monkeypatch.setattr(time, "time_ns", lambda: 0)
    monkeypatch.setattr("curecast.store.identity._last_tick", 0)
    assert new_id() < last
    assert new_id(after=last) > last
    assert uuid.UUID(new_id(after=last)).version == 7
