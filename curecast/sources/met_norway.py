"""MET Norway's Locationforecast: the whole world, no key, open to every trade."""

from __future__ import annotations

import math
from dataclasses import replace

from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.sources.fetched import Fetched, Remembered, remembered
from curecast.sources.http import Caller
from curecast.sources.met_norway_payload import parse_met_norway
from curecast.sources.nws_walk import decimals
from curecast.sources.patience import PATIENCE, Patience

__all__ = ["MET_NORWAY_URL", "get_met_norway"]

MET_NORWAY_URL = "https://api.met.no/weatherapi/locationforecast/2.0"
_DEPRECATED = 203


def get_met_norway(
    latitude: float,
    longitude: float,
    contact: str | None,
    *,
    now_h: float,
    elevation_m: float | None = None,
    before: Remembered | None = None,
    base_url: str = MET_NORWAY_URL,
    patience: Patience = PATIENCE,
) -> Fetched:
    """The forecast for any place.

    Parameters
    ----------
    latitude, longitude : float
        WGS84; more than four decimals are turned away, so four are sent. [degree]
    contact : str or None
        Mail or web address of the caller; the service's terms demand one.
    now_h : float
        The present, since 1970-01-01T00:00 UTC: earlier hours are dropped. [h]
    elevation_m : float or None
        Height of the site, for which the service then gives its temperatures. [m]
    before : Remembered or None
        From the last asking; the caller waits until its ``not_before_h``.
    base_url : str
        Root of the service, or of a server that stands in for it.
    patience : Patience
        Time-outs and retries.

    Returns
    -------
    Fetched
        Its forecast is None where the one that is known still holds.

    Raises
    ------
    WeatherUnavailable
        The service cannot be reached or refuses, or no contact is given.
    WeatherUnusable
        What it gave cannot be trusted.

    Notes
    -----
    Terms of service of api.met.no: identify yourself with a contact, honour Expires, send
    If-Modified-Since, four decimals, show the attribution.
    """
    if not contact:
        raise WeatherUnavailable(
            "MET Norway wants to know who asks",
            hint="give [site] contact in the job file: an e-mail or web address",
        )
    params = {"lat": decimals(latitude), "lon": decimals(longitude)}
    if elevation_m is not None:
        params["altitude"] = str(round(elevation_m))
    since = "" if before is None else before.since
    with Caller(base_url, contact, patience) as caller:
        reply = caller.get_reply("/complete", params=params, accept="application/json", since=since)
    keep = remembered(reply.headers, now_h)
    if reply.value is None:
        return Fetched(None, replace(keep, since=keep.since or since))
    forecast = parse_met_norway(reply.value, fetched_h=now_h)
    if forecast.weather.end_h + 1 <= now_h:
        raise WeatherUnusable("all hours of MET Norway's forecast lie in the past")
    flags = forecast.flags
    if reply.status == _DEPRECATED:
        flags += ("MET Norway says that this form of its forecast will end: update curecast",)
    weather = forecast.weather.from_hour(math.floor(now_h))
    return Fetched(replace(forecast, weather=weather, flags=flags), keep)
