"""Instants as people read them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from curecast.clock.zones import to_local

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def zone_label(local: datetime) -> str:
    """The zone's short name at that instant: ``EST``, ``UTC``, or ``UTC-03`` where it has none."""
    name = local.tzname() or ""
    return f"UTC{name}" if name[:1] in ("+", "-") else name


def _minute(dt: datetime, zone: str | None) -> datetime:
    local_utc = (dt + timedelta(seconds=30)).astimezone(UTC)
    return to_local(local_utc, zone).replace(second=0, microsecond=0)


def show_instant(dt: datetime, zone: str | None, *, year: bool = False) -> str:
    """Say an instant in local time with the zone's short name, to the nearest minute.

    >>> show_instant(datetime(2027, 3, 12, 14, tzinfo=UTC), "America/New_York")
    'Fri 12 Mar 09:00 EST'
    >>> show_instant(datetime(2027, 3, 12, 14, tzinfo=UTC), None, year=True)
    'Fri 12 Mar 2027 14:00 UTC'
    """
    local = _minute(dt, zone)
    return f"{show_day(dt, zone, year=year)} {local:%H:%M} {zone_label(local)}"


def show_day(dt: datetime, zone: str | None, *, year: bool = False) -> str:
    """Say the local day of an instant.

    >>> show_day(datetime(2027, 3, 12, 14, tzinfo=UTC), "America/New_York")
    'Fri 12 Mar'
    """
    local = _minute(dt, zone)
    day = f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"
    return f"{day} {local.year}" if year else day


def show_time_of_day(hour: float) -> str:
    """Say an hour of the day.

    >>> show_time_of_day(7.5)
    '07:30'
    """
    minutes = round(hour * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def iso(dt: datetime, zone: str | None = None) -> str:
    """ISO 8601 with offset, in a zone's local time (UTC for None).

    >>> iso(datetime(2027, 3, 12, 14, tzinfo=UTC), "America/New_York")
    '2027-03-12T09:00:00-05:00'
    """
    return to_local(dt, zone).isoformat()
