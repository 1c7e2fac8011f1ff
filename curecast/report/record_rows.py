"""The record as an inspector reads it: tests, each hold's moves, who signed what and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from curecast.clock import show_day, to_local
from curecast.prospect.record import Done
from curecast.quantities import show_quantity
from curecast.report.words import done_words
from curecast.tracking.history import Entry

_READINGS = ("reading", "reading taken back")
_SIGNS = ("signed-off", "withdrawn")
_DEEDS = ("cover", "heater", "look", "torque", "strip")
#: Later than this, a row tells when it was entered too. [s]
_LATE_S = 60.0


@dataclass(frozen=True)
class RecordRow:
    """One row: when it was said, what, by whom; ``entered`` only where that was later."""

    at: str
    what: str
    by: str
    entered: str
    gone: bool


@dataclass(frozen=True)
class PageRecord:
    """What is on record of a job, ready to show.

    Parameters
    ----------
    parts : list of (str, list of RecordRow)
        Strength tests, sign-offs, moves of the holds, all else but the readings; under heads.
    readings, corrected : int
        Rows of readings, and those among them that a later row corrects or takes back.
    digest : str
        Check sum of the whole record, as an exported file bears it.
    made : str
        When this was drawn up.
    """

    parts: list[tuple[str, list[RecordRow]]]
    readings: int
    corrected: int
    digest: str
    made: str


def page_record(
    entries: Sequence[Entry], digest: str, now: datetime, zone: str | None, units: str
) -> PageRecord:
    """The history of a job as a page shows it; moves alike of one instant share a row.

    Parameters
    ----------
    entries : sequence of Entry
        The whole history, oldest entry first.
    digest : str
        Check sum of the exported record.
    now : datetime
        When the page is drawn up. [aware]
    zone : str or None
        Whose clock.
    units : {"us", "si"}
        Whose units.
    """
    heads = ("Strength tests", "Sign-offs", "What each hold went through", "Done and said")
    parts: dict[str, list[RecordRow]] = {head: [] for head in heads}
    others = sorted((e for e in entries if e.what != "hold"), key=lambda e: (e.at, e.recorded_at))
    for entry in [*_moves(entries), *others]:
        row = _row(entry, zone, units)
        if entry.what not in _READINGS and row not in parts[_part(entry)]:
            parts[_part(entry)].append(row)
    read = [e for e in entries if e.what in _READINGS]
    return PageRecord(
        [(head, rows) for head, rows in parts.items() if rows],
        len(read),
        sum(bool(e.corrected_by) for e in read),
        digest,
        _at(now, zone),
    )


def _moves(entries: Sequence[Entry]) -> list[Entry]:
    """The moves of the holds, in order of time; holds that moved alike are joined."""
    alike: dict[tuple[datetime, str], list[Entry]] = {}
    for entry in sorted((e for e in entries if e.what == "hold"), key=lambda e: e.at):
        said = entry.text.removeprefix(f"{entry.numbers['hold']} ")
        alike.setdefault((entry.at, said), []).append(entry)
    return [
        replace(same[0], text=f"{', '.join(e.numbers['hold'] for e in same)}: {said}")
        for (_, said), same in alike.items()
    ]


def _part(entry: Entry) -> str:
    if entry.what == "test":
        return "Strength tests"
    if entry.what == "hold":
        return "What each hold went through"
    return "Sign-offs" if entry.what in _SIGNS else "Done and said"


def _row(entry: Entry, zone: str | None, units: str) -> RecordRow:
    late = abs((entry.recorded_at - entry.at).total_seconds()) > _LATE_S
    return RecordRow(
        _at(entry.at, zone),
        _words(entry, units),
        entry.by,
        _at(entry.recorded_at, zone) if late else "",
        bool(entry.corrected_by),
    )


def _at(at: datetime, zone: str | None) -> str:
    return f"{show_day(at, zone, year=True)} {to_local(at, zone):%H:%M}"


def _words(entry: Entry, units: str) -> str:
    mpa = entry.numbers.get("strength_mpa")
    if entry.what == "test" and mpa is not None:
        note = f"; {entry.numbers['note']}" if entry.numbers.get("note") else ""
        return f"{entry.numbers['kind']}: {show_quantity(mpa, 'strength', units)}{note}"
    if entry.what in _DEEDS:
        told = {k: v for k, v in entry.numbers.items() if isinstance(v, (int, float))}
        return done_words(Done(0.0, entry.what, told), units)
    return entry.text.replace(" -> ", " → ").replace("not-poured", "not poured")
