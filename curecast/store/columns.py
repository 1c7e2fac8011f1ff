"""What tables are made of: instants that keep their meaning, long texts kept small, ids."""

from __future__ import annotations

import zlib
from datetime import UTC, datetime

from sqlalchemy import Column, DateTime, Dialect, ForeignKey, LargeBinary, MetaData, String
from sqlalchemy.types import TypeDecorator

from curecast.errors import StoreError

__all__ = ["PackedText", "UtcDateTime", "metadata", "of", "row_id", "supersedes", "times"]

#: All tables; the naming gives every constraint a name that a later migration can use.
metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class UtcDateTime(TypeDecorator[datetime]):
    """An instant with microseconds; a time without its offset is refused.

    SQLite drops the offset of a time without a word, so it is converted to UTC before it
    is written, and comes back as UTC from every database.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.utcoffset() is None:
            raise ValueError(f"a time without its offset from UTC cannot be kept: {value}")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class PackedText(TypeDecorator[str]):
    """A long text, deflated: an hourly forecast takes a tenth of its size."""

    impl = LargeBinary
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> bytes | None:
        return None if value is None else zlib.compress(value.encode())

    def process_result_value(self, value: bytes | None, dialect: Dialect) -> str | None:
        try:
            return None if value is None else zlib.decompress(value).decode()
        except (zlib.error, UnicodeDecodeError) as error:
            raise StoreError(
                "a forecast in the store is damaged",
                "Put the newest copy of the store in its place.",
            ) from error


def row_id() -> Column[str]:
    """The id that a row bears for ever."""
    return Column("id", String(36), primary_key=True)


def of(table: str) -> Column[str]:
    """The row of another table that this one belongs to."""
    return Column(f"{table}_id", String(36), ForeignKey(f"{table}.id"), nullable=False)


def times() -> tuple[Column[datetime], Column[datetime]]:
    """The time that was said, and the time of the entry."""
    return (
        Column("at", UtcDateTime, nullable=False),
        Column("recorded_at", UtcDateTime, nullable=False),
    )


def supersedes(table: str) -> Column[str]:
    """The row of the same table that this one stands for."""
    return Column("supersedes", String(36), ForeignKey(f"{table}.id"), index=True)
