"""A place as a phone's map copies it, and the zone, days and hours of a job."""

from __future__ import annotations

import re

from curecast.clock import near_zones, parse_days, parse_span, parse_time_of_day, zone_is_known
from curecast.errors import InputError
from curecast.job.fields import say_value

_HINT = "press long on the spot in a phone's map and copy the two numbers, as in 44.10, -69.11"
_HALF = (
    r"([NSEW])?\s*([-+−]?[0-9]{1,3}(?:[.,][0-9]+)?)\s*[°º]?\s*"
    r"(?:([0-9]{1,2}(?:\.[0-9]+)?)\s*['′’]\s*)?(?:([0-9]{1,2}(?:\.[0-9]+)?)\s*(?:\"|″|”|'')\s*)?"
    r"([NSEW])?"
)
_PLACE = re.compile(rf"(?:geo:)?\(?\s*{_HALF}\s*[,;\s]\s*{_HALF}\s*\)?", re.IGNORECASE)


def read_place(value: object, units: str) -> tuple[float, float]:
    """Latitude and longitude in degrees.

    >>> read_place("44.10, -69.11", "us"), read_place("44°06'00\\"N 69°06'36\\"W", "us")
    ((44.1, -69.11), (44.1, -69.11))
    """
    said = ", ".join(str(v) for v in value) if isinstance(value, list) else value
    match = _PLACE.fullmatch(said.strip()) if isinstance(said, str) else None
    if match is None:
        raise InputError(f"{say_value(value)} is not a latitude and a longitude", _HINT)
    groups = match.groups()
    first, second = _degrees(groups[:5]), _degrees(groups[5:])
    letters = [(groups[k] or groups[k + 4] or "").upper() for k in (0, 5)]
    if letters[0] in ("E", "W") and letters[1] in ("N", "S"):
        first, second = second, first
    elif letters[0] in ("E", "W") or letters[1] in ("N", "S"):
        raise InputError(f"{say_value(value)} names one direction twice", _HINT)
    if abs(first) > 90 and abs(second) <= 90:
        raise InputError(
            f"{say_value(value)} looks swapped: latitude comes first",
            f'write "{second:g}, {first:g}"',
        )
    if abs(first) > 90 or abs(second) > 180:
        raise InputError(f"{say_value(value)} is not on the globe", _HINT)
    if first == 0 and second == 0:
        raise InputError("0, 0 is what a phone gives when it does not know where it is", _HINT)
    return round(first, 6), round(second, 6)


def _degrees(half: tuple[str | None, ...]) -> float:
    before, degrees, minutes, seconds, after = half
    value = abs(float((degrees or "0").replace(",", ".").replace("−", "-")))
    value += float(minutes or 0) / 60 + float(seconds or 0) / 3600
    negative = (degrees or "")[:1] in ("-", "−") or (before or after or "").upper() in ("S", "W")
    return -value if negative else value


def read_zone(value: object, units: str) -> str:
    """A time zone's name."""
    if isinstance(value, str) and zone_is_known(value.strip()):
        return value.strip()
    near = near_zones(value) if isinstance(value, str) else []
    hint = f'did you mean "{near[0]}"?' if near else 'write it like "America/New_York"'
    raise InputError(f"{say_value(value)} is not a time zone's name", hint)


def read_time_of_day(value: object, units: str) -> float:
    """An hour of the local day."""
    if not isinstance(value, str):
        raise InputError(f"{say_value(value)} is not a time of day", 'write it like "8:00"')
    return parse_time_of_day(value)


def read_days(value: object, units: str) -> tuple[int, ...]:
    """Working days: a list or "mon-sat"; 0 is Monday."""
    said = ", ".join(str(v) for v in value) if isinstance(value, list) else value
    if not isinstance(said, str) or not said.strip():
        raise InputError(f"{say_value(value)} is not days of the week", 'write "mon-sat"')
    return parse_days(said)


def read_span(value: object, units: str) -> str:
    """Two times of day, kept as text."""
    if not isinstance(value, str):
        raise InputError(f"{say_value(value)} is not two times", 'write it like "21:00-06:00"')
    parse_span(value)
    return value.strip()
