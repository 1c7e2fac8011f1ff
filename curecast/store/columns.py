"""Column types: instants that keep their meaning, and long texts kept small."""

from __future__ import annotations

import zlib
from datetime import UTC, datetime

from sqlalchemy import DateTime, Dialect, LargeBinary
from sqlalchemy.types import TypeDecorator

__all__ = ["PackedText", "UtcDateTime"]


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
        return None if value is None else zlib.decompress(value).decode()
