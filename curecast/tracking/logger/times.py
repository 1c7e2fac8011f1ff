"""Times as loggers write them: ISO, day or month first, AM/PM, seconds since 1970, serial days."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone

__all__ = ["ORDERS", "Stamp", "find_offset", "find_stamp", "is_time"]

#: How a date of three bare numbers may be meant.
ORDERS = ("month-first", "day-first")
_MONTHS = (
    ("jan",), ("feb",), ("mar", "mär", "mrz"), ("apr",), ("may", "mai"), ("jun",), ("jul",),
    ("aug",), ("sep",), ("oct", "okt"), ("nov",), ("dec", "dez"),
)  # fmt: skip
_NAMES = {word: k for k, words in enumerate(_MONTHS, 1) for word in words}
_CLOCK = (
    r"(?P<hour>\d{1,2})[:.h](?P<minute>\d{2})(?:[:.](?P<second>\d{2}))?(?:[.,:]\d{1,6})?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<zone>Z|[A-Z]{2,5}(?:[+-]\d{1,2}(?::?\d{2})?)?|"
    r"[+-]\d{1,2}(?::?\d{2})?)?"
)
_PARTS = r"[T ,]+(?:[A-Za-z]{2,3}\.?\s+)?"
_FORMS = tuple(
    re.compile(form + _PARTS + _CLOCK + r"\s*", re.IGNORECASE)
    for form in (
        r"\s*(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})",
        r"\s*(?:[A-Za-z]{2,9}[., ]+)?(?P<a>\d{1,2})(?P<mark>[-/.])(?P<b>\d{1,2})[-/.]"
        r"(?P<year>\d{4}|\d{2})",
        r"\s*(?:[A-Za-z]{2,9}[., ]+)?(?P<day>\d{1,2})[-. /]+(?P<name>[A-Za-zä]{3,9})[-., /]+"
        r"(?P<year>\d{4}|\d{2})",
        r"\s*(?:[A-Za-z]{2,9}[., ]+)?(?P<name>[A-Za-zä]{3,9})[-. /]+(?P<day>\d{1,2})"
        r"[, ]+(?P<year>\d{4})",
        r"\s*(?P<year>\d{4})(?P<month>\d{2})(?P<day>\d{2})",
    )
)
_EPOCH = re.compile(r"\d{10}(?:\.\d+)?|\d{13}")
_SERIAL = re.compile(r"[345]\d{4}[.,]\d+")
_OFFSET = re.compile(r"(?:UTC|GMT)?\s*([+\-−])(\d{1,2})(?::?(\d{2}))?\b")
_SHORT = {
    "UTC": 0, "GMT": 0, "Z": 0, "EST": -5, "EDT": -4, "CST": -6, "CDT": -5, "MST": -7, "MDT": -6,
    "PST": -8, "PDT": -7, "AKST": -9, "AKDT": -8, "AST": -4, "ADT": -3, "CET": 1, "CEST": 2,
    "MEZ": 1, "MESZ": 2, "EET": 2, "EEST": 3, "WET": 0, "WEST": 1, "BST": 1,
}  # fmt: skip


class Stamp:
    """One time as it stands in a file.

    ``instant`` where the file itself fixes it; else ``walls`` by date order. A date whose order
    is plain has the same wall in both.
    """

    __slots__ = ("instant", "walls")

    def __init__(
        self, instant: datetime | None, walls: tuple[datetime | None, datetime | None]
    ) -> None:
        self.instant = instant
        self.walls = walls


def find_offset(text: str) -> timedelta | None:
    """The offset from UTC that a text names (``GMT-05:00``, ``UTC``, ``CET``), if any."""
    match = re.search(r"\b(?:UTC|GMT)\s*([+\-−])\s*(\d{1,2})(?::?(\d{2}))?", text)
    if match:
        hours = int(match[2]) + int(match[3] or 0) / 60.0
        return timedelta(hours=-hours if match[1] != "+" else hours)
    for word in re.findall(r"(?<![A-Za-z])[A-Z]{1,4}(?![A-Za-z])", text.replace("_", " ")):
        if word in _SHORT and word != "Z":
            return timedelta(hours=_SHORT[word])
    if re.search(r"(?:^|_)utc\b|\butc(?:_|$)", text, re.IGNORECASE):
        return timedelta(0)
    return None


def is_time(text: str) -> bool:
    """Whether a cell reads as a time with its date."""
    return find_stamp(text) is not None


def find_stamp(text: str) -> Stamp | None:
    """A cell read as a time; None where it is none."""
    said = text.strip().strip('"')
    if _EPOCH.fullmatch(said):
        seconds = float(said) / (1000.0 if len(said) == 13 else 1.0)
        return Stamp(datetime.fromtimestamp(seconds, UTC), (None, None))
    if _SERIAL.fullmatch(said):
        days = float(said.replace(",", "."))
        wall = datetime(1899, 12, 30) + timedelta(seconds=round(days * 86400.0))
        return Stamp(None, (wall, wall))
    for form in _FORMS:
        match = form.fullmatch(said)
        if match is not None:
            return _stamp(match.groupdict())
    return None


def _stamp(found: dict[str, str | None]) -> Stamp | None:
    hour, half = int(found["hour"] or 0), (found.get("half") or "").lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half.startswith("p") else 0)
    clock = (hour, int(found["minute"] or 0), int(found.get("second") or 0))
    month_first, day_first = _wall(found, clock, 0), _wall(found, clock, 1)
    if month_first is None and day_first is None:
        return None
    zone = found.get("zone")
    offset = None if not zone else _offset_of(zone)
    if zone and offset is None:
        return None
    one = month_first or day_first
    if offset is not None and one is not None and month_first == day_first:
        return Stamp(one.replace(tzinfo=timezone(offset)).astimezone(UTC), (None, None))
    return Stamp(None, (month_first, day_first))


def _wall(found: dict[str, str | None], clock: tuple[int, int, int], order: int) -> datetime | None:
    year = int(found["year"] or 0)
    year += 2000 if year < 100 else 0
    if found.get("a") is not None:
        pair = (int(found["a"] or 0), int(found["b"] or 0))
        day_first = order == 1 or found["mark"] == "."
        day, month = pair if day_first else (pair[1], pair[0])
    elif found.get("name") is not None:
        month, day = _NAMES.get((found["name"] or "")[:3].lower(), 0), int(found["day"] or 0)
    else:
        month, day = int(found["month"] or 0), int(found["day"] or 0)
    try:
        if clock[0] == 24 and clock[1:] == (0, 0):
            return datetime(year, month, day) + timedelta(days=1)
        return datetime(year, month, day, *clock)
    except ValueError:
        return None


def _offset_of(zone: str) -> timedelta | None:
    plain = zone.upper()
    if plain in _SHORT:
        return timedelta(hours=_SHORT[plain])
    match = _OFFSET.fullmatch(plain)
    if match is None:
        return None
    size = timedelta(hours=int(match[2]), minutes=int(match[3] or 0))
    return size if match[1] == "+" else -size
