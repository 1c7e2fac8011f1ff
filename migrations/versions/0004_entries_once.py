"""The keys under which a phone sent its entries: what comes again adds nothing."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from curecast.store.columns import UtcDateTime

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "entry_key",
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("placement_id", sa.String(36), sa.ForeignKey("placement.id"), nullable=False),
        sa.Column("key", sa.String(64), nullable=False),
        *(sa.Column(name, UtcDateTime(), nullable=False) for name in ("at", "recorded_at")),
        sa.UniqueConstraint("key", name="uq_entry_key_key"),
    )
    for what in ("UPDATE", "DELETE"):
        refuse("entry_key", what)


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
    op.drop_table("entry_key")
