"""Readings and deeds as people say them: "41F air 7:30", "blanket on", "looked"."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from datetime import datetime

from curecast.clock import parse_instant, show_instant
from curecast.clock.said import Prefer
from curecast.errors import CurecastError, InputError, ReadingsError
from curecast.quantities import read_quantity, show_quantity
from curecast.tracking.deed_words import DEEDS
from curecast.tracking.places import ALIASES, PLACES, WHERE, place_named, take_place
from curecast.tracking.sentences import (
    VALUE,
    clauses,
    is_filler,
    plain_deed,
    tidied,
    without_fillers,
)

_DEPTH = re.compile(r"\b(\d+(?:[.,]\d+)?)\s*(mm|cm|in|inch|inches|m)\b(?:\s*deep)?", re.IGNORECASE)
_ONLY_TIME = re.compile(r"(?:at )?\d{1,2}[:.h]\d{2} ?(?:[ap]m)?", re.IGNORECASE)
_HEATER_ON = re.compile(r"heater on(?: (?:at|to) )? *(.*)", re.IGNORECASE)


@dataclass(frozen=True)
class Said:
    """One thing said: a reading (``kind`` is ``reading``) or a deed with its numbers.

    ``unit`` is the one it was said in: a mix-up of two units is recognised by it.
    """

    kind: str
    at: datetime
    where: str = "surface"
    value_c: float = 0.0
    depth_m: float | None = None
    source: str = "person"
    text: str = ""
    numbers: dict[str, float] = field(default_factory=dict)
    unit: str = "C"

    @property
    def from_file(self) -> bool:
        """Whether a logger's file says it."""
        return self.source.startswith("file ")

    @property
    def on_concrete(self) -> bool:
        """Whether it is a reading of the concrete itself."""
        return self.kind == "reading" and self.where not in ("air", "ground")


def parse_said(
    text: str,
    zone: str | None,
    now: datetime,
    *,
    at: str | None = None,
    where: str | None = None,
    depth: str | None = None,
    units: str | None = None,
) -> list[Said]:
    """Read what somebody said about the slab; several things stand apart by comma or "and".

    Parameters
    ----------
    text : str
        For instance ``41F``, ``5C air 7:30``, ``41F air, 45F surface``, ``blanket on 21:00``.
    zone : str or None
        The job's zone.
    now : datetime
        The present, aware.
    at, where, depth : str or None
        What the options say; they hold for all of it.
    units : {"us", "si"} or None
        The job's, for degrees of which nobody said which.

    Raises
    ------
    ReadingsError
        What cannot be read, with how to say it.
    """
    said = [c for part in parts_of(tidied(text, units)) for c in clauses(part, PLACES)]
    return [_one(part, zone, now, at, where, depth) for part in said]


def parts_of(text: str) -> list[str]:
    """The several things that are said in one breath."""
    parts: list[str] = []
    for part in re.split(r"\s*(?:;|,(?!\d)|\band\b)\s*", text.strip()):
        if parts and _ONLY_TIME.fullmatch(part):
            parts[-1] += f" {part}"  # "surface 41F, 7:30"
        elif part:
            parts.append(part)
    return parts


def _one(
    text: str, zone: str | None, now: datetime, at: str | None, where: str | None, depth: str | None
) -> Said:
    deed = find_deed(text, zone, now, at)
    if deed is not None:
        return deed
    match = VALUE.search(text)
    if match is None:
        bare = re.search(r"(?<![\w:])[-+]?\d+(?:[.,]\d+)?(?![\w:])", text)
        if bare:
            raise ReadingsError(
                f'"{text}": {bare[0]} of what?', f"say the unit: {bare[0]}F or {bare[0]}C"
            )
        raise ReadingsError(
            f'"{text}" is not a reading', 'say it like 41F, "5C air 7:30", or "blanket on"'
        )
    unit = match[2][0].upper()
    value_c = read_quantity(f"{match[1].replace('−', '-')} {unit}", "temperature")
    rest = (text[: match.start()] + " " + text[match.end() :]).strip()
    found_depth = None
    if depth is not None:
        found_depth = read_quantity(depth, "length")
    else:
        deep = _DEPTH.search(rest)
        if deep is not None:
            found_depth = read_quantity(deep[0].replace("deep", "").strip(), "length")
            rest = (rest[: deep.start()] + " " + rest[deep.end() :]).strip()
    place, rest = take_place(rest)
    chosen = place_named(where) if where is not None else place
    if chosen is None:
        chosen = "inside" if found_depth is not None else "surface"
    rest = without_fillers(rest)
    if at is not None and rest:
        raise ReadingsError(f'"{rest}" is not understood beside --at', "say the time once")
    when = said_instant(at or rest, zone, now)
    return Said("reading", when, chosen, value_c, found_depth, text=text, unit=unit)


def said_instant(text: str, zone: str | None, now: datetime, prefer: Prefer = "past") -> datetime:
    """When: nothing said is now."""
    said = " ".join(text.split())
    if not said:
        return now
    turned = re.fullmatch(r"(\S*\d\S*(?: ?[ap]m)?) (today|yesterday|[a-z]{3,9})", said.casefold())
    if turned:  # "7:30 yesterday" is said as often as "yesterday 7:30"
        said = f"{turned[2]} {turned[1]}"
    try:
        return parse_instant(said, zone, now, prefer=prefer)
    except CurecastError as fault:
        why = re.sub(r'^"[^"]*" is ', "it is ", fault.message)
        raise ReadingsError(f'"{said}" is not understood: {why}', fault.hint) from fault


def find_deed(
    text: str, zone: str | None, now: datetime, at: str | None, prefer: Prefer = "past"
) -> Said | None:
    """A deed in a text; None where it is none."""
    plain = plain_deed(text)
    for words in sorted(DEEDS, key=len, reverse=True):
        if plain == words or plain.startswith(words + " "):
            kind, numbers = DEEDS[words]
            rest = plain[len(words) :].strip()
            return Said(
                kind, said_instant(at or rest, zone, now, prefer), text=words,
                numbers=dict(numbers),
            )  # fmt: skip
    heater = _HEATER_ON.fullmatch(plain)
    if heater is None:
        return None
    value = VALUE.search(heater[1])
    if value is None:
        raise ReadingsError("the heater's set-point is missing", 'say it like "heater on 13C"')
    heat_to_c = read_quantity(f"{value[1]} {value[2][0].upper()}", "temperature")
    rest = (heater[1][: value.start()] + " " + heater[1][value.end() :]).strip()
    return Said(
        "heater", said_instant(at or rest, zone, now, prefer), text="heater on",
        numbers={"heat_to_c": heat_to_c},
    )  # fmt: skip


def said_line(said: Said, zone: str | None, units: str = "si") -> str:
    """What was understood, said back in both units, the job's first."""
    when = show_instant(said.at, zone)
    if said.kind != "reading":
        return f"{said.text or said.kind}, {when}"
    depth = "" if said.depth_m is None else f" at {show_quantity(said.depth_m, 'length', units)}"
    other = "us" if units == "si" else "si"
    first, second = (show_quantity(said.value_c, "temperature", u, 1) for u in (units, other))
    return f"{said.where}{depth} {first} ({second}), {when}"


def split_job(names: list[str], words: list[str]) -> tuple[str | None, list[str]]:
    """The job that leads a list of words, if one does, and the rest.

    Parameters
    ----------
    names : list of str
        Open jobs.
    words : list of str
        What was typed.

    Raises
    ------
    InputError
        The first word is neither an open job nor the start of a reading.
    """
    if not words:
        return None, words
    first = words[0]
    if first in names or first.endswith(".toml"):
        return first, words[1:]
    words = " ".join(words).split()
    first = words[0] if words else ""
    if first in names:
        return first, words[1:]
    begins = first.strip().casefold()
    known = {word for deed in DEEDS for word in deed.split()} | {"heater", "undo", *ALIASES}
    if not begins or re.match(r"[-+−~]?[\d.,]", begins) or begins.split()[0] in {*known, *WHERE}:
        return None, words
    deed = plain_deed(" ".join(words))
    if begins in ("minus", "negative") or is_filler(begins) or deed.startswith(tuple(DEEDS)):
        return None, words
    near = difflib.get_close_matches(first, names, n=1)
    also = f"did you mean {near[0]}? " if near else ""
    raise InputError(
        f'"{first}" is neither an open job nor a reading',
        f"{also}open jobs: {', '.join(names) or 'none'}; a reading is said like 41F",
    )
