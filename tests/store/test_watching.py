"""One watch at a time, gaps that are known, the calendar's numbers, what keeps quiet."""

from __future__ import annotations

from datetime import datetime, timedelta

from curecast.store.calendar import keep_entry, last_entries
from curecast.store.connection import Store
from curecast.store.hushes import add_hush, hushed
from curecast.store.rows import Placement
from curecast.store.watching import (
    GAP,
    LEASE,
    Gap,
    end_watch,
    gaps,
    last_span,
    sign_of_life,
)

MINUTE = timedelta(minutes=1)


def test_a_second_watch_stands_by_until_the_first_has_died(store: Store, now: datetime) -> None:
    assert sign_of_life(store, "a", "first", now, lease=True) == (True, None)
    assert sign_of_life(store, "b", "second", now + MINUTE, lease=True) == (False, None)
    assert last_span(store).owner == "a"  # type: ignore[union-attr]
    later = now + MINUTE + LEASE
    assert sign_of_life(store, "b", "second", later, lease=True)[0]
    assert sign_of_life(store, "a", "first", later, lease=True) == (False, None)


def test_a_watch_that_ends_lets_go_at_once(store: Store, now: datetime) -> None:
    sign_of_life(store, "a", "first", now, lease=True)
    end_watch(store, "a", now + MINUTE)
    assert last_span(store).ended_at == now + MINUTE  # type: ignore[union-attr]
    assert sign_of_life(store, "b", "second", now + MINUTE, lease=True) == (True, None)


def test_a_lease_of_a_clock_that_ran_ahead_binds_nobody(store: Store, now: datetime) -> None:
    sign_of_life(store, "a", "first", now + timedelta(days=400), lease=True)
    assert sign_of_life(store, "b", "second", now, lease=True) == (True, None)


def test_one_pass_beside_a_watch_takes_nothing_from_it(store: Store, now: datetime) -> None:
    sign_of_life(store, "a", "first", now, lease=True)
    assert sign_of_life(store, "once", "one pass", now + MINUTE, passed=True) == (True, None)
    span = last_span(store)
    assert span is not None
    assert (span.owner, span.passed_at) == ("a", now + MINUTE)
    assert sign_of_life(store, "a", "first", now + MINUTE, lease=True)[0]


def test_a_pause_is_a_gap_once(store: Store, now: datetime) -> None:
    sign_of_life(store, "a", "cron", now)
    hourly = now + timedelta(hours=1)
    assert sign_of_life(store, "b", "cron", hourly) == (True, None)
    awake = hourly + timedelta(hours=9)
    assert sign_of_life(store, "c", "cron", awake) == (True, Gap(hourly, awake))
    assert sign_of_life(store, "d", "cron", awake + MINUTE) == (True, None)
    assert gaps(store, now) == (Gap(hourly, awake),)
    assert gaps(store, awake) == ()


def test_a_clock_that_was_set_back_makes_no_gap(store: Store, now: datetime) -> None:
    sign_of_life(store, "a", "cron", now)
    back = now - 2 * GAP
    assert sign_of_life(store, "b", "cron", back) == (True, None)
    assert sign_of_life(store, "c", "cron", back + MINUTE) == (True, None)


def test_the_calendar_counts_changes_and_nothing_else(
    store: Store, placement: Placement, now: datetime
) -> None:
    def keep(day: int, status: str = "TENTATIVE") -> int:
        at = now + timedelta(days=day)
        return keep_entry(store, placement, "walk", "walk", at, status, now).sequence

    assert [keep(1), keep(1), keep(2), keep(2, "CANCELLED"), keep(2)] == [0, 0, 1, 2, 3]
    assert last_entries(store, placement)["walk"].sequence == 3


def test_the_last_word_on_quiet_stands(store: Store, placement: Placement, now: datetime) -> None:
    job = placement.job
    add_hush(store, job, "walk", True, now)
    add_hush(store, job, None, True, now)
    assert hushed(store, job) == {"walk", None}
    add_hush(store, job, None, False, now)
    assert hushed(store, job) == {"walk"}
