"""Jobs and the versions of their files: each distinct text is kept whole, once."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, select, update

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import JobRow, JobVersion, VersionUse
from curecast.store.tables import job as jobs
from curecast.store.tables import job_version, version_use

__all__ = [
    "close_job",
    "find_job",
    "find_version",
    "keep_version",
    "latest_version",
    "open_jobs",
    "save_job",
    "version_by_id",
    "version_uses",
]


def save_job(
    store: Store,
    name: str,
    text: str,
    hash: str,
    at: datetime,
    recorded: datetime | None = None,
) -> JobVersion:
    """Keep this text of a job's file, and the job itself when it is new.

    Parameters
    ----------
    store : Store
    name : str
        The job's name.
    text, hash : str
        The file as it is, and its SHA-256.
    at : datetime
        The time that is said. [aware]
    recorded : datetime or None
        The time that is kept as that of the entry; None: now. [aware]

    Returns
    -------
    JobVersion
        The stored version; the same row again for the same text.
    """
    with store.write() as connection:
        return keep_version(connection, name, text, hash, at, recorded or utc_now())


def keep_version(
    connection: Connection,
    name: str,
    text: str,
    hash: str,
    at: datetime,
    recorded: datetime,
    by: str = "",
    reason: str = "",
) -> JobVersion:
    """``save_job`` inside a transaction; ``by`` and ``reason`` mark an amendment."""
    times = {"at": at, "recorded_at": recorded}
    found = connection.execute(select(jobs).where(jobs.c.name == name)).first()
    job_id = add_row(connection, jobs, name=name, **times) if found is None else found.id
    kept = _select_version().where(jobs.c.id == job_id, job_version.c.hash == hash)
    row = connection.execute(kept).first()
    if row is None:
        add_row(connection, job_version, job_id=job_id, hash=hash, text=text, **times)
        row = connection.execute(kept).one()
    in_use = connection.scalar(
        select(version_use.c.job_version_id)
        .where(version_use.c.job_id == job_id)
        .order_by(version_use.c.id.desc())
        .limit(1)
    )
    if in_use != row.id or reason:
        add_row(
            connection,
            version_use,
            job_id=job_id,
            job_version_id=row.id,
            by=by,
            reason=reason,
            **times,
        )
    return version_of(row)


def find_job(store: Store, name: str) -> JobRow | None:
    """The job of that name, open or closed."""
    with store.read() as connection:
        row = connection.execute(select(jobs).where(jobs.c.name == name)).first()
    return None if row is None else job_of(row)


def open_jobs(store: Store) -> tuple[JobRow, ...]:
    """The jobs that are not closed, oldest first."""
    with store.read() as connection:
        rows = connection.execute(
            select(jobs).where(jobs.c.closed_at.is_(None)).order_by(jobs.c.id)
        ).all()
    return tuple(job_of(row) for row in rows)


def closed_since(store: Store, at: datetime) -> tuple[JobRow, ...]:
    """The jobs that were closed at this time or later, oldest first."""
    with store.read() as connection:
        rows = connection.execute(
            select(jobs).where(jobs.c.closed_at >= at).order_by(jobs.c.id)
        ).all()
    return tuple(job_of(row) for row in rows)


def close_job(store: Store, job: JobRow, at: datetime) -> JobRow:
    """Close a job; closing a closed one changes nothing."""
    with store.write() as connection:
        connection.execute(
            update(jobs).where(jobs.c.id == job.id, jobs.c.closed_at.is_(None)).values(closed_at=at)
        )
        return job_of(connection.execute(select(jobs).where(jobs.c.id == job.id)).one())


def latest_version(store: Store, job: JobRow) -> JobVersion:
    """The version that came into use last; after a pour the placement's version governs."""
    latest = (
        _select_version()
        .join(version_use, version_use.c.job_version_id == job_version.c.id)
        .where(version_use.c.job_id == job.id)
        .order_by(version_use.c.id.desc())
        .limit(1)
    )
    with store.read() as connection:
        return version_of(connection.execute(latest).one())


def find_version(store: Store, job: JobRow, hash: str) -> JobVersion | None:
    """The stored version with that SHA-256."""
    wanted = _select_version().where(jobs.c.id == job.id, job_version.c.hash == hash)
    with store.read() as connection:
        row = connection.execute(wanted).first()
    return None if row is None else version_of(row)


def version_uses(store: Store, job: JobRow) -> tuple[VersionUse, ...]:
    """Which version came into use when, oldest first."""
    uses = (
        select(version_use, job_version.c.hash)
        .join(job_version, job_version.c.id == version_use.c.job_version_id)
        .where(version_use.c.job_id == job.id)
        .order_by(version_use.c.id)
    )
    with store.read() as connection:
        rows = connection.execute(uses).all()
    return tuple(
        VersionUse(row.id, row.hash, row.by, row.reason, row.at, row.recorded_at) for row in rows
    )


def version_by_id(connection: Connection, version_id: str) -> JobVersion:
    """The version of that id, inside a transaction."""
    row = connection.execute(_select_version().where(job_version.c.id == version_id)).one()
    return version_of(row)


def job_of(row: Any) -> JobRow:
    """A row of the table as a ``JobRow``."""
    return JobRow(row.id, row.name, row.at, row.recorded_at, row.closed_at)


def version_of(row: Any) -> JobVersion:
    """A row of a version and its job as a ``JobVersion``."""
    job = JobRow(row.job_id, row.job_name, row.job_at, row.job_recorded_at, row.closed_at)
    return JobVersion(row.id, job, row.hash, row.text, row.at, row.recorded_at)


def _select_version() -> Select[Any]:
    return select(
        job_version,
        jobs.c.name.label("job_name"),
        jobs.c.at.label("job_at"),
        jobs.c.recorded_at.label("job_recorded_at"),
        jobs.c.closed_at,
    ).join(jobs, jobs.c.id == job_version.c.job_id)
