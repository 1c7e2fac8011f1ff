"""Instants as people say them: "fri 9:00", "7:30", "yesterday 18:00", or ISO with an offset."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal

from curecast.clock.shifts import find_weekday, parse_time_of_day
from curecast.clock.shown import MONTHS, show_instant, zone_label
from curecast.clock.zones import around_gap, instants_of, to_local
from curecast.errors import InputError

Prefer = Literal["past", "future"]

#: How far a clock at the slab may be ahead of this one and still mean today.
_AHEAD = timedelta(minutes=5)
_YEARS = range(2000, 2200)
_NAMED_DAYS = {"today": 0, "tomorrow": 1, "yesterday": -1}
_HINT = "write it like 2027-03-12 09:00, fri 9:00, 7:30 or yesterday 18:00"
_AGO = re.compile(r"(in )?([0-9]+(?:[.,][0-9]+)?) ?(min|mins|minutes?|h|hr|hrs|hours?)( ago)?")
_ISO_DAY = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})[t ]\s*(.+)")
_DAY_MONTH = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?\.? ([a-z]{3,9})\.?,?(?: ([0-9]{4}),?)? (.+)")
_MONTH_DAY = re.compile(r"([a-z]{3,9})\.? ([0-9]{1,2})(?:st|nd|rd|th)?,?(?: ([0-9]{4}),?)? (.+)")


def parse_instant(
    text: str, zone: str | None, now: datetime, *, prefer: Prefer = "future"
) -> datetime:
    """Read an instant.

    Parameters
    ----------
    text : str
        ISO 8601 with an offset, or local time as people say it.
    zone : str or None
        The job's zone; with None a local time is refused unless it says that it is UTC.
    now : datetime
        The present, aware.
    prefer : {"future", "past"}
        Which Friday "fri 9:00" means. In the past sense a bare "18:00" is the latest that has
        been; otherwise it is today's.

    Returns
    -------
    datetime
        Aware, UTC.

    Raises
    ------
    InputError
        Not a time; a local time where no zone is known; or one that a clock change skips or
        repeats: both readings are said.

    Examples
    --------
    >>> now = datetime(2027, 3, 10, 15, tzinfo=UTC)
    >>> parse_instant("fri 9:00", "America/New_York", now).isoformat()
    '2027-03-12T14:00:00+00:00'
    """
    said = " ".join(text.strip().split())
    try:
        instant = _find_iso(said) or _find_elapsed(said.casefold(), now)
        if instant is None:
            instant = _local(said, said.casefold(), zone, now, prefer)
    except (OverflowError, ValueError) as error:
        raise InputError(f'"{text}" is not a time: {error}', _HINT) from None
    if instant.year not in _YEARS:
        raise InputError(f'"{text}" lies in the year {instant.year}', _HINT)
    return instant


def _find_elapsed(plain: str, now: datetime) -> datetime | None:
    """``now``, ``2 h ago``, ``in 90 min``."""
    if plain == "now":
        return now.astimezone(UTC)
    match = _AGO.fullmatch(plain)
    if match is None or (match[1] is None) == (match[4] is None):
        return None
    hours = float(match[2].replace(",", ".")) / (60 if match[3][0] == "m" else 1)
    return (now + timedelta(hours=hours if match[1] else -hours)).astimezone(UTC)


def _find_iso(said: str) -> datetime | None:
    try:
        instant = datetime.fromisoformat(said)
        return None if instant.tzinfo is None else instant.astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def _local(said: str, plain: str, zone: str | None, now: datetime, prefer: Prefer) -> datetime:
    today = to_local(now, zone).date()
    plain, label = _without_zone(said, plain)
    if re.fullmatch(r"[0-9]{1,4}[/.][0-9]{1,2}([/.][0-9]{2,4})?( .*)?", plain) and "/" in plain:
        raise InputError(f'"{said}" could be two dates: day/month or month/day', _HINT)
    first, _, rest = plain.partition(" ")
    first = first.rstrip(",")
    if first in ("next", "last", "this"):
        prefer = "past" if first == "last" else "future" if first == "next" else prefer
        first, _, rest = rest.partition(" ")
    weekday = find_weekday(first)
    if match := _ISO_DAY.fullmatch(plain):
        day = date(int(match[1]), int(match[2]), int(match[3]))
        return _resolve(day, match[4], zone, label)
    if weekday is not None and (named := _find_named_day(rest, today, prefer)):
        if named[0].weekday() != weekday:
            raise InputError(f'"{said}": that day is no {first.capitalize()}', _HINT)
        return _resolve(*named, zone, label)
    if named := _find_named_day(plain, today, prefer):
        return _resolve(*named, zone, label)
    if first in _NAMED_DAYS:
        return _resolve(today + timedelta(days=_NAMED_DAYS[first]), rest, zone, label)
    step = 1 if prefer == "future" else -1
    if weekday is not None:
        day = today + timedelta(days=step * ((step * (weekday - today.weekday())) % 7))
        instant = _resolve(day, rest, zone, label)
        late = instant < now if prefer == "future" else instant > now + _AHEAD
        return _resolve(day + timedelta(days=7 * step), rest, zone, label) if late else instant
    instant = _resolve(today, plain, zone, label)
    if prefer == "past" and instant > now + _AHEAD:
        return _resolve(today - timedelta(days=1), plain, zone, label)
    return instant


def _without_zone(said: str, plain: str) -> tuple[str, str]:
    """Take a zone's short name off the end ("01:30 EST"); it settles a repeated hour."""
    match = re.search(r" ((?:UTC|GMT)?[+-][0-9:]{2,5}|[A-Z]{2,5})$", said)
    if match is None or match[1] in ("AM", "PM"):
        return plain, ""
    return plain[: match.start()], match[1]


def _find_named_day(plain: str, today: date, prefer: Prefer) -> tuple[date, str] | None:
    """A day said with its month ("12 mar 9:00", "mar 12, 2027 9:00"), and the rest."""
    if match := _DAY_MONTH.fullmatch(plain):
        number, word, year, rest = match.groups()
    elif match := _MONTH_DAY.fullmatch(plain):
        word, number, year, rest = match.groups()
    else:
        return None
    months = [month.casefold() for month in MONTHS]
    if word[:3] not in months:
        return None
    month = months.index(word[:3]) + 1
    if year:
        return date(int(year), month, int(number)), rest
    # Without a year: the nearest such day, up to half a year either way.
    near = [
        date(today.year + k, month, int(number))
        for k in (-1, 0, 1)
        if _is_day(today.year + k, month, int(number))
    ]
    if not near:
        raise ValueError(f"{word} has no day {number}")
    best = min(
        near,
        key=lambda day: (abs((day - today).days), day if prefer == "past" else -day.toordinal()),
    )
    return best, rest


def _is_day(year: int, month: int, number: int) -> bool:
    try:
        return bool(date(year, month, number))
    except ValueError:
        return False


def _resolve(day: date, said: str, zone: str | None, label: str) -> datetime:
    """The one instant of a local time of day; refuse none and two, naming both readings."""
    if said in ("midnight", "24:00"):
        raise InputError(
            f'"{said}" could be the start or the end of the day', "write 00:00 or 23:59"
        )
    if not said:
        raise InputError("a day needs a time too", _HINT)
    hour = parse_time_of_day(said.removeprefix("at "))
    if zone is None and not label:
        raise InputError(
            f"{said} is a local time, and the job names no time zone",
            'write zone = "America/New_York", or its own, under [site] in the job file; or say '
            f'the time in UTC, as in "{said} UTC"',
        )
    wall = datetime.combine(day, time()) + timedelta(seconds=round(hour * 3600))
    found = instants_of(wall, zone)
    if label:
        found_here = [i for i in found if label in (zone_label(to_local(i, zone)), "local")]
        if not found_here and label in ("UTC", "GMT", "Z"):
            return wall.replace(tzinfo=UTC)
        if not found_here:
            names = " or ".join(
                zone_label(to_local(i, zone)) for i in found or around_gap(wall, zone)
            )
            raise InputError(f"the clock there does not show {label} then, but {names}", _HINT)
        found = found_here
    if len(found) == 1:
        return found[0]
    choices = found or around_gap(wall, zone)
    readings = " or ".join(f"{to_local(i, zone).isoformat(timespec='minutes')}" for i in choices)
    what = "occurs twice" if found else "does not occur"
    shown = " and ".join(show_instant(i, zone, year=True) for i in choices)
    raise InputError(
        f"{wall:%H:%M} {what} on {wall:%Y-%m-%d}, when the clocks change: it could be {shown}",
        f"write {readings}",
    )
