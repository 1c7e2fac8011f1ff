"""The slabs that the page lists, and what is gathered for the page of one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.clock import iso, show_instant
from curecast.job.layout import Job
from curecast.page.answers import Answers, Shown
from curecast.page.entries import entry_line
from curecast.prospect.plain_words import CAUTIONS, TRADE_NOTES
from curecast.store.jobs import find_job, latest_version, open_jobs
from curecast.store.placements import find_placement
from curecast.store.rows import JobRow, Placement
from curecast.tracking import stored_job
from curecast.tracking.keeping import last_said
from curecast.tracking.places import WHERE

__all__ = ["Slab", "find_slab", "list_slabs", "slab_page"]

#: Entries that the page lists.
_LISTED = 5


@dataclass(frozen=True)
class Slab:
    """An open job; ``poured`` is its placement once the concrete lies, ``state`` one line."""

    name: str
    machine: str
    units: str
    job: Job
    poured: Placement | None
    state: str
    shown: Shown | None = None


def find_slab(answers: Answers, name: str) -> Slab | None:
    """The open job of that name."""
    row = find_job(answers.store, name)
    return None if row is None or row.closed_at is not None else _slab(answers, row)


def list_slabs(answers: Answers) -> list[Slab]:
    """Every open job, oldest first."""
    return [_slab(answers, row) for row in open_jobs(answers.store)]


def _slab(answers: Answers, row: JobRow) -> Slab:
    store = answers.store
    placement = find_placement(store, row)
    poured = placement if placement is not None and placement.state == "poured" else None
    job = stored_job(placement.version if poured and placement else latest_version(store, row))
    units, machine = answers.units or job.units, job.equipment.name or ""
    if poured is not None:
        shown = answers.ask(poured)
        return Slab(row.name, machine, units, job, poured, _state(shown), shown)
    state = "not poured yet"
    if placement is not None:
        state = f"not poured yet; chosen: {show_instant(placement.start_at, job.site.zone)}"
    return Slab(row.name, machine, units, job, None, state)


def _state(shown: Shown) -> str:
    glance = shown.glance
    if glance is None or not shown.current:
        return "poured; where it stands is being worked out"
    if glance.stopped:
        return "stop: " + ", ".join(f"{s.name} ({s.when})" for s in glance.stopped)
    released = ", ".join(s.name for s in glance.released) or "nothing"
    return f"released: {released}. {glance.reading}"


def slab_page(answers: Answers, slab: Slab, wait_s: float) -> dict[str, Any]:
    """All that the page of one job shows; after an entry the answer is waited for a moment.

    Parameters
    ----------
    answers : Answers
    slab : Slab
    wait_s : float
        [s]
    """
    told: dict[str, Any] = {
        "slab": slab,
        "several": len(open_jobs(answers.store)) > 1,
        "places": WHERE,
        "cautions": CAUTIONS,
        "trade_notes": TRADE_NOTES,
        "shown": Shown(None, False),
        "entries": [],
        "start": None,
    }
    if slab.poured is None:
        return told
    shown = slab.shown or Shown(None, False)
    if wait_s and not shown.current:
        shown = answers.ask(slab.poured, wait_s)
    zone = answers.zone_of(slab.poured)
    entries = last_said(answers.store, slab.poured, _LISTED)
    return told | {
        "shown": shown,
        "start": _start(shown, slab.units),
        "entries": [
            {
                "last": iso(recorded),
                "lines": [entry_line(one, zone, slab.units) for one in said[:3]],
                "more": len(said) > 3,
                "file": any(one.from_file for one in said),
            }
            for recorded, said in entries
        ],
    }


def _start(shown: Shown, units: str) -> str | None:
    """Where the steps of the thermometer begin: the likely temperature of the face, °F or °C."""
    value_c = shown.glance.surface_c if shown.glance is not None else None
    if value_c is None:
        return None
    return f"{value_c * 1.8 + 32.0:.0f}" if units == "us" else f"{value_c:.0f}"
