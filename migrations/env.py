"""Run by alembic. curecast hands over its own connection; `alembic` by hand uses CURECAST_DB."""

from __future__ import annotations

from alembic import context
from sqlalchemy import Connection

from curecast.store.tables import metadata


def run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=True,  # SQLite alters a table by making it anew
        compare_type=True,
    )
    context.run_migrations()


given = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    from curecast.store.schema import open_store

    with open_store() as store, store.write() as own:
        run(own)
