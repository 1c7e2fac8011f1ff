"""Who watches, what the calendar said last, and which jobs are to keep quiet."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from curecast.store.columns import UtcDateTime

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "calendar_entry",
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("placement_id", sa.String(36), sa.ForeignKey("placement.id"), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("starts_at", UtcDateTime(), nullable=False),
        sa.Column("status", sa.Text(), nullable=False),
        *_times(),
    )
    op.create_index("ix_calendar_entry_placement_id_name", "calendar_entry",
                    ["placement_id", "name"])  # fmt: skip
    op.create_table(
        "hush",
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("job_id", sa.String(36), sa.ForeignKey("job.id"), nullable=False),
        sa.Column("hold", sa.Text()),
        sa.Column("quiet", sa.Boolean(), nullable=False),
        *_times(),
    )
    op.create_index("ix_hush_job_id", "hush", ["job_id"])
    op.create_table(
        "watch_span",
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("owner", sa.String(36), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        *_times(),
        sa.Column("seen_at", UtcDateTime(), nullable=False),
        *(sa.Column(name, UtcDateTime()) for name in ("passed_at", "lease_until", "ended_at")),
    )
    op.create_index("ix_watch_span_seen_at", "watch_span", ["seen_at"])
    for table in ("calendar_entry", "hush"):
        for what in ("UPDATE", "DELETE"):
            refuse(table, what)


def _times() -> list[sa.Column]:
    return [sa.Column(name, UtcDateTime(), nullable=False) for name in ("at", "recorded_at")]


def refuse(table: str, what: str) -> None:
    """The log is append-only here too; PostgreSQL has the function from 0001."""
    name = f"keep_{table}_{what.lower()}"
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, 'the log is append-only: no {what} of {table}'); END"
        )
        return
    op.execute(
        f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" '
        "FOR EACH ROW EXECUTE FUNCTION curecast_refuse()"
    )


def downgrade() -> None:
    for table in ("calendar_entry", "hush", "watch_span"):
        op.drop_table(table)
