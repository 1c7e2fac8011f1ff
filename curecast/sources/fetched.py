"""What one asking gave, and what has to be remembered of it before the next one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from email.utils import parsedate_to_datetime

from curecast.core.weather.series import Forecast

__all__ = ["Fetched", "Remembered", "remembered"]

#: A service may not keep us away longer than this. ASSUMED
_LONGEST_H = 6.0


@dataclass(frozen=True)
class Remembered:
    """How a service wants to be asked next.

    Parameters
    ----------
    not_before_h : float or None
        Its ``Expires``: not asked again before, since 1970-01-01T00:00 UTC. [h]
    since : str
        Its ``Last-Modified``, given back letter for letter.
    """

    not_before_h: float | None = None
    since: str = ""


@dataclass(frozen=True)
class Fetched:
    """A forecast, or None where the one that is known still holds; and what to remember."""

    forecast: Forecast | None
    remembered: Remembered = Remembered()


def remembered(headers: Mapping[str, str], now_h: float) -> Remembered:
    """What the headers of an answer ask for.

    Parameters
    ----------
    headers : mapping of str to str
        With lower-case names.
    now_h : float
        The present: an ``Expires`` in the past, beyond six hours or unreadable says little. [h]

    Examples
    --------
    >>> headers = {"expires": "Thu, 01 Jan 1970 02:30:00 GMT", "last-modified": "x"}
    >>> remembered(headers, 2.0)
    Remembered(not_before_h=2.5, since='x')
    """
    since = headers.get("last-modified", "")[:64]
    try:
        expires_h = parsedate_to_datetime(headers.get("expires", "")).timestamp() / 3600.0
    except (ValueError, TypeError, OverflowError):
        return Remembered(None, since)
    if expires_h <= now_h:
        return Remembered(None, since)
    return Remembered(min(expires_h, now_h + _LONGEST_H), since)
