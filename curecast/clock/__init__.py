"""Instants, time zones and working hours: the only part of curecast that knows a calendar.

The shell holds aware UTC datetimes; the core holds float hours since 1970-01-01T00:00 UTC.
A job without a zone is shown in UTC, and says so; a local time that is said for it is refused.
"""

from __future__ import annotations

from curecast.clock.said import parse_instant
from curecast.clock.shifts import (
    local_hour,
    local_hour_of_day,
    parse_days,
    parse_span,
    parse_time_of_day,
    starts_in_week,
    within_span,
)
from curecast.clock.shown import iso, show_day, show_instant, show_time_of_day
from curecast.clock.zones import (
    from_unix_h,
    near_zones,
    own_zone,
    to_local,
    unix_h,
    utc_now,
    zone_fits,
    zone_is_known,
    zone_or_utc,
)

__all__ = [
    "from_unix_h",
    "iso",
    "local_hour",
    "local_hour_of_day",
    "near_zones",
    "own_zone",
    "parse_days",
    "parse_instant",
    "parse_span",
    "parse_time_of_day",
    "show_day",
    "show_instant",
    "show_time_of_day",
    "starts_in_week",
    "to_local",
    "unix_h",
    "utc_now",
    "within_span",
    "zone_fits",
    "zone_is_known",
    "zone_or_utc",
]
