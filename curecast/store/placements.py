"""Placements: the start that was chosen, the pour as it was, and what governs it since.

A job has at most one open placement. Everything said about it is a row of its own, and
the later row stands; nothing that was said is lost.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, func, select

from curecast.errors import Refused
from curecast.store.connection import Store, add_row, utc_now
from curecast.store.jobs import find_job, keep_version, version_by_id
from curecast.store.rows import JobRow, JobVersion, Placement, PlacementFact
from curecast.store.tables import job_version, placement, placement_fact

__all__ = [
    "amend_job",
    "choose_start",
    "end_placement",
    "find_placement",
    "placement_facts",
    "record_pour",
]

_SAID = ("start_at", "end_at", "bags", "water_l_per_bag", "temperature_c", "at", "recorded_at")


def choose_start(
    store: Store,
    job: JobRow,
    start: datetime,
    version: JobVersion,
    at: datetime,
    recorded: datetime | None = None,
) -> Placement:
    """Choose the start of placing; a later choice stands for an earlier one.

    Parameters
    ----------
    store : Store
    job : JobRow
    start : datetime
        When placing shall begin. [aware]
    version : JobVersion
        The text of the job that the choice rests on.
    at, recorded : datetime
        The time said, and the time of the entry (None: now). [aware]

    Returns
    -------
    Placement

    Raises
    ------
    Refused
        When the job is closed, or its concrete is placed already.
    """
    with store.write():
        now = find_placement(store, job)
        if now is not None and now.state == "poured":
            raise Refused(
                f"{job.name} is poured already; there is no start left to choose",
                "Correct the pour with `curecast pour`, or begin a job of another name.",
            )
        facts: dict[str, Any] = {"start_at": start, "job_version_id": version.id}
        _say(store, job, "chosen", facts, at, recorded)
        return _standing(store, job)


def record_pour(
    store: Store,
    job: JobRow,
    start: datetime,
    version: JobVersion,
    at: datetime,
    recorded: datetime | None = None,
    *,
    end: datetime | None = None,
    bags: float | None = None,
    water_l_per_bag: float | None = None,
    temperature_c: float | None = None,
) -> Placement:
    """Record the placement as it was; a second entry corrects the first.

    Parameters
    ----------
    store : Store
    job : JobRow
    start, end : datetime
        Placing began and ended (``end`` None: not said). [aware]
    version : JobVersion
        The text that governs from now on. A correction keeps the governing text whatever
        is given here: only ``amend_job`` changes it.
    at, recorded : datetime
        The time said, and the time of the entry (None: now). [aware]
    bags : float or None
        Bags that went in. [-]
    water_l_per_bag : float or None
        Water per bag. [L]
    temperature_c : float or None
        Temperature of the fresh concrete. [°C]

    Returns
    -------
    Placement

    Raises
    ------
    Refused
        When the job is closed.
    """
    with store.write():
        now = find_placement(store, job)
        poured = now is not None and now.state == "poured"
        facts = {
            "start_at": start,
            "end_at": end,
            "bags": bags,
            "water_l_per_bag": water_l_per_bag,
            "temperature_c": temperature_c,
            "job_version_id": now.version.id if now is not None and poured else version.id,
        }
        _say(store, job, "poured", facts, at, recorded)
        return _standing(store, job)


def amend_job(
    store: Store,
    job: JobRow,
    text: str,
    hash: str,
    by: str,
    reason: str,
    at: datetime,
    recorded: datetime | None = None,
) -> JobVersion:
    """Let another text of the job govern, by a named person and for a reason.

    The version comes into use for the job and, where there is one, for its open placement.
    """
    if not by.strip() or not reason.strip():
        raise Refused("an amendment needs a name and a reason", "Give --by and --reason.")
    recorded = recorded or utc_now()
    with store.write() as connection:
        _check_open(store, job)
        version = keep_version(connection, job.name, text, hash, at, recorded, by, reason)
        if find_placement(store, job) is not None:
            facts = {"job_version_id": version.id, "by": by, "reason": reason}
            _say(store, job, "amended", facts, at, recorded)
    return version


def end_placement(
    store: Store,
    job: JobRow,
    by: str,
    reason: str,
    at: datetime,
    recorded: datetime | None = None,
) -> None:
    """End the open placement: called off, or its concrete broken out. Its log stays."""
    with store.write():
        now = find_placement(store, job)
        if now is None:
            raise Refused(f"{job.name} has no placement to end")
        facts = {"job_version_id": now.version.id, "by": by, "reason": reason}
        _say(store, job, "ended", facts, at, recorded)


def find_placement(store: Store, job: JobRow) -> Placement | None:
    """The job's open placement as its facts stand now, with the text that governs it."""
    with store.read() as connection:
        placement_id = connection.scalar(
            select(func.max(placement.c.id)).where(placement.c.job_id == job.id)
        )
        facts = _facts(connection, placement.c.id == placement_id)
        if not facts or facts[-1].kind == "ended":
            return None
        version = version_by_id(connection, facts[-1].job_version_id)
    chosen = [fact for fact in facts if fact.kind == "chosen"]
    stands = ([fact for fact in facts if fact.kind == "poured"] or chosen)[-1]
    said = {name: stands._mapping[name] for name in _SAID}
    return Placement(
        id=stands.placement_id,
        job=version.job,
        state=stands.kind,
        version=version,
        chosen_start_at=chosen[-1].start_at if chosen else None,
        **said,
    )


def placement_facts(store: Store, job: JobRow) -> tuple[PlacementFact, ...]:
    """Everything that was said about the job's placements, ended ones too, oldest first."""
    with store.read() as connection:
        rows = [dict(row._mapping) for row in _facts(connection, placement.c.job_id == job.id)]
    for row in rows:
        del row["job_version_id"]
    return tuple(PlacementFact(**row) for row in rows)


def _facts(connection: Connection, which: ColumnElement[bool]) -> list[Any]:
    rows = connection.execute(
        select(placement_fact, job_version.c.hash.label("version_hash"))
        .join(placement, placement.c.id == placement_fact.c.placement_id)
        .join(job_version, job_version.c.id == placement_fact.c.job_version_id)
        .where(which)
        .order_by(placement_fact.c.placement_id, placement_fact.c.id)
    )
    return list(rows)


def _standing(store: Store, job: JobRow) -> Placement:
    found = find_placement(store, job)
    assert found is not None, "something was just said about it"
    return found


def _check_open(store: Store, job: JobRow) -> None:
    row = find_job(store, job.name)
    if row is None or row.closed_at is not None:
        raise Refused(
            f"the job {job.name} is closed; nothing is added to it",
            "Give the new slab a job of another name.",
        )


def _say(
    store: Store,
    job: JobRow,
    kind: str,
    facts: dict[str, Any],
    at: datetime,
    recorded: datetime | None,
) -> None:
    times = {"at": at, "recorded_at": recorded or utc_now()}
    with store.write() as connection:
        _check_open(store, job)
        now = find_placement(store, job)
        placement_id = (
            add_row(connection, placement, job_id=job.id, **times) if now is None else now.id
        )
        said = {"by": "", "reason": "", **facts, **times}
        add_row(connection, placement_fact, placement_id=placement_id, kind=kind, **said)
