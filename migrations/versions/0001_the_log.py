"""The log: jobs, placements, readings, holds, weather, messages; and what keeps it append-only."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from curecast.store.columns import PackedText, UtcDateTime

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

LOG = (
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
    "attempt",
)
# Tables of which single columns may change: the columns that may not.
PARTLY = {
    "job": ("id", "name", "at", "recorded_at"),
    "message": (
        "id",
        "key",
        "kind",
        "priority",
        "job",
        "hold",
        "title",
        "body",
        "to",
        "due_at",
        "at",
        "recorded_at",
    ),
}


def upgrade() -> None:
    create_jobs()
    create_placements()
    create_slab_log()
    create_holds()
    create_weather()
    create_messages()
    for table in LOG:
        refuse(table, "UPDATE")
        refuse(table, "DELETE")
    for table, columns in PARTLY.items():
        refuse(table, "UPDATE OF " + ", ".join(f'"{column}"' for column in columns))
        refuse(table, "DELETE")


def downgrade() -> None:
    for table in ("attempt", "message", "observation", "forecast", "hold_change", "sign_off"):
        op.drop_table(table)
    for table in ("strength_test", "event", "reading", "placement_fact", "placement"):
        op.drop_table(table)
    for table in ("version_use", "job_version", "job"):
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION curecast_refuse()")


def refuse(table: str, what: str) -> None:
    """Let the database itself refuse to change what is on record."""
    name = f"keep_{table}_{what.split()[0].lower()}"
    said = f"the log is append-only: no {what.split()[0]} of {table}"
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
        )
        return
    op.execute(
        "CREATE OR REPLACE FUNCTION curecast_refuse() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE integrity_constraint_violation USING MESSAGE = "
        "'the log is append-only: no ' || TG_OP || ' of ' || TG_TABLE_NAME; END $$"
    )
    op.execute(
        f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" '
        "FOR EACH ROW EXECUTE FUNCTION curecast_refuse()"
    )


def row_id() -> sa.Column[str]:
    return sa.Column("id", sa.String(36), primary_key=True)


def of(table: str) -> sa.Column[str]:
    return sa.Column(f"{table}_id", sa.String(36), sa.ForeignKey(f"{table}.id"), nullable=False)


def words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def numbers(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Float()) for name in names]


def times(*names: str) -> list[sa.Column[object]]:
    return [sa.Column(name, UtcDateTime(), nullable=False) for name in names]


def supersedes(table: str) -> sa.Column[str]:
    return sa.Column("supersedes", sa.String(36), sa.ForeignKey(f"{table}.id"))


def create(table: str, *columns: sa.schema.SchemaItem, index: tuple[str, ...] = ()) -> None:
    op.create_table(table, row_id(), *columns)
    if index:
        op.create_index(f"ix_{table}_{'_'.join(index)}", table, list(index))


def create_jobs() -> None:
    create(
        "job",
        sa.Column("name", sa.Text(), nullable=False),
        *times("at", "recorded_at"),
        sa.Column("closed_at", UtcDateTime()),
        sa.UniqueConstraint("name", name="uq_job_name"),
    )
    create(
        "job_version",
        of("job"),
        sa.Column("hash", sa.String(64), nullable=False),
        *words("text"),
        *times("at", "recorded_at"),
        sa.UniqueConstraint("job_id", "hash", name="uq_job_version_job_id_hash"),
    )
    create(
        "version_use",
        of("job"),
        of("job_version"),
        *words("by", "reason"),
        *times("at", "recorded_at"),
        index=("job_id",),
    )


def create_placements() -> None:
    create("placement", of("job"), *times("at", "recorded_at"), index=("job_id",))
    create(
        "placement_fact",
        of("placement"),
        *words("kind"),
        of("job_version"),
        sa.Column("start_at", UtcDateTime()),
        sa.Column("end_at", UtcDateTime()),
        *numbers("bags", "water_l_per_bag", "temperature_c"),
        *words("by", "reason"),
        *times("at", "recorded_at"),
        index=("placement_id",),
    )


def create_slab_log() -> None:
    create(
        "reading",
        of("placement"),
        *words("where"),
        *numbers("depth_m", "value_c"),
        *times("at", "recorded_at"),
        *words("source"),
        sa.Column("flags", sa.JSON(), nullable=False),
        supersedes("reading"),
        index=("placement_id", "at"),
    )
    create(
        "event",
        of("placement"),
        *words("kind"),
        sa.Column("payload", sa.JSON(), nullable=False),
        *times("at", "recorded_at"),
        supersedes("event"),
        index=("placement_id", "at"),
    )
    create(
        "strength_test",
        of("placement"),
        *words("kind"),
        *numbers("strength_mpa"),
        *words("by", "note"),
        *times("at", "recorded_at"),
        supersedes("strength_test"),
        index=("placement_id",),
    )
    for table in ("reading", "event", "strength_test"):
        op.create_index(f"ix_{table}_supersedes", table, ["supersedes"])


def create_holds() -> None:
    create(
        "sign_off",
        of("placement"),
        *words("hold", "kind", "by", "reason"),
        *times("at", "recorded_at"),
        index=("placement_id",),
    )
    create(
        "hold_change",
        of("placement"),
        *words("hold", "from_state", "to_state"),
        sa.Column("inputs", sa.JSON(), nullable=False),
        *words("version", "why"),
        *times("at", "recorded_at"),
        index=("placement_id", "hold"),
    )


def create_weather() -> None:
    create(
        "forecast",
        *words("source", "place"),
        *times("issued_at", "fetched_at", "recorded_at"),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.Column("body", PackedText(), nullable=False),
        sa.UniqueConstraint(
            "source", "place", "issued_at", "hash", name="uq_forecast_source_place_issued_at_hash"
        ),
        index=("place", "issued_at"),
    )
    create(
        "observation",
        *words("place", "station"),
        *times("at", "recorded_at"),
        *numbers("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm"),
        index=("place", "at"),
    )


def create_messages() -> None:
    create(
        "message",
        *words("key", "kind"),
        sa.Column("priority", sa.Integer(), nullable=False),
        *words("job"),
        sa.Column("hold", sa.Text()),
        *words("title", "body", "to"),
        *times("due_at", "at", "recorded_at"),
        sa.Column("claimed_by", sa.String(36)),
        sa.Column("lease_until", UtcDateTime()),
        sa.Column("tries", sa.Integer(), nullable=False),
        *times("next_at"),
        sa.Column("sent_at", UtcDateTime()),
        sa.Column("failed_at", UtcDateTime()),
        sa.Column("overtaken_at", UtcDateTime()),
        *words("last_error"),
        sa.UniqueConstraint("key", "to", name="uq_message_key_to"),
        index=("sent_at", "next_at"),
    )
    create(
        "attempt",
        of("message"),
        sa.Column("number", sa.Integer(), nullable=False),
        *words("what", "error"),
        *times("at", "recorded_at"),
        index=("message_id",),
    )
