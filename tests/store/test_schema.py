"""The tables: made, moved up and down, as the code says, and closed to changes."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from curecast.errors import StoreError
from curecast.store.connection import Store
from curecast.store.place import FILE_NAME
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
            wanted = {str(one.name) for one in metadata.tables[table].constraints}
            assert set(names) == wanted


def test_down_to_nothing_and_up_again(store: Store) -> None:
    with store.write() as connection:
        downgrade(connection, "base")
        assert inspect(connection).get_table_names() == ["alembic_version"]
        upgrade(connection)
    with store.read() as connection:
        assert set(metadata.tables) < set(inspect(connection).get_table_names())


def test_a_second_opening_changes_nothing(store: Store, tmp_path: Path) -> None:
    with open_store(home=tmp_path) as again, again.read() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM alembic_version").scalar() == 1
    assert not (tmp_path / "copies").exists()


def _set_revision(home: Path, revision: str) -> None:
    with sqlite3.connect(home / FILE_NAME) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))
    connection.close()


def test_a_newer_store_is_refused_and_left_alone(store: Store, tmp_path: Path) -> None:
    _set_revision(tmp_path, "9999")
    with pytest.raises(StoreError, match="written by a newer curecast") as caught:
        open_store(home=tmp_path)
    assert caught.value.exit_code == 74
    assert not (tmp_path / "copies").exists()


@pytest.mark.parametrize("table", LOG_TABLES)
def test_every_log_table_has_its_two_guards(store: Store, table: str) -> None:
    with store.read() as connection:
        guards = connection.exec_driver_sql(
            "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
        ).scalars()
        assert {guard.split(" BEFORE ")[1].split()[0] for guard in guards} == {"UPDATE", "DELETE"}
