"""Which job a command is about: a file, a stored job's name, or the only one that is open."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from curecast.cli.context import Context
from curecast.errors import InputError

if TYPE_CHECKING:
    from curecast.job.layout import Job
    from curecast.store.connection import Store
    from curecast.store.rows import JobRow, Placement


@dataclass(frozen=True)
class Found:
    """The job a command is about.

    ``job`` governs: after a pour the stored version, whatever the file says. ``edited`` is
    the file where it differs from that; ``row`` and ``placement`` are None for a job that
    the store does not know.
    """

    job: Job
    row: JobRow | None = None
    placement: Placement | None = None
    path: Path | None = None
    edited: Job | None = None

    @property
    def poured(self) -> bool:
        """Whether its concrete is placed."""
        return self.placement is not None and self.placement.state == "poured"


def find_job(ctx: Context, said: str | None, store: Store | None = None) -> Found:
    """Find the job that was meant, and set the clock's zone and the answer's job name by it.

    Parameters
    ----------
    ctx : Context
    said : str or None
        A path, a name, or None for the only open job.
    store : Store or None
        The store, where the command has opened it; None: it is opened if there is one.

    Returns
    -------
    Found

    Raises
    ------
    JobError
        The file has mistakes.
    InputError
        No such job, or several are open and none was named.
    """
    if store is None and ctx.has_store():
        with ctx.store() as opened:
            found = _find(said, opened)
    else:
        found = _find(said, store)
    ctx.job_name, ctx.zone = found.job.name, found.job.site.zone
    return found


def stored_job(ctx: Context, said: str | None, store: Store) -> tuple[Found, Placement]:
    """Find a job whose concrete is placed; every other one is refused with what to do."""
    found = find_job(ctx, said, store)
    if found.placement is None or not found.poured:
        name = found.job.name
        raise InputError(
            f"{name} is not poured yet", f"record it: curecast pour {name} --start TIME"
        )
    return found, found.placement


def _find(said: str | None, store: Store | None) -> Found:
    if said is not None and _is_file(said):
        return _from_file(Path(said), store)
    if store is None:
        what = "no job is open" if said is None else f'no job is called "{said}"'
        raise InputError(what, "name a job file, or make one: curecast new my-slab.toml")
    return _from_store(said, store)


def _is_file(said: str) -> bool:
    return said.endswith(".toml") or "/" in said or "\\" in said or Path(said).is_file()


def _from_file(path: Path, store: Store | None) -> Found:
    from curecast.job.reader import read_job

    job = read_job(path)
    if store is None:
        return Found(job, path=path)
    from curecast.store.jobs import find_job as find_row

    row = find_row(store, job.name)
    if row is None:
        return Found(job, path=path)
    known = _governing(row, store)
    if not known.poured:
        return Found(job, row, known.placement, path)
    edited = job if job.hash != known.job.hash else None
    return Found(known.job, row, known.placement, path, edited)


def _from_store(said: str | None, store: Store) -> Found:
    from curecast.store.jobs import find_job as find_row
    from curecast.store.jobs import open_jobs

    names = [row.name for row in open_jobs(store)]
    if said is None and len(names) != 1:
        what = f"several jobs are open: {', '.join(names)}" if names else "no job is open"
        raise InputError(what, "say which: a job file or a job's name")
    row = find_row(store, names[0] if said is None else said)
    if row is None:
        near = difflib.get_close_matches(str(said), names, n=1)
        also = f"did you mean {near[0]}? " if near else ""
        raise InputError(f'no job is called "{said}"', f"{also}open jobs: {', '.join(names)}")
    return _governing(row, store)


def _governing(row: JobRow, store: Store) -> Found:
    from curecast.job.reader import parse_job
    from curecast.store.jobs import latest_version
    from curecast.store.placements import find_placement

    placement = find_placement(store, row)
    poured = placement is not None and placement.state == "poured"
    version = placement.version if placement is not None and poured else latest_version(store, row)
    return Found(parse_job(version.text, f"{row.name} as stored"), row, placement)
