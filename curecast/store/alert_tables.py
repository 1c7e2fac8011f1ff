"""The tables of what is said to people, and of who watches.

Only a message's fate and a spell of watching change after they are written.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    Index,
    Integer,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from curecast.store.columns import UtcDateTime, metadata, of, row_id, times

message = Table(
    "message",
    metadata,
    row_id(),
    Column("key", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("priority", Integer, nullable=False),
    Column("job", Text, nullable=False),
    Column("hold", Text),
    Column("title", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("to", Text, nullable=False),
    Column("due_at", UtcDateTime, nullable=False),
    *times(),
    # From here on: its fate, the only columns that change.
    Column("claimed_by", String(36)),
    Column("lease_until", UtcDateTime),
    Column("tries", Integer, nullable=False),
    Column("next_at", UtcDateTime, nullable=False),
    Column("sent_at", UtcDateTime),
    Column("failed_at", UtcDateTime),
    Column("overtaken_at", UtcDateTime),
    Column("last_error", Text, nullable=False),
    UniqueConstraint("key", "to"),
    Index(None, "sent_at", "next_at"),
)

attempt = Table(
    "attempt",
    metadata,
    row_id(),
    of("message"),
    Column("number", Integer, nullable=False),
    Column("what", Text, nullable=False),  # started, sent, refused, unclear, stopped
    Column("error", Text, nullable=False),
    *times(),
    Index(None, "message_id"),
)

# What the calendar said of a hold last: the next one counts on from there.
calendar_entry = Table(
    "calendar_entry",
    metadata,
    row_id(),
    of("placement"),
    Column("name", Text, nullable=False),
    Column("sequence", Integer, nullable=False),
    Column("words", Text, nullable=False),
    Column("starts_at", UtcDateTime, nullable=False),
    Column("status", Text, nullable=False),
    *times(),
    Index(None, "placement_id", "name"),
)

# A job or one of its holds told to keep quiet, or to speak again. The later row stands.
hush = Table(
    "hush",
    metadata,
    row_id(),
    of("job"),
    Column("hold", Text),
    Column("quiet", Boolean, nullable=False),
    *times(),
    Index(None, "job_id"),
)

# A spell of watching without a gap; its ends move on, and with them the lease.
watch_span = Table(
    "watch_span",
    metadata,
    row_id(),
    Column("owner", String(36), nullable=False),
    Column("who", Text, nullable=False),
    *times(),
    Column("seen_at", UtcDateTime, nullable=False),
    Column("passed_at", UtcDateTime),
    Column("lease_until", UtcDateTime),
    Column("ended_at", UtcDateTime),
    Index(None, "seen_at"),
)
