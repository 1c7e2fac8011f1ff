"""Which job a command is about: a file, a stored job's name, or the only one that is open."""

from __future__ import annotations

import difflib
import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from curecast.cli.context import Context
from curecast.errors import InputError

if TYPE_CHECKING:
    from curecast.job.layout import Job
    from curecast.store.connection import Store
    from curecast.store.rows import JobRow, Placement


_BEGIN = "name a job file, or make one: curecast new my-slab.toml"


@dataclass(frozen=True)
class Found:
    """The job a command is about, in the units that are shown.

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
            found = _find(ctx, said, opened)
    else:
        found = _find(ctx, said, store)
    ctx.job_name, ctx.zone = found.job.name, found.job.site.zone
    if ctx.units is None or ctx.units == found.job.units:
        return found
    return replace(found, job=_in_units(found.job, ctx.units))


def _in_units(job: Job, units: str) -> Job:
    """The job as it is shown in other units; its text and what it says stay as they are."""
    from curecast.job.stand_ins import find_assumed
    from curecast.job.syntax import load_toml

    data = load_toml(job.text, job.name)
    return replace(job, units=units, assumed=find_assumed(data, units))


def stored_job(ctx: Context, said: str | None, store: Store) -> tuple[Found, Placement]:
    """Find a job whose concrete is placed; every other one is refused with what to do."""
    found = find_job(ctx, said, store)
    if found.placement is None or not found.poured:
        name = found.job.name
        raise InputError(
            f"{name} is not poured yet", f"record it: curecast pour {name} --start TIME"
        )
    check_open(found)
    return found, found.placement


def check_open(found: Found) -> None:
    """Refuse to add anything to a job that was closed."""
    from curecast.errors import Refused

    if found.row is not None and found.row.closed_at is not None:
        raise Refused(
            f"the job {found.job.name} is closed; nothing is added to it",
            "give the new slab a job of another name",
        )


def _find(ctx: Context, said: str | None, store: Store | None) -> Found:
    if said is not None and not said.strip():
        raise InputError("the job's name is empty", "name a job file or an open job")
    if said is not None and _is_file(said):
        kept = _kept_of_missing(said, store)
        if kept is not None:
            ctx.warn(f"{said} is not there any more; the job as it was stored is used")
            return kept
        return _from_file(Path(said), store)
    if store is None:
        if said is not None:
            raise _no_such(said, [])
        raise InputError("no job is open", _BEGIN)
    return _from_store(said, store)


def _kept_of_missing(said: str, store: Store | None) -> Found | None:
    """The poured job of a file that was deleted or moved: its stored text governs anyway."""
    from curecast.store.jobs import find_job as find_row

    path = Path(said)
    if store is None or not path.name or os.path.lexists(path):
        return None
    row = find_row(store, path.stem)
    kept = None if row is None else _governing(row, store)
    return kept if kept is not None and kept.poured else None


def _is_file(said: str) -> bool:
    if said.endswith(".toml") or "/" in said or "\\" in said:
        return True
    try:
        return Path(said).is_file()
    except OSError:  # no file can have such a name
        return False


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
        raise _no_such(str(said), names)
    return _governing(row, store)


def _no_such(said: str, names: list[str]) -> InputError:
    """Nothing is called that: a name misspelt, a hold without its job, or a question."""
    from curecast.cli.asked import answering, near_hold

    listed = f"open jobs: {', '.join(names)}" if names else _BEGIN
    near = difflib.get_close_matches(said, names, n=1)
    hold, answer = near_hold(said), answering(said)
    also = ""
    if near:
        also = f"did you mean {near[0]}? "
    elif answer is not None:
        also = f"{answer} answers that; "
    elif hold is not None:
        also = f"did you mean the hold {hold}? "
    return InputError(f'no job is called "{said}"', f"{also}{listed}")


def _governing(row: JobRow, store: Store) -> Found:
    from curecast.job.reader import parse_job
    from curecast.store.jobs import latest_version
    from curecast.store.placements import find_placement

    placement = find_placement(store, row)
    poured = placement is not None and placement.state == "poured"
    version = placement.version if placement is not None and poured else latest_version(store, row)
    job = parse_job(version.text, f"{row.name} as stored")
    # An imported text may lack an address: the hash is that of the file it came from.
    return Found(replace(job, hash=version.hash), row, placement)
