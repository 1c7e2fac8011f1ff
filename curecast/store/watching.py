"""Who watches a store: one at a time, by a lease; and when nobody did."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from sqlalchemy import Connection, select, update

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.tables import watch_span

__all__ = [
    "GAP",
    "LEASE",
    "Gap",
    "WatchSpan",
    "end_watch",
    "gaps",
    "last_span",
    "sign_of_life",
    "waking_gap",
]

#: A watch that gave no sign for so long has died, and another may take over.
LEASE = timedelta(seconds=90)
#: A pause longer than this is said: nobody watched (cron calls every hour).
GAP = timedelta(minutes=75)

#: What is found so soon after a gap is said to be found on waking.
_WAKING = timedelta(minutes=5)
#: A shorter pause is no gap.
_NAP = timedelta(minutes=15)


@dataclass(frozen=True)
class WatchSpan:
    """A spell of watching without a gap: from ``at`` to ``seen_at``, by ``who``."""

    id: str
    owner: str
    who: str
    at: datetime
    recorded_at: datetime
    seen_at: datetime
    passed_at: datetime | None
    lease_until: datetime | None
    ended_at: datetime | None


@dataclass(frozen=True)
class Gap:
    """Nobody watched from here to there."""

    since: datetime
    until: datetime


def sign_of_life(
    store: Store,
    owner: str,
    who: str,
    now: datetime,
    *,
    lease: bool = False,
    passed: bool = False,
    gap: timedelta = GAP,
) -> tuple[bool, Gap | None]:
    """Say that somebody watches now.

    Parameters
    ----------
    store : Store
    owner : str
        The id of this watch.
    who : str
        As people may read it.
    now : datetime
        [aware]
    lease : bool
        Whether this watch means to go on, and keeps others from the work.
    passed : bool
        Whether a whole pass has just ended.
    gap : timedelta
        A longer pause starts a new spell.

    Returns
    -------
    mine : bool
        False where another watch holds the lease: then nothing is written.
    gap : Gap or None
        The time since the last sign, where it was too long.
    """
    with store.write() as connection:
        if lease and _held_by_another(connection, owner, now):
            return False, None
        last = _last(connection)
        values: dict[str, Any] = {"owner": owner, "who": who, "seen_at": now, "ended_at": None}
        if passed:
            values["passed_at"] = now
        if lease:
            values["lease_until"] = now + LEASE
        # A clock that was set back has no gap behind it, and begins a spell of its own.
        goes_on = last is not None and timedelta(0) <= now - last.seen_at <= gap
        if last is not None and goes_on and (lease or _is_free(last, now)):
            _set(connection, last.id, values)
        elif last is not None and goes_on:
            _set(connection, last.id, {"passed_at": now} if passed else {"seen_at": now})
        else:
            add_row(connection, watch_span, **values, at=now, recorded_at=utc_now())
        too_long = last is not None and now - last.seen_at > gap
        return True, Gap(last.seen_at, now) if last is not None and too_long else None


def end_watch(store: Store, owner: str, now: datetime) -> None:
    """Let go of the lease."""
    with store.write() as connection:
        connection.execute(
            update(watch_span)
            .where(watch_span.c.owner == owner, watch_span.c.lease_until.is_not(None))
            .values(lease_until=None, ended_at=now)
        )


def last_span(store: Store) -> WatchSpan | None:
    """The newest spell of watching."""
    with store.read() as connection:
        return _last(connection)


def gaps(store: Store, since: datetime) -> tuple[Gap, ...]:
    """When nobody watched since a time, oldest first; before the first spell is no gap."""
    wanted = select(watch_span).order_by(watch_span.c.id)
    with store.read() as connection:
        spans = [WatchSpan(**row._mapping) for row in connection.execute(wanted)]
    between = pairwise(spans)
    return tuple(
        Gap(a.seen_at, b.at) for a, b in between if b.at > since and b.at - a.seen_at > GAP
    )


def waking_gap(store: Store, now: datetime) -> Gap | None:
    """When nobody watched, where somebody has only just begun again; else None."""
    newest = select(watch_span).order_by(watch_span.c.id.desc()).limit(2)
    with store.read() as connection:
        spans = [WatchSpan(**row._mapping) for row in connection.execute(newest)]
    if len(spans) < 2:
        return None
    woke, before = spans
    just_now = timedelta(0) <= now - woke.at <= _WAKING
    slept = woke.at - before.seen_at > _NAP
    return Gap(before.seen_at, woke.at) if just_now and slept else None


def _held_by_another(connection: Connection, owner: str, now: datetime) -> bool:
    # A lease that reaches further than any is given was set by a clock that ran ahead.
    held = select(watch_span.c.id).where(
        watch_span.c.owner != owner,
        watch_span.c.lease_until.between(now, now + 2 * LEASE),
    )
    return connection.execute(held).first() is not None


def _is_free(span: WatchSpan, now: datetime) -> bool:
    return span.lease_until is None or not now <= span.lease_until <= now + 2 * LEASE


def _last(connection: Connection) -> WatchSpan | None:
    newest = select(watch_span).order_by(watch_span.c.id.desc()).limit(1)
    row = connection.execute(newest).first()
    return None if row is None else WatchSpan(**row._mapping)


def _set(connection: Connection, span_id: str, values: dict[str, Any]) -> None:
    connection.execute(update(watch_span).where(watch_span.c.id == span_id).values(**values))
