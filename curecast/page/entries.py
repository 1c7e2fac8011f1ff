"""What a form says, read: a reading, a deed, an undo; and what is said back."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from curecast.clock import show_instant
from curecast.errors import InputError, ReadingsError
from curecast.page.answers import Answers
from curecast.prospect.record import Done
from curecast.report.words import done_words
from curecast.store.rows import Placement
from curecast.tracking.keeping import Kept
from curecast.tracking.once import keep_once, undo_once
from curecast.tracking.places import WHERE
from curecast.tracking.plausible import UNDO
from curecast.tracking.said import Said, find_deed, parse_said, said_line

__all__ = ["DEEDS", "Logged", "entry_line", "log_deed", "log_reading", "undo"]

#: What can be put down with one button.
DEEDS = ("blanket on", "blanket off", "looked")
#: A phone's clock may be so far off this one.
_OFF = timedelta(minutes=5)
_NUMBER = re.compile(r"\s*([-+−]?\d{1,3}(?:[.,]\d{1,2})?)\s*°?\s*([CcFf]?)\s*")
_KEY = re.compile(r"[A-Za-z0-9_-]{8,64}")


@dataclass(frozen=True)
class Logged:
    """What was put on record, in sentences; ``odd`` is to be minded."""

    lines: tuple[str, ...]
    odd: tuple[str, ...] = ()


def log_reading(answers: Answers, placement: Placement, form: Mapping[str, str]) -> Logged:
    """Keep the reading that a form holds: value, unit, where, and when if it is not now.

    Raises
    ------
    ReadingsError
        It is none, or cannot be.
    """
    found = _NUMBER.fullmatch(form.get("value", ""))
    if found is None:
        shown = form.get("value", "").strip()[:20]
        raise ReadingsError(f'"{shown}" is not a temperature', "type a number, like 41 or 5.5")
    unit = (found[2] or form.get("unit", "")).upper()
    where = form.get("where", "surface")
    if unit not in ("C", "F") or where not in WHERE:
        raise ReadingsError("the reading lacks its unit or its place", "choose both, then log it")
    now, zone = answers.clock(), answers.zone_of(placement)
    typed = _typed_at(form, now, zone)
    when = form.get("when", "").strip()[:40] or None
    depth = form.get("depth", "").strip()[:20] or None
    text = f"{found[1].replace('−', '-')}{unit}"
    depth = depth if where == "inside" else None
    entries = parse_said(text, zone, typed, at=when, where=where, depth=depth)
    return _keep(answers, placement, form, entries, f"reading {text} {where} {when} {depth}")


def log_deed(answers: Answers, placement: Placement, form: Mapping[str, str]) -> Logged:
    """Keep what was done, one of ``DEEDS``."""
    deed = form.get("deed", "")
    now, zone = answers.clock(), answers.zone_of(placement)
    said = find_deed(deed, zone, _typed_at(form, now, zone), None)
    if deed not in DEEDS or said is None:
        raise ReadingsError("that is nothing that can be put down here", "load the page again")
    return _keep(answers, placement, form, [said], f"deed {deed}")


def undo(answers: Answers, placement: Placement, form: Mapping[str, str]) -> Logged:
    """Take back the last entry, if it is still the one that the form shows."""
    last = _instant(form.get("last", ""))
    key = _key(form, placement, f"undo {last.isoformat()}")
    undone = undo_once(answers.store, placement, key, last, answers.clock())
    if undone is None:
        return Logged(("Taken back already.",))
    zone, units = answers.zone_of(placement), answers.job_of(placement).units
    return Logged(tuple(f"Taken back: {entry_line(said, zone, units)}" for said in undone[:5]))


def _typed_at(form: Mapping[str, str], now: datetime, zone: str | None) -> datetime:
    """When the phone says that it was typed; nothing said is now.

    A clock that is wrong would vouch for hours that nobody measured, so it is refused.
    """
    if not form.get("at"):
        return now
    at, sent = _instant(form["at"]), _instant(form.get("sent") or form["at"])
    shown = show_instant(at, zone, year=True)
    if at > now + _OFF:
        raise ReadingsError(
            f"the phone says that it was typed {shown}, and that lies in the future",
            "set the phone's clock, then log it again",
        )
    if form.get("sent") and abs(sent - now) > _OFF:
        raise ReadingsError(
            f"the phone's clock says {show_instant(sent, zone)} where it is "
            f"{show_instant(now, zone)}, so the time of this reading is not known",
            "set the phone's clock, then log it again",
        )
    return at


def _instant(text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        at = datetime.min
    if at.tzinfo is None or not 2000 <= at.year <= 2200:
        raise InputError("the time that was sent cannot be read", "load the page and log it again")
    return at


def _key(form: Mapping[str, str], placement: Placement, content: str) -> str:
    """The form's own key and what it says: only the same thing sent again is a repeat."""
    given = form.get("key", "")
    if _KEY.fullmatch(given) is None:
        raise InputError("this form is not one of this page's", "load the page again")
    return hashlib.sha256(f"{given}\n{placement.id}\n{content}".encode()).hexdigest()


def _keep(
    answers: Answers, placement: Placement, form: Mapping[str, str], said: list[Said], content: str
) -> Logged:
    job, zone = answers.job_of(placement), answers.zone_of(placement)
    key = _key(form, placement, content)
    thickness_m = job.slab.thickness_m
    kept = keep_once(answers.store, placement, key, said, answers.clock(), thickness_m, zone)
    if kept is None:
        return Logged(("Logged already; nothing was added.",))
    return Logged(_lines(kept, zone, job.units), tuple(_odd(kept)))


def _lines(kept: Kept, zone: str | None, units: str) -> tuple[str, ...]:
    head = "Known already" if kept.known else "Logged"
    return tuple(f"{head}: {entry_line(entry, zone, units)}" for entry in kept.entries)


def entry_line(said: Said, zone: str | None, units: str) -> str:
    """A reading in both units, or a deed in words, and its time."""
    if said.kind == "reading":
        return said_line(said, zone, units)
    deed = done_words(Done(0.0, said.kind, said.numbers), units)
    return f"{deed}, {show_instant(said.at, zone)}"


def _odd(kept: Kept) -> list[str]:
    return [flag.replace(UNDO, "undo it below") for _, flag in kept.flagged]
