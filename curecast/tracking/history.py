"""Everything said, seen and decided of a job, in the order in which it was put on record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from curecast.store.connection import Store
from curecast.store.holds import hold_changes
from curecast.store.jobs import version_uses
from curecast.store.placements import find_placement, placement_facts
from curecast.store.readings import reading_rows
from curecast.store.record import TAKEN_BACK, event_rows, sign_offs, strength_test_rows
from curecast.store.rows import JobRow, Placement, Reading

__all__ = ["Entry", "history_of"]


@dataclass(frozen=True)
class Entry:
    """One row of the record. ``at`` is the time that was said, ``recorded_at`` that of the entry.

    ``corrects`` names the row that it stands for or takes back, ``corrected_by`` the row that
    stands for it.
    """

    id: str
    what: str
    text: str
    at: datetime
    recorded_at: datetime
    numbers: dict[str, Any]
    by: str = ""
    corrects: str | None = None
    corrected_by: str | None = None


def history_of(store: Store, job: JobRow) -> list[Entry]:
    """The whole history of a job, oldest entry first.

    Parameters
    ----------
    store : Store
    job : JobRow
    """
    with store.read():
        found = [*_texts(store, job), *_facts(store, job)]
        placement = find_placement(store, job)
        if placement is not None:
            found += _readings(store, placement)
            found += _events(store, placement)
            found += _tests(store, placement)
            found += _decisions(store, placement)
    if job.closed_at is not None:
        found.append(Entry("", "closed", "the job was closed", job.closed_at, job.closed_at, {}))
    later = {entry.corrects: entry.id for entry in found if entry.corrects}
    whole = [
        Entry(**{**entry.__dict__, "corrected_by": later.get(entry.id) or None}) for entry in found
    ]
    return sorted(whole, key=lambda entry: (entry.recorded_at, entry.id))


def _texts(store: Store, job: JobRow) -> Iterator[Entry]:
    for use in version_uses(store, job):
        said = f"the job's text {use.hash[:8]} came into use"
        said += f": {use.reason}" if use.reason else ""
        yield Entry(use.id, "text", said, use.at, use.recorded_at, {"hash": use.hash}, use.by)


def _facts(store: Store, job: JobRow) -> Iterator[Entry]:
    for fact in placement_facts(store, job):
        numbers = {
            "start": fact.start_at, "end": fact.end_at, "bags": fact.bags,
            "water_l_per_bag": fact.water_l_per_bag, "temperature_c": fact.temperature_c,
        }  # fmt: skip
        said = {"chosen": "the start was chosen", "poured": "the pour"}.get(fact.kind, fact.kind)
        said += f": {fact.reason}" if fact.reason else ""
        known = {k: v for k, v in numbers.items() if v is not None}
        yield Entry(fact.id, fact.kind, said, fact.at, fact.recorded_at, known, fact.by)


def _readings(store: Store, placement: Placement) -> Iterator[Entry]:
    for row in reading_rows(store, placement):
        yield Entry(
            row.id,
            "reading" if row.value_c is not None else "reading taken back",
            _reading_words(row),
            row.at,
            row.recorded_at,
            {"where": row.where, "depth_m": row.depth_m, "value_c": row.value_c,
             "flags": list(row.flags), "source": row.source},
            corrects=row.supersedes,
        )  # fmt: skip


def _reading_words(row: Reading) -> str:
    deep = "" if row.depth_m is None else f" at {1000.0 * row.depth_m:.0f} mm"
    if row.value_c is None:
        return f"{row.where}{deep}: the reading was taken back"
    source = "" if row.source == "person" else f", {row.source}"
    flags = "".join(f"; {flag}" for flag in row.flags)
    return f"{row.where}{deep} {row.value_c:.1f} °C{source}{flags}"


def _events(store: Store, placement: Placement) -> Iterator[Entry]:
    for row in event_rows(store, placement):
        taken = row.kind == TAKEN_BACK
        told = {k: v for k, v in row.payload.items() if k not in ("by", "reason")}
        words = ", ".join(f"{k} {v:g}" for k, v in told.items() if isinstance(v, (int, float)))
        said = "an entry was taken back" if taken else f"{row.kind} {words}".strip()
        reason = str(row.payload.get("reason", ""))
        said += f": {reason}" if reason else ""
        yield Entry(
            row.id, row.kind, said, row.at, row.recorded_at, told,
            str(row.payload.get("by", "")), row.supersedes,
        )  # fmt: skip


def _tests(store: Store, placement: Placement) -> Iterator[Entry]:
    for row in strength_test_rows(store, placement):
        taken = row.strength_mpa is None
        said = "a test was taken back" if taken else f"{row.kind} test {row.strength_mpa:.1f} MPa"
        said += f"; {row.note}" if row.note else ""
        numbers = {"kind": row.kind, "strength_mpa": row.strength_mpa, "note": row.note}
        yield Entry(row.id, "test", said, row.at, row.recorded_at, numbers, row.by, row.supersedes)


def _decisions(store: Store, placement: Placement) -> Iterator[Entry]:
    for sign in sign_offs(store, placement):
        said = f"{sign.hold} {sign.kind}: {sign.reason}"
        numbers: dict[str, Any] = {"hold": sign.hold}
        yield Entry(sign.id, sign.kind, said, sign.at, sign.recorded_at, numbers, sign.by)
    for move in hold_changes(store, placement):
        said = f"{move.hold} {move.from_state} -> {move.to_state}: {move.why}"
        numbers = {
            "hold": move.hold, "from": move.from_state, "to": move.to_state,
            "inputs": move.inputs, "version": move.version,
        }  # fmt: skip
        yield Entry(move.id, "hold", said, move.at, move.recorded_at, numbers)
