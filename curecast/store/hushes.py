"""Which jobs and holds are told to keep quiet."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import JobRow
from curecast.store.tables import hush

__all__ = ["add_hush", "hushed"]


def add_hush(store: Store, job: JobRow, hold: str | None, quiet: bool, at: datetime) -> None:
    """Tell a job, or one of its holds, to keep quiet or to speak again.

    Parameters
    ----------
    store : Store
    job : JobRow
    hold : str or None
        None: the job as a whole.
    quiet : bool
    at : datetime
        [aware]
    """
    with store.write() as connection:
        add_row(
            connection, hush, job_id=job.id, hold=hold, quiet=quiet, at=at, recorded_at=utc_now()
        )


def hushed(store: Store, job: JobRow) -> frozenset[str | None]:
    """The holds that keep quiet; None among them: the job as a whole does."""
    wanted = select(hush.c.hold, hush.c.quiet).where(hush.c.job_id == job.id).order_by(hush.c.id)
    with store.read() as connection:
        last = {hold: quiet for hold, quiet in connection.execute(wanted)}
    return frozenset(hold for hold, quiet in last.items() if quiet)
