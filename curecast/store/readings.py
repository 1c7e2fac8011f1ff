"""Thermometer readings of a placement. A correction or an undo is a reading that supersedes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, String, func, select, type_coerce

from curecast.errors import ReadingsError, Refused
from curecast.store.connection import Store, add_rows, utc_now
from curecast.store.rows import NewReading, Placement, Reading
from curecast.store.tables import reading

__all__ = [
    "add_reading",
    "add_readings",
    "last_readings",
    "reading_rows",
    "readings",
    "readings_mark",
    "readings_seen",
    "take_back_reading",
]


def add_reading(
    store: Store,
    placement: Placement,
    where: str,
    depth_m: float | None,
    value_c: float,
    at: datetime,
    source: str,
    flags: tuple[str, ...] = (),
    supersedes: str | None = None,
    recorded: datetime | None = None,
) -> Reading:
    """Keep one reading; the same fact said twice is one row.

    Parameters
    ----------
    store : Store
    placement : Placement
    where : str
        surface, air, inside, ground or under-cover.
    depth_m : float or None
        Below the top face; None where depth has no meaning. [m]
    value_c : float
        A number; NaN and infinity are refused. [°C]
    at : datetime
        When it was read. [aware]
    source : str
        Who or what said so: a person, a logger's file.
    flags : tuple of str
        What was odd about it.
    supersedes : str or None
        The id of the reading that this one corrects.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    Reading
        The row, kept when this function returns.
    """
    new = NewReading(where, value_c, at, source, depth_m, flags)
    with store.write() as connection:
        if supersedes is not None:
            _check_current(connection, placement, supersedes)
            return _add(connection, placement, [new], recorded, supersedes)[0]
        added, known = _sort_out(connection, placement, [new])
        return known[0] if known else _add(connection, placement, added, recorded)[0]


def add_readings(
    store: Store,
    placement: Placement,
    new: Iterable[NewReading],
    recorded: datetime | None = None,
) -> tuple[Reading, ...]:
    """Keep many readings together, all or none; returns those that were not known yet."""
    with store.write() as connection:
        added, _ = _sort_out(connection, placement, new)
        return _add(connection, placement, added, recorded)


def take_back_reading(
    store: Store,
    placement: Placement,
    reading_id: str,
    source: str,
    at: datetime,
    recorded: datetime | None = None,
) -> Reading:
    """Take a reading back: a row without a value that supersedes it."""
    with store.write() as connection:
        old = _check_current(connection, placement, reading_id)
        row: dict[str, object] = {
            "placement_id": placement.id,
            "where": old.where,
            "depth_m": old.depth_m,
            "value_c": None,
            "at": at,
            "recorded_at": recorded or utc_now(),
            "source": source,
            "flags": [],
            "supersedes": reading_id,
        }
        row_id = add_rows(connection, reading, [row])[0]
        return _reading(connection.execute(select(reading).where(reading.c.id == row_id)).one())


def readings(store: Store, placement: Placement) -> tuple[Reading, ...]:
    """The readings that stand, by time; superseded and taken-back ones are left out."""
    with store.read() as connection:
        return _current(connection, placement)


def last_readings(store: Store, placement: Placement, count: int) -> tuple[Reading, ...]:
    """The readings that stand and were entered last, the newest first."""
    newest = select(reading.c.id).order_by(reading.c.id.desc()).limit(20 * count).subquery()
    since = select(func.min(newest.c.id)).scalar_subquery()
    with store.read() as connection:
        for only in ((reading.c.id >= since,), ()):  # a logger's 100 000 need not be sorted
            wanted = _standing(placement, *only).order_by(None).order_by(reading.c.id.desc())
            found = tuple(_reading(row) for row in connection.execute(wanted.limit(count)))
            if len(found) == count:
                break
        return found


def readings_seen(
    store: Store, placement: Placement, until: datetime
) -> list[tuple[float, float, str, float | None]]:
    """Hours since 1970, °C, place and depth [m] of the readings that stand, by time: a logger's
    100 000 at a fraction of what whole rows cost."""
    import numpy as np

    with store.read() as connection:
        # SQLite keeps an instant as text; numpy reads a column of it at once.
        plain = connection.dialect.name == "sqlite"
        at = type_coerce(reading.c.at, String) if plain else reading.c.at
        wanted = _standing(placement, reading.c.at <= until).with_only_columns(
            at, reading.c.value_c, reading.c.where, reading.c.depth_m
        )
        rows = connection.execute(wanted).all()
    texts = [row[0] if plain else row[0].replace(tzinfo=None) for row in rows]
    hours = (np.array(texts, dtype="datetime64[us]").astype(np.int64) / 3.6e9).tolist()
    return [(h, row[1], row[2], row[3]) for h, row in zip(hours, rows, strict=True)]


def readings_mark(store: Store, placement: Placement, until: datetime) -> tuple[int, str | None]:
    """How many readings stand, and the id of the newest: what a decision rested on."""
    columns = (func.count(reading.c.id), func.max(reading.c.id))
    wanted = _standing(placement, reading.c.at <= until).with_only_columns(*columns)
    with store.read() as connection:
        count, newest = connection.execute(wanted.order_by(None)).one()
    return int(count), newest


def reading_rows(store: Store, placement: Placement) -> tuple[Reading, ...]:
    """Every row ever kept, in the order of entry."""
    wanted = select(reading).where(reading.c.placement_id == placement.id).order_by(reading.c.id)
    with store.read() as connection:
        return tuple(_reading(row) for row in connection.execute(wanted))


def _current(
    connection: Connection, placement: Placement, *only: ColumnElement[bool]
) -> tuple[Reading, ...]:
    return tuple(_reading(row) for row in connection.execute(_standing(placement, *only)))


def _standing(placement: Placement, *only: ColumnElement[bool]) -> Select[Any]:
    """Rows with a value that no later row supersedes, by time."""
    later = reading.alias("later")
    return (
        select(reading)
        .where(reading.c.placement_id == placement.id, reading.c.value_c.is_not(None), *only)
        .where(~select(later.c.id).where(later.c.supersedes == reading.c.id).exists())
        .order_by(reading.c.at, reading.c.id)
    )


def _sort_out(
    connection: Connection, placement: Placement, new: Iterable[NewReading]
) -> tuple[list[NewReading], list[Reading]]:
    new = list(new)
    if not new:
        return [], []
    span = reading.c.at.between(min(one.at for one in new), max(one.at for one in new))
    standing = _current(connection, placement, span)
    known = {(one.where, one.depth_m, one.at, one.value_c): one for one in standing}
    added: dict[tuple[object, ...], NewReading] = {}
    found: list[Reading] = []
    for one in new:
        key = (one.where, one.depth_m, one.at, one.value_c)
        if key in known:
            found.append(known[key])
        else:
            added.setdefault(key, one)
    return list(added.values()), found


def _add(
    connection: Connection,
    placement: Placement,
    new: list[NewReading],
    recorded: datetime | None,
    supersedes: str | None = None,
) -> tuple[Reading, ...]:
    rows = []
    for one in new:
        # The database would keep NaN as "no value", and that means "taken back".
        if not math.isfinite(one.value_c) or not math.isfinite(one.depth_m or 0.0):
            raise ReadingsError(
                f"a reading and its depth must be numbers, not {one.value_c} at {one.depth_m}",
                "Leave it out.",
            )
        rows.append(
            {
                **vars(one),
                "flags": list(one.flags),
                "placement_id": placement.id,
                "recorded_at": recorded or utc_now(),
                "supersedes": supersedes,
            }
        )
    ids = add_rows(connection, reading, rows)
    kept = select(reading).where(reading.c.id >= ids[0]).order_by(reading.c.id) if ids else None
    return () if kept is None else tuple(_reading(row) for row in connection.execute(kept))


def _check_current(connection: Connection, placement: Placement, reading_id: str) -> Reading:
    found = _current(connection, placement, reading.c.id == reading_id)
    if not found:
        raise Refused(
            f"there is no standing reading {reading_id} of {placement.job.name}",
            "It may have been corrected already: `curecast history` shows every row.",
        )
    return found[0]


def _reading(row: Any) -> Reading:
    values = dict(row._mapping)
    return Reading(**{**values, "flags": tuple(values["flags"])})
