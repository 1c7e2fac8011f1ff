"""The tables. Rows are added and never changed, but for a job's closing and a message's fate.

``at`` is the time that was said, ``recorded_at`` the time at which this computer wrote the
row. A correction is a row that names in ``supersedes`` the row it stands for.
"""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    Column,
    Float,
    Index,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from curecast.store.alert_tables import attempt as attempt
from curecast.store.alert_tables import calendar_entry as calendar_entry
from curecast.store.alert_tables import hush as hush
from curecast.store.alert_tables import message as message
from curecast.store.alert_tables import watch_span as watch_span
from curecast.store.columns import (
    PackedText,
    UtcDateTime,
    metadata,
    of,
    row_id,
    supersedes,
    times,
)

__all__ = ["LOG_TABLES", "metadata"]

job = Table(
    "job",
    metadata,
    row_id(),
    Column("name", Text, nullable=False, unique=True),
    *times(),
    Column("closed_at", UtcDateTime),
)

job_version = Table(
    "job_version",
    metadata,
    row_id(),
    of("job"),
    Column("hash", String(64), nullable=False),
    Column("text", Text, nullable=False),
    *times(),
    UniqueConstraint("job_id", "hash"),
)

# Which version came into use when: a file may go back to what it said before.
version_use = Table(
    "version_use",
    metadata,
    row_id(),
    of("job"),
    of("job_version"),
    Column("by", Text, nullable=False),
    Column("reason", Text, nullable=False),
    *times(),
    Index(None, "job_id"),
)

placement = Table("placement", metadata, row_id(), of("job"), *times(), Index(None, "job_id"))

# What was said about a placement: chosen, poured, amended, ended. The later row stands.
placement_fact = Table(
    "placement_fact",
    metadata,
    row_id(),
    of("placement"),
    Column("kind", Text, nullable=False),
    of("job_version"),
    Column("start_at", UtcDateTime),
    Column("end_at", UtcDateTime),
    Column("bags", Float),
    Column("water_l_per_bag", Float),
    Column("temperature_c", Float),
    Column("by", Text, nullable=False),
    Column("reason", Text, nullable=False),
    *times(),
    Index(None, "placement_id"),
)

reading = Table(
    "reading",
    metadata,
    row_id(),
    of("placement"),
    Column("where", Text, nullable=False),
    Column("depth_m", Float),
    Column("value_c", Float),  # null: the row that it supersedes is taken back
    *times(),
    Column("source", Text, nullable=False),
    Column("flags", JSON, nullable=False),
    supersedes("reading"),
    Index(None, "placement_id", "at"),
)

event = Table(
    "event",
    metadata,
    row_id(),
    of("placement"),
    Column("kind", Text, nullable=False),
    Column("payload", JSON, nullable=False),
    *times(),
    supersedes("event"),
    Index(None, "placement_id", "at"),
)

strength_test = Table(
    "strength_test",
    metadata,
    row_id(),
    of("placement"),
    Column("kind", Text, nullable=False),
    Column("strength_mpa", Float),  # null: the row that it supersedes is taken back
    Column("by", Text, nullable=False),
    Column("note", Text, nullable=False),
    *times(),
    supersedes("strength_test"),
    Index(None, "placement_id"),
)

sign_off = Table(
    "sign_off",
    metadata,
    row_id(),
    of("placement"),
    Column("hold", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("reason", Text, nullable=False),
    *times(),
    Index(None, "placement_id"),
)

hold_change = Table(
    "hold_change",
    metadata,
    row_id(),
    of("placement"),
    Column("hold", Text, nullable=False),
    Column("from_state", Text, nullable=False),
    Column("to_state", Text, nullable=False),
    Column("inputs", JSON, nullable=False),
    Column("version", Text, nullable=False),
    Column("why", Text, nullable=False),
    *times(),
    Index(None, "placement_id", "hold"),
)

forecast = Table(
    "forecast",
    metadata,
    row_id(),
    Column("source", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("issued_at", UtcDateTime, nullable=False),
    Column("fetched_at", UtcDateTime, nullable=False),
    Column("recorded_at", UtcDateTime, nullable=False),
    Column("hash", String(64), nullable=False),
    Column("body", PackedText, nullable=False),
    UniqueConstraint("source", "place", "issued_at", "hash"),
    Index(None, "place", "issued_at"),
)

observation = Table(
    "observation",
    metadata,
    row_id(),
    Column("place", Text, nullable=False),
    Column("station", Text, nullable=False),
    *times(),
    Column("air_c", Float),
    Column("dew_point_c", Float),
    Column("wind_ms", Float),
    Column("cloud", Float),
    Column("rain_mm", Float),
    Index(None, "place", "at"),
)

asking = Table(
    "asking",
    metadata,
    row_id(),
    Column("source", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("outcome", Text, nullable=False),
    Column("payload", JSON, nullable=False),
    *times(),
    Index(None, "place", "source", "what", "at"),
)

# The key of an entry that a phone may send twice.
entry_key = Table(
    "entry_key",
    metadata,
    row_id(),
    of("placement"),
    Column("key", String(64), nullable=False, unique=True),
    *times(),
)

#: Tables whose rows are never changed or deleted; the database itself refuses it.
LOG_TABLES = (
    "job_version",
    "version_use",
    "placement",
    "placement_fact",
    "reading",
    "event",
    "strength_test",
    "sign_off",
    "hold_change",
    "forecast",
    "observation",
    "asking",
    "attempt",
    "calendar_entry",
    "hush",
    "entry_key",
)
