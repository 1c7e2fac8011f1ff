"""What the calendar said last of each hold, so that its numbers count on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import Placement
from curecast.store.tables import calendar_entry

__all__ = ["CalendarEntry", "keep_entry", "last_entries"]


@dataclass(frozen=True)
class CalendarEntry:
    """One entry as it was last given out; ``sequence`` rises with every change."""

    name: str
    sequence: int
    words: str
    starts_at: datetime
    status: str
    recorded_at: datetime


def last_entries(store: Store, placement: Placement) -> dict[str, CalendarEntry]:
    """The last entry of each name."""
    with store.read() as connection:
        return _last(connection, placement)


def keep_entry(
    store: Store,
    placement: Placement,
    name: str,
    words: str,
    starts_at: datetime,
    status: str,
    at: datetime,
) -> CalendarEntry:
    """Keep what the calendar says now, and give it its number.

    Parameters
    ----------
    store : Store
    placement : Placement
    name : str
        The hold, or ``pour``.
    words : str
        Its summary.
    starts_at : datetime
        [aware]
    status : str
        ``TENTATIVE``, ``CONFIRMED`` or ``CANCELLED``.
    at : datetime
        [aware]
    """
    with store.write() as connection:
        before = _last(connection, placement).get(name)
        now = utc_now()
        same = (words, starts_at, status)
        if before is not None and (before.words, before.starts_at, before.status) == same:
            return before
        entry = CalendarEntry(
            name, 0 if before is None else before.sequence + 1, words, starts_at, status, now
        )
        add_row(
            connection,
            calendar_entry,
            placement_id=placement.id,
            name=name,
            sequence=entry.sequence,
            words=words,
            starts_at=starts_at,
            status=status,
            at=at,
            recorded_at=now,
        )
        return entry


def _last(connection: Connection, placement: Placement) -> dict[str, CalendarEntry]:
    c = calendar_entry.c
    wanted = select(c.name, c.sequence, c.words, c.starts_at, c.status, c.recorded_at)
    rows = connection.execute(wanted.where(c.placement_id == placement.id).order_by(c.id))
    return {row.name: CalendarEntry(**row._mapping) for row in rows}
