"""Open-Meteo: sixteen days for any place. Its free service is for non-commercial use only."""

from __future__ import annotations

import math
from dataclasses import replace

from curecast.errors import WeatherUnusable
from curecast.sources.fetched import Fetched
from curecast.sources.http import Caller
from curecast.sources.nws_walk import decimals
from curecast.sources.open_meteo_payload import VARIABLES, parse_open_meteo
from curecast.sources.patience import PATIENCE, Patience

__all__ = ["CUSTOMER_URL", "FREE_NOTE", "FREE_URL", "get_open_meteo", "place_params"]

FREE_URL = "https://api.open-meteo.com"
CUSTOMER_URL = "https://customer-api.open-meteo.com"
#: What has to be told where the free service is used.
FREE_NOTE = (
    "Open-Meteo's free service is for non-commercial use only: a trade needs its own key in "
    "CURECAST_OPEN_METEO_KEY"
)
_DAYS = 16
#: The payload does not say how old its model run is; runs are six hours apart. ASSUMED [h]
_RUN_AGE_H = 6.0


def get_open_meteo(
    latitude: float,
    longitude: float,
    contact: str | None,
    *,
    now_h: float,
    elevation_m: float | None = None,
    key: str = "",
    base_url: str = "",
    patience: Patience = PATIENCE,
) -> Fetched:
    """The forecast for any place.

    Parameters
    ----------
    latitude, longitude : float
        WGS84. [degree]
    contact : str or None
        Mail or web address of the caller.
    now_h : float
        The present, since 1970-01-01T00:00 UTC: earlier hours are dropped. [h]
    elevation_m : float or None
        Height of the site, for which the service then gives its temperatures. [m]
    key : str
        A customer's key; with it the customers' host is asked. It stands in no message.
    base_url : str
        Root of the service; empty takes the free or the customers' one.
    patience : Patience
        Time-outs and retries.

    Returns
    -------
    Fetched
        Issued six hours ago (ASSUMED): the payload does not say.

    Raises
    ------
    WeatherUnavailable
        The service cannot be reached or refuses.
    WeatherUnusable
        What it gave cannot be trusted.
    """
    params = place_params(latitude, longitude, elevation_m, key) | {
        "hourly": ",".join(VARIABLES),
        "forecast_days": str(_DAYS),
        "wind_speed_unit": "ms",
        "timezone": "GMT",
        "timeformat": "unixtime",
    }
    root = base_url or (CUSTOMER_URL if key else FREE_URL)
    with Caller(root, contact, patience) as caller:
        value = caller.get_json("/v1/forecast", params=params, accept="application/json")
    forecast = parse_open_meteo(value, fetched_h=now_h, issued_h=now_h - _RUN_AGE_H)
    if forecast.weather.end_h + 1 <= now_h:
        raise WeatherUnusable("all hours of Open-Meteo's forecast lie in the past")
    flags = forecast.flags if key else (*forecast.flags, FREE_NOTE)
    weather = forecast.weather.from_hour(math.floor(now_h))
    return Fetched(replace(forecast, weather=weather, flags=flags))


def place_params(
    latitude: float, longitude: float, elevation_m: float | None, key: str
) -> dict[str, str]:
    """What every question to the service says of the place and the one who asks."""
    params = {"latitude": decimals(latitude), "longitude": decimals(longitude)}
    if elevation_m is not None:
        params["elevation"] = str(round(elevation_m))
    if key:
        params["apikey"] = key
    return params
