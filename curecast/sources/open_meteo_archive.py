"""A place's mean air temperature of each month, from ten years of Open-Meteo's archive (ERA5)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from curecast.errors import WeatherUnusable
from curecast.sources.fields import quantity_si
from curecast.sources.http import Caller
from curecast.sources.open_meteo import place_params
from curecast.sources.patience import PATIENCE, Patience

__all__ = ["ARCHIVE_URL", "get_normals", "parse_normals"]

ARCHIVE_URL = "https://archive-api.open-meteo.com"
CUSTOMER_ARCHIVE_URL = "https://customer-archive-api.open-meteo.com"
_VARIABLE = "temperature_2m_mean"
_YEARS, _MONTHS = 10, 12
#: Days of a month, over all years, that a mean needs; and what a day's mean may be. ASSUMED
_FEWEST_DAYS, _LOW_C, _HIGH_C = 140, -60.0, 45.0
_WHAT = "the archive of Open-Meteo"


def get_normals(
    latitude: float,
    longitude: float,
    contact: str | None,
    *,
    year: int,
    elevation_m: float | None = None,
    key: str = "",
    base_url: str = "",
    patience: Patience = PATIENCE,
) -> tuple[float, ...]:
    """Means of the twelve months over the ten whole years before one.

    Parameters
    ----------
    latitude, longitude : float
        WGS84. [degree]
    contact : str or None
        Mail or web address of the caller.
    year : int
        The present one, which is not whole yet.
    elevation_m : float or None
        Height of the site, for which the service then gives its temperatures. [m]
    key : str
        A customer's key; it stands in no message.
    base_url : str
        Root of the service; empty takes the free or the customers' one.
    patience : Patience
        Time-outs and retries.

    Returns
    -------
    tuple of float
        January first. [°C]

    Raises
    ------
    WeatherUnavailable
        The service cannot be reached or refuses.
    WeatherUnusable
        What it gave cannot be trusted.
    """
    params = place_params(latitude, longitude, elevation_m, key) | {
        "start_date": f"{year - _YEARS}-01-01",
        "end_date": f"{year - 1}-12-31",
        "daily": _VARIABLE,
        "timezone": "GMT",
    }
    root = base_url or (CUSTOMER_ARCHIVE_URL if key else ARCHIVE_URL)
    with Caller(root, contact, patience) as caller:
        return parse_normals(
            caller.get_json("/v1/archive", params=params, accept="application/json")
        )


def parse_normals(answer: Mapping[str, Any]) -> tuple[float, ...]:
    """Means of the twelve months from daily means.

    Parameters
    ----------
    answer : mapping
        With ``daily`` and ``daily_units``.

    Returns
    -------
    tuple of float
        January first. [°C]

    Raises
    ------
    WeatherUnusable
        Another payload, an unknown unit, days that no weather has, or too few of them.
    """
    daily, units = answer.get("daily"), answer.get("daily_units")
    if not isinstance(daily, dict) or not isinstance(units, dict):
        raise WeatherUnusable(f"{_WHAT} gave no days with units")
    days, values = daily.get("time"), daily.get(_VARIABLE)
    if not isinstance(days, list) or not isinstance(values, list) or len(days) != len(values):
        raise WeatherUnusable(f"{_WHAT} gave no list of days with their means")
    unit = units.get(_VARIABLE)
    months: list[list[float]] = [[] for _ in range(_MONTHS)]
    for day, value in zip(days, values, strict=True):
        try:
            mean_c = quantity_si(value, "temperature", _VARIABLE, unit)
            month = int(str(day)[5:7])
        except ValueError:
            continue
        if mean_c is None or not 1 <= month <= _MONTHS:
            continue
        if not _LOW_C <= mean_c <= _HIGH_C:
            raise WeatherUnusable(f"{_WHAT} gave a day of {mean_c:.5g} °C, which no weather has")
        months[month - 1].append(mean_c)
    if min(len(known) for known in months) < _FEWEST_DAYS:
        raise WeatherUnusable(f"{_WHAT} gave too few days to make means of months")
    return tuple(round(float(np.mean(known)), 2) for known in months)
