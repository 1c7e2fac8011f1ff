"""The tables: made, moved up and down, as the code says, and closed to changes."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from curecast.alerts.outbox import queue, send_due
from curecast.errors import StoreError
from curecast.store import schema
from curecast.store.askings import add_asking
from curecast.store.calendar import keep_entry
from curecast.store.connection import Store
from curecast.store.entry_keys import claim_key
from curecast.store.forecasts import save_forecast
from curecast.store.holds import add_hold_change
from curecast.store.hushes import add_hush
from curecast.store.observations import save_observations
from curecast.store.place import FILE_NAME
from curecast.store.readings import add_reading, reading_rows
from curecast.store.record import add_event, add_sign_off, add_strength_test
from curecast.store.rows import NewObservation, Placement
from curecast.store.schema import HEAD, downgrade, find_migrations, open_store, upgrade
from curecast.store.tables import LOG_TABLES, metadata


def test_the_code_names_the_newest_migration() -> None:
    assert ScriptDirectory(str(find_migrations())).get_current_head() == HEAD


def test_migrated_tables_are_those_of_the_code(store: Store) -> None:
    with store.read() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, metadata) == []


def test_constraints_bear_the_names_of_the_convention(store: Store) -> None:
    with store.read() as connection:
        tables = inspect(connection)
        for table in metadata.tables:
            names = [key["name"] for key in tables.get_foreign_keys(table)]
            names += [key["name"] for key in tables.get_unique_constraints(table)]
            names.append(tables.get_pk_constraint(table)["name"])
            assert set(names) == {str(one.name) for one in metadata.tables[table].constraints}


def test_down_to_nothing_and_up_again(store: Store) -> None:
    with store.write() as connection:
        downgrade(connection, "base")
        assert inspect(connection).get_table_names() == ["alembic_version"]
        upgrade(connection)
    with store.read() as connection:
        assert set(metadata.tables) < set(inspect(connection).get_table_names())


@pytest.fixture
def full(store: Store, placement: Placement, now: datetime, home: Path) -> Path:
    """The file of a store with a row in every table."""
    add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    add_event(store, placement, "cover", now, {})
    add_strength_test(store, placement, "core", 21.0, now, "Ada")
    add_sign_off(store, placement, "walk", "signed-off", "Ada", "why", now)
    add_hold_change(store, placement, "walk", "not-poured", "projected", now, {}, "0", "why")
    save_forecast(store, "service", "here", now, now, "body")
    save_observations(store, "here", "KABC", [NewObservation(now, 1.0)])
    add_asking(store, "nws", "here", "forecast", "same", now, {})
    keep_entry(store, placement, "walk", "walk", now, "TENTATIVE", now)
    add_hush(store, placement.job, "walk", True, now)
    claim_key(store, placement, "1", now)
    queue(store, "key", "released", "crane-base", "walk", "t", "b", "nowhere", now)
    send_due(store, now)
    return home / FILE_NAME


@pytest.mark.parametrize("table", LOG_TABLES)
def test_the_log_cannot_be_changed_even_by_hand(full: Path, table: str) -> None:
    with closing(sqlite3.connect(full)) as by_hand:
        count = f"SELECT count(*) FROM {table}"
        before = by_hand.execute(count).fetchone()
        assert before[0] > 0
        for statement in (f"UPDATE {table} SET recorded_at = ''", f"DELETE FROM {table}"):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                by_hand.execute(statement)
        assert by_hand.execute(count).fetchone() == before


@pytest.mark.parametrize(
    ("table", "column", "free"),
    [("job", "name", "closed_at"), ("message", "body", "sent_at"), ("message", "to", "tries")],
)
def test_of_jobs_and_messages_only_their_fate_changes(
    full: Path, table: str, column: str, free: str
) -> None:
    with closing(sqlite3.connect(full)) as by_hand:
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            by_hand.execute(f"""UPDATE {table} SET "{column}" = 'x'""")
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            by_hand.execute(f"DELETE FROM {table}")
        assert by_hand.execute(f"UPDATE {table} SET {free} = {free}").rowcount == 1


def test_a_second_opening_changes_nothing(store: Store, home: Path) -> None:
    with open_store(home=home) as again, again.read() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM alembic_version").scalar() == 1
    assert not (home / "copies").exists()


def test_a_newer_store_is_refused_and_left_alone(store: Store, home: Path) -> None:
    with closing(sqlite3.connect(home / FILE_NAME)) as by_hand, by_hand:
        by_hand.execute("UPDATE alembic_version SET version_num = '9999'")
    before = (home / FILE_NAME).read_bytes()
    with pytest.raises(StoreError, match="written by a newer curecast") as caught:
        open_store(home=home)
    assert caught.value.exit_code == 74
    assert (home / FILE_NAME).read_bytes() == before
    assert not (home / "copies").exists()


NEXT = """
from alembic import op
import sqlalchemy as sa
revision, down_revision = "9998", "{head}"
def upgrade():
    op.add_column("reading", sa.Column("probe", sa.Text()))
    {more}
def downgrade():
    pass
"""


def next_layout(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, more: str) -> None:
    """Let the code need a layout that follows the present one."""
    scripts = tmp_path / "100% migrations"
    shutil.copytree(find_migrations(), scripts)
    (scripts / "versions" / "9998_next.py").write_text(NEXT.format(more=more, head=HEAD))
    monkeypatch.setattr(schema, "HEAD", "9998")
    monkeypatch.setattr(schema, "find_migrations", lambda: scripts)


def test_an_older_store_is_copied_then_brought_up_to_date(
    store: Store,
    placement: Placement,
    now: datetime,
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kept = add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    next_layout(monkeypatch, tmp_path, "pass")
    with open_store(home=home) as newer, newer.read() as connection:
        row = connection.exec_driver_sql("SELECT id, probe FROM reading").one()
        assert tuple(row) == (kept.id, None)
    (copy,) = (home / "copies").glob(f"curecast-{HEAD}-*.db")
    monkeypatch.undo()
    with open_store(str(copy)) as old:
        assert reading_rows(old, placement) == (kept,)


def test_a_migration_that_fails_leaves_the_store_as_it_was(
    store: Store,
    placement: Placement,
    now: datetime,
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kept = add_reading(store, placement, "surface", 0.0, 9.0, now, "Ada")
    next_layout(monkeypatch, tmp_path, 'raise ZeroDivisionError("half way")')
    with pytest.raises(ZeroDivisionError):
        open_store(home=home)
    monkeypatch.undo()
    with open_store(home=home) as again, again.read() as connection:
        columns = {column["name"] for column in inspect(connection).get_columns("reading")}
        assert "probe" not in columns
        assert reading_rows(again, placement) == (kept,)
