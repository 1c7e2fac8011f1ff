"""Opening the store: where it lies, whether it fits this curecast, and bringing it up to date."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import URL, Connection, inspect, make_url, text
from sqlalchemy.exc import ArgumentError

from curecast.errors import StoreError
from curecast.store.connection import Store, connect, utc_now
from curecast.store.place import FILE_NAME, make_data_folder

if TYPE_CHECKING:
    from alembic.config import Config

__all__ = ["HEAD", "downgrade", "find_migrations", "open_store", "upgrade"]

#: The migration that this code needs. A test holds it against the scripts.
HEAD = "0004"


def open_store(url: str | None = None, home: str | Path | None = None) -> Store:
    """Open the store, made new or brought up to date where needed.

    Parameters
    ----------
    url : str or None
        A SQLAlchemy URL or the path of an SQLite file; None: ``home`` if given, else the
        environment variable CURECAST_DB, else a file in the data folder.
    home : str, Path or None
        The data folder; None: CURECAST_HOME, else the platform's place for a user's data.

    Returns
    -------
    Store

    Raises
    ------
    StoreError
        When the database cannot be opened, is damaged, is another program's, or was written
        by a newer curecast.
    """
    if url is None and home is None:
        url = os.environ.get("CURECAST_DB") or None
    address = _file_url(make_data_folder(home) / FILE_NAME) if url is None else _parse_url(url)
    file = _sqlite_file(address)
    if file is not None:
        _check_file(file)
    store = Store(connect(address), _shown(address, file), file)
    try:
        _bring_up_to_date(store)
    except BaseException:
        store.close()
        raise
    return store


def upgrade(connection: Connection) -> None:
    """Bring the tables up to ``HEAD`` inside the caller's transaction."""
    from alembic import command

    command.upgrade(_alembic(connection), HEAD)


def downgrade(connection: Connection, revision: str) -> None:
    """Take the tables back to ``revision`` (``base``: to nothing); rows are lost on the way."""
    from alembic import command

    command.downgrade(_alembic(connection), revision)


def find_migrations() -> Path:
    """The folder of migrations: inside the installed package, beside it in a checkout."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "migrations", package.parent / "migrations"):
        if (folder / "env.py").is_file():
            return folder
    raise StoreError("curecast is not installed whole: its migrations are missing", "Reinstall it.")


def _alembic(connection: Connection) -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(find_migrations()).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def _bring_up_to_date(store: Store) -> None:
    with store.read() as connection:
        revision = _revision(connection)
    if revision == HEAD:
        return
    if revision is not None and revision > HEAD:
        raise StoreError(
            f"{store.where} was written by a newer curecast (its layout is {revision}, this "
            f"program knows {HEAD})",
            "Upgrade curecast; nothing was changed.",
        )
    if revision is not None and store.file is not None:
        _keep_copy(store, store.file, revision)
    with store.write() as connection:
        if _revision(connection) != HEAD:  # another program may have been faster
            upgrade(connection)


def _revision(connection: Connection) -> str | None:
    """The layout of the tables; None for a database that holds nothing yet."""
    tables = inspect(connection)
    if tables.has_table("alembic_version"):
        found = connection.scalar(text("SELECT version_num FROM alembic_version"))
        return None if found is None else str(found)
    if tables.get_table_names():
        raise StoreError(
            "this database belongs to another program: it holds tables, but none of curecast's",
            "Give curecast a database of its own (CURECAST_DB or --db).",
        )
    return None


def _keep_copy(store: Store, file: Path, revision: str) -> None:
    """Keep a whole copy beside the store before its tables are changed."""
    copies = file.parent / "copies"
    copy = copies / f"{file.stem}-{revision}-{utc_now():%Y%m%dT%H%M%S%f}.db"
    try:
        copies.mkdir(exist_ok=True)
        with closing(sqlite3.connect(file, isolation_level=None)) as connection:
            connection.execute("VACUUM INTO ?", (str(copy),))
    except (OSError, sqlite3.Error) as error:
        raise StoreError(
            f"no copy of {store.where} could be kept before its upgrade: {error}",
            f"Make room and the right to write in {copies}; nothing was changed.",
        ) from error


def _check_file(file: Path) -> None:
    if file.is_dir():
        raise StoreError(
            f"{file} is a folder, where the database file should be",
            "Move it away, or set CURECAST_HOME to another folder.",
        )
    if not file.parent.is_dir():
        raise StoreError(
            f"the folder {file.parent} of the database does not exist",
            "Make it, or correct CURECAST_DB or --db.",
        )


def _file_url(file: Path) -> URL:
    return URL.create("sqlite", database=str(file))


def _parse_url(given: str) -> URL:
    if "://" not in given:
        return _file_url(Path(given).expanduser().absolute())
    try:
        url = make_url(given)
    except ArgumentError as error:
        raise StoreError(
            "the database's address cannot be read",
            "Write it as sqlite:////folder/curecast.db or postgresql://user@host/name.",
        ) from error
    # Which driver a bare postgresql:// means has changed between versions of the library.
    if url.drivername in ("postgres", "postgresql"):
        return url.set(drivername="postgresql+psycopg")
    return url


def _sqlite_file(url: URL) -> Path | None:
    name = url.database or ""
    if url.get_backend_name() != "sqlite" or name in ("", ":memory:") or name.startswith("file:"):
        return None
    return Path(name).absolute()


def _shown(url: URL, file: Path | None) -> str:
    return str(file) if file is not None else url.render_as_string(hide_password=True)
