"""When a crew works: times of day, days of the week, and the starts that they allow."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from datetime import datetime, time, timedelta

from curecast.clock.shown import DAYS
from curecast.clock.zones import from_unix_h, instants_of, to_local, unix_h
from curecast.errors import InputError

_TIME = re.compile(
    r"([0-9]{1,2})(?:[:.h]([0-9]{2})?(?::([0-9]{2})(?:\.0+)?)?)?\s*(?:(am|pm|a\.m\.|p\.m\.)|h)?"
)
_LONG_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_EXTRA_DAYS = {"tues": 1, "weds": 2, "thur": 3, "thurs": 3}
_GROUPS = {
    "weekdays": tuple(range(5)),
    "weekend": (5, 6),
    "weekends": (5, 6),
    "daily": tuple(range(7)),
    "every day": tuple(range(7)),
    "all": tuple(range(7)),
    "any": tuple(range(7)),
}


def find_weekday(word: str) -> int | None:
    """0 for Monday to 6 for Sunday; None if the word is no day."""
    plain = word.strip().casefold().rstrip(".")
    if plain in _LONG_DAYS:
        return _LONG_DAYS.index(plain)
    short = [day.casefold() for day in DAYS]
    return short.index(plain) if plain in short else _EXTRA_DAYS.get(plain)


def parse_time_of_day(text: str) -> float:
    """The hour of a time of day: ``8:00``, ``17``, ``9am``, ``noon``.

    >>> parse_time_of_day("7:30"), parse_time_of_day("5 pm"), parse_time_of_day("noon")
    (7.5, 17.0, 12.0)
    """
    said = text.strip().casefold()
    if said in ("noon", "midday"):
        return 12.0
    match = _TIME.fullmatch(said)
    hour, minute, second = (int(match[k] or 0) for k in (1, 2, 3)) if match else (99, 0, 0)
    half = (match[4] or "").replace(".", "") if match else ""
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0) if 1 <= hour <= 12 else 99
    if hour > 23 or minute > 59 or second > 59:
        raise InputError(f'"{text}" is not a time of day', "write it like 7:30, 17:00 or 9am")
    return hour + minute / 60 + second / 3600


def parse_span(text: str) -> tuple[float, float]:
    """Two times of day, ``21:00-06:00``; the second may lie on the next day.

    >>> parse_span("21:00-06:00")
    (21.0, 6.0)
    """
    parts = re.split(r"\s*(?:-|–|\bto\b)\s*", text.strip())
    if len(parts) != 2:
        raise InputError(f'"{text}" is not two times of day', "write it like 21:00-06:00")
    return parse_time_of_day(parts[0]), parse_time_of_day(parts[1])


def parse_days(text: str) -> tuple[int, ...]:
    """Days of the week: ``mon-sat``, ``mon, wed, fri``, ``weekdays``; 0 is Monday.

    >>> parse_days("fri-mon")
    (0, 4, 5, 6)
    """
    said = " ".join(text.casefold().split())
    if said in _GROUPS:
        return _GROUPS[said]
    found: set[int] = set()
    for part in re.split(r"\s*(?:,|;|\band\b|\+)\s*|\s+(?!to\b|-)(?<!to )(?<!- )", said):
        ends = [find_weekday(word) for word in re.split(r"\s*(?:-|–|\bto\b)\s*", part)]
        first, last = ends[0], ends[-1]
        if first is None or last is None or len(ends) > 2:
            raise InputError(f'"{text}" is not days of the week', "write them like mon-sat")
        found.update((first + step) % 7 for step in range((last - first) % 7 + 1))
    return tuple(sorted(found))


def local_hour(dt: datetime, zone: str | None) -> float:
    """The hour of the local day, 0 to 24, as its clock shows it."""
    local = to_local(dt, zone)
    return local.hour + local.minute / 60 + (local.second + local.microsecond / 1e6) / 3600


def local_hour_of_day(hours: Iterable[float], zone: str | None) -> list[float]:
    """`local_hour` for each of several instants in hours since 1970."""
    return [local_hour(from_unix_h(float(h)), zone) for h in hours]


def within_span(dt: datetime, zone: str | None, span: tuple[float, float]) -> bool:
    """Whether an instant's local time lies in a span such as (21, 6); its end is outside."""
    first, last = span
    hour = local_hour(dt, zone)
    return first <= hour < last if first <= last else hour >= first or hour < last


def starts_in_week(
    from_h: float,
    until_h: float,
    zone: str | None,
    days: Iterable[int],
    first_h: float,
    last_h: float,
    step_h: float = 1.0,
) -> list[float]:
    """Every start on the hour that a crew could work.

    Parameters
    ----------
    from_h, until_h : float
        The span, both ends counted, in hours since 1970. [h]
    zone : str or None
        Whose clock; None is UTC.
    days : iterable of int
        Working days, 0 is Monday.
    first_h, last_h : float
        Earliest and latest start of a day, local clock, both counted. [h]
    step_h : float
        Steps of the local clock. [h]

    Returns
    -------
    list of float
        Starts in order, in hours since 1970. A local hour that the clock skips gives no start,
        one that it repeats gives two. [h]
    """
    if not step_h > 0 or not (math.isfinite(from_h) and math.isfinite(until_h)):
        raise ValueError("a span needs finite ends and a step above zero")
    working = set(days)
    day = to_local(from_unix_h(from_h), zone).date()
    last_day = to_local(from_unix_h(max(from_h, until_h)), zone).date()
    found: list[float] = []
    while day <= last_day:
        if day.weekday() in working:
            for step in range(math.ceil(first_h / step_h - 1e-9), int(24 / step_h) + 1):
                hour = step * step_h
                if hour > last_h + 1e-9 or hour >= 24:
                    break
                wall = datetime.combine(day, time()) + timedelta(hours=hour)
                found += [unix_h(instant) for instant in instants_of(wall, zone)]
        day += timedelta(days=1)
    return sorted(h for h in found if from_h <= h <= until_h)
