"""Instants, durations and intervals of ISO 8601 as float hours since 1970-01-01T00:00 UTC.

The key is always the UTC instant: local labels repeat in autumn and skip in spring.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from curecast.errors import WeatherUnusable

__all__ = ["hour_text", "parse_duration_h", "parse_instant_h", "parse_interval_h"]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_DURATION = re.compile(
    r"P(?:(\d{1,4})W)?(?:(\d{1,4})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,6})M)?(?:(\d{1,7})S)?)?"
)
#: No forecast interval is longer. ASSUMED
_LONGEST_H = 24.0 * 60


def parse_instant_h(text: object) -> float:
    """An ISO 8601 instant with its offset.

    Parameters
    ----------
    text : object
        ``2026-03-08T01:00:00-06:00`` or ``...Z``; years 1970 to 2199.

    Returns
    -------
    float
        Hours since 1970-01-01T00:00 UTC. [h]

    Raises
    ------
    WeatherUnusable
        No instant, or one without offset (it could be any hour).

    Examples
    --------
    >>> parse_instant_h("1970-01-02T01:00:00+01:00")
    24.0
    """
    try:
        instant = datetime.fromisoformat(text.strip()) if isinstance(text, str) else None
    except ValueError:
        instant = None
    if instant is None or not 1970 <= instant.year < 2200:
        raise WeatherUnusable(
            f"{str(text)[:40]!r} is no time", hint="write it like 2027-03-08T06:00-05:00"
        )
    if instant.tzinfo is None:
        raise WeatherUnusable(
            f"the time {str(text)[:40]!r} has no offset from UTC",
            hint="write it like 2027-03-08T06:00-05:00",
        )
    return (instant - _EPOCH) / timedelta(hours=1)


def parse_duration_h(text: str) -> float:
    """An ISO 8601 duration of weeks, days, hours, minutes and seconds.

    Parameters
    ----------
    text : str
        ``PT1H``, ``P1DT6H``; above zero, at most 60 days.

    Returns
    -------
    float
        Its length. [h]

    Raises
    ------
    WeatherUnusable
        No such duration.

    Examples
    --------
    >>> parse_duration_h("P2DT15H")
    63.0
    """
    match = _DURATION.fullmatch(text)
    weeks, days, hours, minutes, seconds = (
        (float(part) if part else 0.0 for part in match.groups()) if match else (0.0,) * 5
    )
    length_h = 168 * weeks + 24 * days + hours + minutes / 60 + seconds / 3600
    if not 0 < length_h <= _LONGEST_H:
        raise WeatherUnusable(f"{text[:40]!r} is no length of time")
    return length_h


def parse_interval_h(text: object) -> tuple[float, float]:
    """An ISO 8601 interval: start/duration, start/end or duration/end.

    Parameters
    ----------
    text : object
        ``2026-03-04T12:00:00+00:00/PT2H``.

    Returns
    -------
    start_h, end_h : float
        Hours since 1970-01-01T00:00 UTC. [h]

    Raises
    ------
    WeatherUnusable
        No such interval; also the word ``NOW``, which tells no hour once it is saved.
    """
    first, slash, second = text.partition("/") if isinstance(text, str) else ("", "", "")
    if not slash:
        raise WeatherUnusable(f"{str(text)[:60]!r} is no span of time")
    if second.startswith("P"):
        start_h = parse_instant_h(first)
        return start_h, start_h + parse_duration_h(second)
    if first.startswith("P"):
        end_h = parse_instant_h(second)
        return end_h - parse_duration_h(first), end_h
    start_h, end_h = parse_instant_h(first), parse_instant_h(second)
    if not 0 < end_h - start_h <= _LONGEST_H:
        raise WeatherUnusable(f"{str(text)[:60]!r} is no span of time")
    return start_h, end_h


def hour_text(time_h: float) -> str:
    """An hour as people read it in a message, in UTC.

    Examples
    --------
    >>> hour_text(24.5)
    '1970-01-02 00:30 UTC'
    """
    return f"{_EPOCH + timedelta(minutes=round(time_h * 60)):%Y-%m-%d %H:%M} UTC"
