"""Readings and deeds as people say them: "41F air 7:30", "blanket on", "looked"."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType

from curecast.clock import parse_instant, show_instant
from curecast.errors import CurecastError, InputError, ReadingsError
from curecast.quantities import read_quantity

WHERE = ("surface", "air", "inside", "ground", "under-cover")
_ALIASES = {
    "slab": "surface", "top": "surface", "concrete": "surface", "under": "under-cover",
    "undercover": "under-cover", "soil": "ground", "probe": "inside",
}  # fmt: skip
_VALUE = re.compile(r"(?<![\w.])([-+−]?\d+(?:[.,]\d+)?)\s*°?\s*(C|F|K)\b", re.IGNORECASE)
_DEPTH = re.compile(r"\b(\d+(?:[.,]\d+)?)\s*(mm|cm|in|inch|inches|m)\b(?:\s*deep)?", re.IGNORECASE)
_AHEAD = timedelta(minutes=5)
#: What a thermometer at a slab may say; outside it is refused. [°C]
_POSSIBLE_C = (-60.0, 120.0)
#: Outside this a reading is kept and flagged. [°C]
_LIKELY_C = {"air": (-35.0, 45.0), "ground": (-15.0, 35.0)}
_LIKELY_SLAB_C = (-20.0, 65.0)
_DEEDS: dict[str, tuple[str, Mapping[str, float]]] = {
    "looked": ("look", {}),
    "look": ("look", {}),
    "stripped": ("strip", {}),
    "blanket on": ("cover", {"layers": 1.0}),
    "blankets on": ("cover", {"layers": 1.0}),
    "two blankets on": ("cover", {"layers": 2.0}),
    "2 blankets on": ("cover", {"layers": 2.0}),
    "sheet on": ("cover", {"layers": 1.0, "r_m2k_w": 0.03}),
    "blanket off": ("cover", {"layers": 0.0}),
    "blankets off": ("cover", {"layers": 0.0}),
    "sheet off": ("cover", {"layers": 0.0}),
    "cover off": ("cover", {"layers": 0.0}),
    "heater off": ("heater", {"off": 1.0}),
    "torqued": ("torque", {}),
}
_HEATER_ON = re.compile(r"heater on(?: (?:at|to) )? *(.*)", re.IGNORECASE)


@dataclass(frozen=True)
class Said:
    """One thing said: a reading (``kind`` is ``reading``) or a deed with its numbers."""

    kind: str
    at: datetime
    where: str = "surface"
    value_c: float = 0.0
    depth_m: float | None = None
    source: str = "person"
    text: str = ""
    numbers: dict[str, float] = field(default_factory=dict)


def parse_said(
    text: str,
    zone: str | None,
    now: datetime,
    *,
    at: str | None = None,
    where: str | None = None,
    depth: str | None = None,
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

    Raises
    ------
    ReadingsError
        What cannot be read, with how to say it.
    """
    parts = [p for p in re.split(r"\s*(?:;|,(?!\d)|\band\b)\s*", text.strip()) if p]
    return [_one(part, zone, now, at, where, depth) for part in parts]


def _one(
    text: str, zone: str | None, now: datetime, at: str | None, where: str | None, depth: str | None
) -> Said:
    deed = _deed(text, zone, now, at)
    if deed is not None:
        return deed
    match = _VALUE.search(text)
    if match is None:
        bare = re.search(r"(?<![\w:])[-+]?\d+(?:[.,]\d+)?(?![\w:])", text)
        if bare:
            raise ReadingsError(
                f'"{text}": {bare[0]} of what?', f"say the unit: {bare[0]}F or {bare[0]}C"
            )
        raise ReadingsError(
            f'"{text}" is not a reading', 'say it like 41F, "5C air 7:30", or "blanket on"'
        )
    value_c = read_quantity(f"{match[1].replace('−', '-')} {match[2].upper()}", "temperature")
    rest = (text[: match.start()] + " " + text[match.end() :]).strip()
    found_depth = None
    if depth is not None:
        found_depth = read_quantity(depth, "length")
    else:
        deep = _DEPTH.search(rest)
        if deep is not None:
            found_depth = read_quantity(deep[0].replace("deep", "").strip(), "length")
            rest = (rest[: deep.start()] + " " + rest[deep.end() :]).strip()
    place, rest = _place(rest)
    chosen = _place_named(where) if where is not None else place
    if chosen is None:
        chosen = "inside" if found_depth is not None else "surface"
    rest = re.sub(r"^(at|on|in)\s+", "", rest.strip(), flags=re.IGNORECASE)
    return Said("reading", _instant(at or rest, zone, now), chosen, value_c, found_depth, text=text)


def _place_named(word: str) -> str:
    plain = word.strip().casefold()
    plain = _ALIASES.get(plain, plain)
    if plain not in WHERE:
        raise ReadingsError(f'"{word}" is no place to read', "one of " + ", ".join(WHERE))
    return plain


def _place(text: str) -> tuple[str | None, str]:
    """The place named in a text, and the text without it."""
    for word in (*WHERE, "under cover", "under blanket", *_ALIASES):
        found = re.search(rf"\b(?:on the |in the |the )?{re.escape(word)}\b", text, re.IGNORECASE)
        if found:
            name = "under-cover" if word.startswith("under") else _ALIASES.get(word, word)
            return name, (text[: found.start()] + " " + text[found.end() :]).strip()
    return None, text


def _instant(text: str, zone: str | None, now: datetime) -> datetime:
    """When: nothing said is now."""
    said = " ".join(text.split())
    if not said:
        return now
    turned = re.fullmatch(r"(\S*\d\S*(?: ?[ap]m)?) (today|yesterday|[a-z]{3,9})", said.casefold())
    if turned:  # "7:30 yesterday" is said as often as "yesterday 7:30"
        said = f"{turned[2]} {turned[1]}"
    try:
        return parse_instant(said, zone, now, prefer="past")
    except CurecastError as fault:
        raise ReadingsError(f'"{said}" is not understood: {fault.message}', fault.hint) from fault


def _deed(text: str, zone: str | None, now: datetime, at: str | None) -> Said | None:
    plain = " ".join(text.casefold().split())
    for words in sorted(_DEEDS, key=len, reverse=True):
        if plain == words or plain.startswith(words + " "):
            kind, numbers = _DEEDS[words]
            rest = plain[len(words) :].strip()
            return Said(kind, _instant(at or rest, zone, now), text=words, numbers=dict(numbers))
    heater = _HEATER_ON.fullmatch(plain)
    if heater is None:
        return None
    value = _VALUE.search(heater[1])
    if value is None:
        raise ReadingsError("the heater's set-point is missing", 'say it like "heater on 13C"')
    heat_to_c = read_quantity(f"{value[1]} {value[2].upper()}", "temperature")
    rest = (heater[1][: value.start()] + " " + heater[1][value.end() :]).strip()
    return Said(
        "heater", _instant(at or rest, zone, now), text="heater on",
        numbers={"heat_to_c": heat_to_c},
    )  # fmt: skip


def check_said(said: Said, poured_at: datetime, now: datetime) -> tuple[str, tuple[str, ...]]:
    """Refuse what cannot be, flag what is unlikely.

    Parameters
    ----------
    said : Said
        A reading or a deed.
    poured_at, now : datetime
        Start of placing, and the present, aware.

    Returns
    -------
    problem : str
        Empty, or why it is refused.
    flags : tuple of str
        What is odd about it.
    """
    if said.at > now + _AHEAD:
        return f"{said.text}: it lies in the future", ()
    if said.kind != "reading":
        return (f"{said.text}: it lies before the pour", ()) if said.at < poured_at else ("", ())
    if not _POSSIBLE_C[0] <= said.value_c <= _POSSIBLE_C[1]:
        return f"{said.text or said.value_c}: no slab or air is at {said.value_c:.0f} °C", ()
    flags = []
    low, high = _LIKELY_C.get(said.where, _LIKELY_SLAB_C)
    if not low <= said.value_c <= high:
        as_f = (said.value_c - 32.0) / 1.8
        hint = f"; did you mean {said.value_c:.0f} °F ({as_f:.0f} °C)?" if said.value_c > 30 else ""
        flags.append(f"{said.value_c:.0f} °C is unlikely at the {said.where}{hint}")
    elif said.value_c > 36.0 and said.where in ("surface", "under-cover", "ground"):
        flags.append(
            f"{said.value_c:.0f} °C is hot for a slab; did you mean {said.value_c:.0f} °F?"
        )
    if said.at < poured_at and said.where not in ("air", "ground"):
        return f"{said.text}: it lies before the pour", ()
    return "", tuple(flags)


def said_line(said: Said, zone: str | None) -> str:
    """What was understood, said back."""
    when = show_instant(said.at, zone)
    if said.kind != "reading":
        return f"{said.text or said.kind}, {when}"
    depth = "" if said.depth_m is None else f" at {1000.0 * said.depth_m:.0f} mm"
    fahrenheit = said.value_c * 1.8 + 32.0
    return f"{said.where}{depth} {said.value_c:.1f} °C ({fahrenheit:.0f} °F), {when}"


def split_job(names: list[str], words: list[str]) -> tuple[str | None, list[str]]:
    """The job that leads a list of words, if one does, and the rest.

    Parameters
    ----------
    names : list of str
        Open jobs.
    words : list of str
        What was typed.
    """
    if not words:
        return None, words
    first = words[0]
    if first in names or first.endswith(".toml"):
        return first, words[1:]
    if len(names) != 1 and not re.match(r"[-+]?\d", first):
        raise InputError(
            f'no open job is called "{first}"', "open jobs: " + (", ".join(names) or "none")
        )
    return None, words
