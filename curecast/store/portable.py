"""One job's whole record as plain rows, and such rows taken in: nothing lost, nothing twice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from math import isfinite
from typing import Any

from sqlalchemy import JSON, ColumnElement, Connection, Float, Integer, Table, select

from curecast.errors import InputError, Refused
from curecast.job.addresses import LEFT_OUT
from curecast.store import tables as t
from curecast.store.columns import UtcDateTime
from curecast.store.connection import Store
from curecast.store.rows import JobRow

__all__ = ["RECORD_TABLES", "add_record", "record_rows"]

Row = dict[str, Any]

#: In the order in which rows refer to one another.
RECORD_TABLES: tuple[Table, ...] = (
    t.job, t.job_version, t.version_use, t.placement, t.placement_fact, t.reading, t.event,
    t.strength_test, t.sign_off, t.hold_change, t.forecast, t.observation, t.message, t.attempt,
)  # fmt: skip
#: What makes two rows of different ids the same fact: each store may have fetched it itself.
_SAME = {
    "forecast": ("source", "place", "issued_at", "hash"),
    "job_version": ("job_id", "hash"),
    "message": ("key", "to"),
}
_CHUNK = 500


def record_rows(store: Store, job: JobRow, places: Iterable[str]) -> dict[str, list[Row]]:
    """Every row of a job, by table, oldest first; instants as ISO 8601 in UTC.

    Parameters
    ----------
    store : Store
    job : JobRow
    places : iterable of str
        The places whose forecasts and observations belong to it.
    """
    of_job = select(t.placement.c.id).where(t.placement.c.job_id == job.id)
    mine: dict[str, ColumnElement[bool]] = {
        "job": t.job.c.id == job.id,
        "forecast": t.forecast.c.place.in_(list(places)),
        "observation": t.observation.c.place.in_(list(places)),
        # A message that still waits is sent from here; taken along, it would be sent twice.
        "message": (t.message.c.job == job.name)
        & (
            t.message.c.sent_at.is_not(None)
            | t.message.c.failed_at.is_not(None)
            | t.message.c.overtaken_at.is_not(None)
        ),
    }
    mine["attempt"] = t.attempt.c.message_id.in_(select(t.message.c.id).where(mine["message"]))
    found: dict[str, list[Row]] = {}
    with store.read() as connection:
        for table in RECORD_TABLES:
            which = mine.get(table.name)
            if which is None and "placement_id" in table.c:
                which = table.c.placement_id.in_(of_job)
            elif which is None:
                which = table.c.job_id == job.id
            rows = connection.execute(select(table).where(which).order_by(table.c.id))
            found[table.name] = [_plain(dict(row._mapping)) for row in rows]
    return found


def add_record(store: Store, given: dict[str, list[Row]]) -> dict[str, int]:
    """Take a record's rows in, all or none; those that are here already are passed over.

    Parameters
    ----------
    store : Store
    given : dict
        By table, as ``record_rows`` gives them.

    Returns
    -------
    dict of str to int
        How many rows of each table were new.

    Raises
    ------
    Refused
        Another job of that name is here, or a row of the same id says something else.
    InputError
        Rows that are none of this program's.
    """
    rows = {table.name: [_read(table, row) for row in given[table.name]] for table in RECORD_TABLES}
    added: dict[str, int] = {}
    stand_ins: dict[str, str] = {}
    with store.write() as connection:
        _check_name(connection, rows["job"])
        for table in RECORD_TABLES:
            added[table.name] = _add(connection, table, rows[table.name], stand_ins)
    return added


def _check_name(connection: Connection, jobs: list[Row]) -> None:
    for job in jobs:
        here = connection.scalar(select(t.job.c.id).where(t.job.c.name == job["name"]))
        if here is not None and here != job["id"]:
            raise Refused(
                f"another job is called {job['name']} in this store",
                "import it into a store of its own: set CURECAST_HOME to another folder",
            )


def _add(connection: Connection, table: Table, rows: list[Row], stand_ins: dict[str, str]) -> int:
    """Add what is new. ``stand_ins``: ids of the file by the ids of the same facts here."""
    for row in rows:
        for column in table.c:
            if column.foreign_keys and row[column.name] in stand_ins:
                row[column.name] = stand_ins[row[column.name]]
    here = _here(connection, table, [row["id"] for row in rows])
    new = []
    for row in rows:
        known = here.get(row["id"])
        if known is None:
            twin = _twin(connection, table, row)
            if twin is None:
                new.append(row)
            else:
                stand_ins[row["id"]] = twin
        elif not _same(table, known, row):
            raise Refused(
                f"a row of {table.name} ({row['id']}) says something else here than in the file",
                "one of the two was altered: nothing was imported",
            )
        elif table is t.job and known["closed_at"] is None and row["closed_at"] is not None:
            closed = table.update().where(table.c.id == row["id"])
            connection.execute(closed.values(closed_at=row["closed_at"]))
    for start in range(0, len(new), _CHUNK):
        connection.execute(table.insert(), new[start : start + _CHUNK])
    return len(new)


def _here(connection: Connection, table: Table, ids: list[str]) -> dict[str, Row]:
    found: dict[str, Row] = {}
    for start in range(0, len(ids), _CHUNK):
        some = select(table).where(table.c.id.in_(ids[start : start + _CHUNK]))
        found |= {row.id: dict(row._mapping) for row in connection.execute(some)}
    return found


def _twin(connection: Connection, table: Table, row: Row) -> str | None:
    """The id of a row that says the same under another id."""
    names = _SAME.get(table.name)
    if names is None:
        return None
    same = [table.c[name] == row[name] for name in names]
    found: str | None = connection.scalar(select(table.c.id).where(*same))
    return found


def _same(table: Table, here: Row, row: Row) -> bool:
    """Whether a row says what it says here; a job may have been closed since, on either side.

    An address that was left out of the file differs from the one that stands here.
    """
    loose = {"closed_at"} if table is t.job else set()
    loose |= {"claimed_by", "lease_until", "tries", "next_at"} if table is t.message else set()
    loose |= {"sent_at", "failed_at", "overtaken_at", "last_error"} if table is t.message else set()
    for name in ("text", "to"):
        if LEFT_OUT in str(row.get(name)) and table.name in ("job_version", "message"):
            loose.add(name)
    return all(here[name] == row[name] for name in here if name not in loose)


def _plain(row: Row) -> Row:
    return {
        name: value.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")
        if isinstance(value, datetime)
        else value
        for name, value in row.items()
    }


def _read(table: Table, row: Any) -> Row:
    """A row of the file as the table takes it."""
    if not isinstance(row, dict) or set(row) != set(table.c.keys()):
        raise InputError(f"a row of {table.name} does not have this program's columns")
    found: Row = dict(row)
    for column in table.c:
        value = found[column.name]
        if value is None:
            if not column.nullable:
                raise InputError(f"{table.name}: {column.name} is missing")
        elif isinstance(column.type, UtcDateTime):
            found[column.name] = _instant(table.name, column.name, value)
        elif not _fits(column.type, value):
            raise InputError(f"{table.name}: {column.name} cannot be {value!r}")
    return found


def _fits(kind: Any, value: Any) -> bool:
    """Whether a value is of its column's kind."""
    if isinstance(kind, Float):
        return type(value) in (int, float) and isfinite(value)
    if isinstance(kind, Integer):
        return type(value) is int
    return isinstance(kind, JSON) or isinstance(value, str)


def _instant(table: str, column: str, value: Any) -> datetime:
    try:
        instant = datetime.fromisoformat(value)
        if instant.tzinfo is not None:
            return instant.astimezone(UTC)
    except (TypeError, ValueError):
        pass
    raise InputError(f'{table}: {column} "{value}" is no instant with its offset')
