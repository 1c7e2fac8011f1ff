"""UTC, hours and local time; what a clock change makes of a local time."""

from __future__ import annotations

import difflib
import math
from datetime import UTC, datetime, timedelta, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

from curecast.errors import InputError


@lru_cache(maxsize=1)
def _names() -> frozenset[str]:
    return frozenset(name for name in available_timezones() if "/" in name or name == "UTC")


def zone_is_known(name: str) -> bool:
    """Whether a time zone of this name exists, as in ``America/New_York``.

    Short names such as ``EST`` are not taken: they mean several zones, or none with summer time.

    >>> zone_is_known("America/New_York"), zone_is_known("EST"), zone_is_known("Mars/Base")
    (True, False, False)
    """
    return name in _names()


def near_zones(name: str) -> list[str]:
    """Known zones whose names look like this one, the nearest first.

    >>> near_zones("america/new york")[0]
    'America/New_York'
    """
    wanted = name.strip().replace(" ", "_").casefold()
    by_plain = {zone.casefold(): zone for zone in sorted(_names())}
    towns = {zone.rsplit("/", 1)[-1].casefold(): zone for zone in sorted(_names())}
    near = difflib.get_close_matches(wanted, list(by_plain), n=2, cutoff=0.7)
    return [by_plain[z] for z in near] or ([towns[wanted]] if wanted in towns else [])


def own_zone() -> str | None:
    """This computer's own zone; None where it has none, or only UTC, as servers have."""
    import tzlocal

    try:
        name = tzlocal.get_localzone_name()
    except (LookupError, OSError, ValueError):
        return None
    utc = name is None or name.rsplit("/", 1)[-1] in ("UTC", "Universal", "Zulu", "GMT", "UCT")
    return None if utc or not zone_is_known(name) else str(name)


def zone_fits(zone: str, longitude: float, now: datetime) -> bool:
    """Whether a zone's clock lies within 3.5 hours of the sun's at a longitude.

    >>> zone_fits("America/New_York", -69.0, datetime(2027, 1, 1, tzinfo=UTC))
    True
    >>> zone_fits("Europe/Berlin", -69.0, datetime(2027, 1, 1, tzinfo=UTC))
    False
    """
    offset = to_local(now, zone).utcoffset() or timedelta()
    away_h = offset.total_seconds() / 3600.0 - longitude / 15.0
    return abs((away_h + 12.0) % 24.0 - 12.0) <= 3.5


def zone_or_utc(zone: str | None) -> tzinfo:
    """The zone, or UTC for None; an unknown name is an InputError."""
    if zone is None:
        return UTC
    if not zone_is_known(zone):
        near = near_zones(zone)
        hint = f"did you mean {near[0]}?" if near else "write it like America/New_York"
        raise InputError(f'unknown time zone "{zone}"', hint)
    return ZoneInfo(zone)


def utc_now() -> datetime:
    """The computer's clock, as aware UTC."""
    return datetime.now(UTC)


def unix_h(dt: datetime) -> float:
    """Hours since 1970-01-01T00:00 UTC of an aware datetime.

    >>> unix_h(datetime(1970, 1, 2, tzinfo=UTC))
    24.0
    """
    if dt.tzinfo is None:
        raise ValueError("a time without a zone is no instant")
    return dt.timestamp() / 3600


def from_unix_h(h: float) -> datetime:
    """The aware UTC datetime of hours since 1970, to the millisecond.

    >>> from_unix_h(24.5).isoformat()
    '1970-01-02T00:30:00+00:00'
    """
    if not math.isfinite(h):
        raise ValueError("hours that are not a finite number are no instant")
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=round(h * 3_600_000))


def to_local(dt: datetime, zone: str | None) -> datetime:
    """The same instant on the wall clock of a zone (UTC for None)."""
    if dt.tzinfo is None:
        raise ValueError("a time without a zone is no instant")
    return dt.astimezone(zone_or_utc(zone))


def instants_of(wall: datetime, zone: str | None) -> list[datetime]:
    """Every UTC instant at which the wall clock shows a naive time: none, one, or two.

    >>> [i.hour for i in instants_of(datetime(2027, 11, 7, 1, 30), "America/New_York")]
    [5, 6]
    >>> instants_of(datetime(2027, 3, 14, 2, 30), "America/New_York")
    []
    """
    tz = zone_or_utc(zone)
    found: list[datetime] = []
    for fold in (0, 1):
        instant = wall.replace(tzinfo=tz, fold=fold).astimezone(UTC)
        if instant.astimezone(tz).replace(tzinfo=None, fold=0) == wall and instant not in found:
            found.append(instant)
    return sorted(found)


def around_gap(wall: datetime, zone: str | None) -> list[datetime]:
    """The two instants that a wall time inside a skipped hour could have meant."""
    tz = zone_or_utc(zone)
    return sorted(wall.replace(tzinfo=tz, fold=fold).astimezone(UTC) for fold in (0, 1))
