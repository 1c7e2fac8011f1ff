"""The way into the US National Weather Service's forecasts: from a place to its addresses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import TracebackType
from typing import Any

from curecast.clock import zone_is_known
from curecast.errors import WeatherError, WeatherUnusable
from curecast.sources.http import Caller
from curecast.sources.patience import PATIENCE, Patience

__all__ = ["PUBLIC_URL", "Point", "Walk", "decimals", "get_point"]

PUBLIC_URL = "https://api.weather.gov"


@dataclass(frozen=True)
class Point:
    """What the service says about a place: addresses to ask, and the IANA time zone."""

    hourly_url: str | None
    grid_url: str | None
    stations_url: str | None
    zone: str | None


class Walk:
    """One walk for one place under one deadline. Use it in a ``with`` block.

    Parameters
    ----------
    latitude, longitude : float
        WGS84, rounded to four decimals as the service wants it. [degree]
    contact : str or None
        Mail or web address by which the service may reach the caller.
    base_url : str
        Root of the service, or of a server that stands in for it.
    patience : Patience
        Time-outs and retries; the whole walk ends within ``patience.total_s``.
    known : Point or None
        What the service said about the place before; then it is not asked again.
    """

    def __init__(
        self,
        latitude: float,
        longitude: float,
        contact: str | None,
        *,
        base_url: str = PUBLIC_URL,
        patience: Patience = PATIENCE,
        known: Point | None = None,
    ) -> None:
        self.latitude, self.longitude = latitude, longitude
        self.caller = Caller(base_url, contact, patience)
        self.known = known
        self.asked = False

    def __enter__(self) -> Walk:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.caller.__exit__(kind, error, trace)

    def point(self) -> Point:
        """What the service says about the place, asked at most once."""
        if self.known is None:
            self.known = get_point(self.caller, self.latitude, self.longitude)
            self.asked = True
        return self.known

    def point_anew(self) -> Point:
        """The same past all caches, because an address that it gave is gone."""
        try:
            self.known = get_point(self.caller, self.latitude, self.longitude, anew=True)
            self.asked = True
        except WeatherError:
            if self.known is None:
                raise
        return self.known


def get_point(caller: Caller, latitude: float, longitude: float, *, anew: bool = False) -> Point:
    """What the service says about a place.

    Parameters
    ----------
    caller : Caller
        The walk that this belongs to.
    latitude, longitude : float
        WGS84. [degree]
    anew : bool
        Ask past the caches.

    Returns
    -------
    Point
        Its addresses; None for those that it leaves out.
    """
    place = f"{decimals(latitude)},{decimals(longitude)}"
    answer = caller.get_json(f"/points/{place}", anew=anew)
    properties = answer.get("properties")
    if not isinstance(properties, dict):
        raise WeatherUnusable(f"what {caller.host} says about the place {place} has no properties")
    zone = _text(properties, "timeZone")
    return Point(
        hourly_url=_text(properties, "forecastHourly"),
        grid_url=_text(properties, "forecastGridData"),
        stations_url=_text(properties, "observationStations"),
        zone=zone if zone is not None and zone_is_known(zone) else None,
    )


def decimals(degrees: float) -> str:
    """An angle with four decimals at most: more are turned away.

    >>> decimals(-92.10), decimals(45.123456)
    ('-92.1', '45.1235')
    """
    return f"{degrees:.4f}".rstrip("0").rstrip(".")


def _text(properties: Mapping[str, Any], key: str) -> str | None:
    value = properties.get(key)
    return value if isinstance(value, str) and value else None
