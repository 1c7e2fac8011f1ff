"""A database's complaints in words that say what to do."""

from __future__ import annotations

import shutil
from pathlib import Path

from sqlalchemy.exc import DBAPIError, IntegrityError, ProgrammingError

from curecast.errors import StoreError

__all__ = ["damaged", "explain"]

_FREE = "Free some space on that disk and repeat the last entry; what was kept before is whole."
_RIGHTS = "Give yourself the right to write there, or set CURECAST_HOME to another folder."

#: What the database says, what it means, what to do.
_SAYINGS = (
    (("disk is full", "no space left"), "the disk is full: {where} cannot grow", _FREE),
    (
        ("database is locked", "database table is locked", "lock timeout"),
        "another program has held {where} for more than five seconds",
        "Wait until it is done, or end it, and repeat the last entry.",
    ),
    (("readonly database", "read-only"), "{where} may not be written to", _RIGHTS),
    (
        ("unable to open database",),
        "{where} cannot be opened",
        "Check that the folder exists and is yours, or set CURECAST_HOME to another folder.",
    ),
    (
        ("disk i/o error",),
        "the disk failed while {where} was read or written",
        "Check the disk; copy the data folder elsewhere before anything else.",
    ),
    (
        ("connection refused", "could not connect", "connection failed", "could not translate"),
        "the database server at {where} does not answer",
        "Start it, or correct CURECAST_DB.",
    ),
)
# With less room than this SQLite may call a full disk a failing one.
_ROOM_BYTES = 256 * 1024
_DAMAGED = ("malformed", "not a database", "disk image", "unsupported file format")


def explain(error: DBAPIError, where: str, file: Path | None) -> StoreError | None:
    """The sentence for a database's complaint; None when it is a fault in curecast.

    Parameters
    ----------
    error : DBAPIError
        What SQLAlchemy raised.
    where : str
        The database as people may read it, without a password.
    file : Path or None
        The SQLite file, where there is one.

    Returns
    -------
    StoreError or None
    """
    if isinstance(error, (IntegrityError, ProgrammingError)):
        return None
    said = str(error.orig).lower()
    if file is not None and "disk i/o error" in said and _is_full(file):
        said = "disk is full"
    if file is not None and any(word in said for word in _DAMAGED):
        return damaged(file)
    for words, message, hint in _SAYINGS:
        if any(word in said for word in words):
            return StoreError(message.format(where=where), hint)
    first_line = str(error.orig).splitlines()[0] if str(error.orig) else type(error).__name__
    return StoreError(f"{where} cannot be used: {first_line}")


def _is_full(file: Path) -> bool:
    try:
        return shutil.disk_usage(file.parent).free < _ROOM_BYTES
    except OSError:
        return False


def damaged(file: Path) -> StoreError:
    """The sentence for a file that is not a sound SQLite database."""
    aside = f"Move {file.name} and any {file.name}-wal and {file.name}-shm out of {file.parent}"
    copies = sorted((file.parent / "copies").glob(f"{file.stem}-*.db"))
    then = (
        f"copy {copies[-1]} to {file}"
        if copies
        else "run `curecast import` with your last export; a new store is begun by itself"
    )
    return StoreError(f"{file} is damaged, or no database at all", f"{aside}, then {then}.")
