"""When each weather service was asked, and what it wants remembered."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from curecast.store.columns import UtcDateTime

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    words = [
        sa.Column(name, sa.Text(), nullable=False)
        for name in ("source", "place", "what", "outcome")
    ]
    op.create_table(
        "asking",
        sa.Column("id", sa.String(36), primary_key=True),
        *words,
        sa.Column("payload", sa.JSON(), nullable=False),
        sa.Column("at", UtcDateTime(), nullable=False),
        sa.Column("recorded_at", UtcDateTime(), nullable=False),
    )
    op.create_index("ix_asking_place_source_what_at", "asking", ["place", "source", "what", "at"])
    for what in ("UPDATE", "DELETE"):
        refuse(what)


def refuse(what: str) -> None:
    """The log is append-only here too; PostgreSQL has the function from 0001."""
    name = f"keep_asking_{what.lower()}"
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            f'CREATE TRIGGER "{name}" BEFORE {what} ON "asking" '
            f"BEGIN SELECT RAISE(ABORT, 'the log is append-only: no {what} of asking'); END"
        )
        return
    op.execute(
        f'CREATE TRIGGER "{name}" BEFORE {what} ON "asking" '
        "FOR EACH ROW EXECUTE FUNCTION curecast_refuse()"
    )


def downgrade() -> None:
    op.drop_table("asking")
