"""One open store: an engine, and the two ways into it, to read and to write."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, Table, create_engine, event, func, insert, select
from sqlalchemy.exc import DBAPIError, NoSuchModuleError

from curecast.errors import StoreError
from curecast.store.faults import explain
from curecast.store.identity import new_id

__all__ = ["Store", "add_row", "add_rows", "connect", "utc_now"]

_BUSY_MS = 5000


def utc_now() -> datetime:
    """The computer's own time: what ``recorded_at`` keeps unless a caller says otherwise."""
    return datetime.now(UTC)


class Store:
    """An open store. Close it, or use it in a ``with`` block.

    Parameters
    ----------
    engine : Engine
        From ``connect``.
    where : str
        The database as people may read it, without a password.
    file : Path or None
        The SQLite file, where there is one.
    """

    def __init__(self, engine: Engine, where: str, file: Path | None) -> None:
        self.engine = engine
        self.where = where
        self.file = file
        self._here = threading.local()

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """One steady picture of the store; inside ``write`` it is the writer's own."""
        with self._transaction(writes=False) as connection:
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """All or nothing: what is added inside is kept together, or not at all.

        Blocks may lie inside one another; then the outermost one decides.
        """
        with self._transaction(writes=True) as connection:
            yield connection

    @contextmanager
    def _transaction(self, *, writes: bool) -> Iterator[Connection]:
        outer: tuple[Connection, bool] | None = getattr(self._here, "open", None)
        if outer is not None:
            if writes and not outer[1]:
                raise RuntimeError("a write inside a read: open store.write() outside")
            yield outer[0]
            return
        engine = self.engine.execution_options(curecast_writes=writes)
        try:
            with engine.begin() as connection:
                self._here.open = (connection, writes)
                try:
                    yield connection
                finally:
                    self._here.open = None
        except DBAPIError as error:
            said = explain(error, self.where, self.file)
            if said is None:
                raise
            raise said from error

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def add_row(connection: Connection, table: Table, **values: object) -> str:
    """Add one row under a new id; returns the id."""
    return add_rows(connection, table, [values])[0]


def add_rows(connection: Connection, table: Table, rows: list[dict[str, object]]) -> list[str]:
    """Add rows under new ids that follow all ids of their table; returns the ids.

    An id also sorts after those that a clock set wrong, and since put right, once gave.
    """
    last: str | None = connection.scalar(select(func.max(table.c.id)))
    ids: list[str] = []
    for _ in rows:
        last = new_id(after=last)
        ids.append(last)
    if rows:
        values = [{"id": row_id, **row} for row_id, row in zip(ids, rows, strict=True)]
        connection.execute(insert(table), values)
    return ids


def connect(url: URL) -> Engine:
    """An engine whose transactions are real, on SQLite too.

    Parameters
    ----------
    url : URL
        A SQLAlchemy URL.

    Returns
    -------
    Engine
        On SQLite: write-ahead log, every commit on the disk before it returns, five seconds'
        patience with other programs, and ``BEGIN IMMEDIATE`` for those who mean to write.
    """
    # NaN is no JSON, and would come back from nowhere else.
    write_json = partial(json.dumps, ensure_ascii=False, allow_nan=False)
    try:
        engine = create_engine(url, json_serializer=write_json)
    except (ImportError, NoSuchModuleError) as error:
        raise StoreError(
            f"the driver for {url.drivername} is not installed",
            "Install it (for PostgreSQL: pip install 'curecast[postgres]'), or leave CURECAST_DB "
            "unset to use a file.",
        ) from error
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    else:
        event.listen(engine, "begin", _begin_on_server)
    return engine


def _prepare_sqlite(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself: see _begin_sqlite
    cursor = connection.cursor()
    try:
        cursor.execute(f"PRAGMA busy_timeout = {_BUSY_MS}")
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        _use_write_ahead_log(cursor)
    finally:
        cursor.close()


def _use_write_ahead_log(cursor: Any) -> None:
    # Two programs that make a new store at once can meet here, where SQLite does not wait.
    for wait_s in (0.05, 0.2, 0.5, 1.0, None):
        try:
            cursor.execute("PRAGMA journal_mode = WAL")
            return
        except Exception as error:
            if wait_s is None or "locked" not in str(error):
                raise
            time.sleep(wait_s)


def _begin_sqlite(connection: Connection) -> None:
    # A transaction that reads first and writes later fails at once when another one wrote in
    # between, whatever the busy timeout; so whoever may write says so at the start.
    writes = connection.get_execution_options().get("curecast_writes", True)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _begin_on_server(connection: Connection) -> None:
    # One writer at a time, as on SQLite: what was read before a write still holds.
    if connection.get_execution_options().get("curecast_writes", True):
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {_BUSY_MS}")
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(4867)")
