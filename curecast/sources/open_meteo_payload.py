"""Open-Meteo's forecast as a forecast: parallel lists of hours, by the payload's own units."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.sources.fields import quantity_si, take
from curecast.sources.hours import whole_hours
from curecast.sources.humidity import add_dew_points, check_humidity
from curecast.sources.instants import hour_text
from curecast.sources.samples import Samples, new_columns

__all__ = ["OPEN_METEO_CREDIT", "OPEN_METEO_SOURCE", "VARIABLES", "parse_open_meteo"]

OPEN_METEO_SOURCE = "Open-Meteo"
#: The service's own wording (its licence page; data under CC BY 4.0).
OPEN_METEO_CREDIT = "Weather data by Open-Meteo.com (https://open-meteo.com, CC BY 4.0)"

#: Column of the weather: (variable, quantity, hours from its label to the hour it stands for).
#: Rain and its chance are labelled with the end of their hour (the service's documentation).
_COLUMNS = {
    "air_c": ("temperature_2m", "temperature", 0),
    "dew_point_c": ("dew_point_2m", "temperature", 0),
    "rh": ("relative_humidity_2m", "ratio", 0),
    "wind_ms": ("wind_speed_10m", "speed", 0),
    "cloud": ("cloud_cover", "ratio", 0),
    "rain_mm": ("precipitation", "rain", -1),
    "chance_rain": ("precipitation_probability", "ratio", -1),
}
VARIABLES = tuple(variable for variable, _, _ in _COLUMNS.values())
_WHAT = "the forecast of Open-Meteo"
_FARTHEST_OFFSET_S = 18 * 3600


def parse_open_meteo(
    payload: object, *, fetched_h: float | None = None, issued_h: float | None = None
) -> Forecast:
    """A forecast of Open-Meteo: an object with ``hourly`` and ``hourly_units``.

    Parameters
    ----------
    payload : object
        The decoded answer of ``/v1/forecast``.
    fetched_h, issued_h : float or None
        When it was fetched, and how old its model run may be, since 1970-01-01T00:00 UTC: the
        payload says neither. None takes its ``current`` time where it has one, else its first
        hour. [h]

    Returns
    -------
    Forecast
        Whole hours to the last known air temperature.

    Raises
    ------
    WeatherUnusable
        Another payload, lists of different lengths, unknown units, gaps or values that no
        weather has.
    """
    if not isinstance(payload, dict):
        raise WeatherUnusable(f"{_WHAT} is no object")
    hourly, units = payload.get("hourly"), payload.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict):
        raise WeatherUnusable(f"{_WHAT} has no hours with units")
    times_h = _times_h(hourly.get("time"), units.get("time"), payload.get("utc_offset_seconds"))
    columns, humidity = new_columns(), Samples()
    for name, (variable, quantity, shift_h) in _COLUMNS.items():
        values = hourly.get(variable)
        if values is None:
            continue
        if not isinstance(values, list) or len(values) != len(times_h):
            raise WeatherUnusable(f"{_WHAT}: {variable} is no list as long as its times")
        samples = humidity if name == "rh" else columns[name]
        for time_h, value in zip(times_h, values, strict=True):
            take(
                samples,
                time_h + shift_h,
                lambda v=value, q=quantity, n=variable: quantity_si(v, q, n, units.get(n)),  # type: ignore[misc]
            )
    check_humidity(columns, humidity, _WHAT)
    add_dew_points(columns, humidity)
    weather, flags = whole_hours(columns, _WHAT)
    if issued_h is None:
        issued_h = _asked_h(payload)
    if issued_h is None:
        issued_h = float(weather.start_h)
        flags += (f"it does not say when it was issued: {hour_text(issued_h)} is taken",)
    return Forecast(
        OPEN_METEO_SOURCE,
        issued_h,
        issued_h if fetched_h is None else fetched_h,
        weather,
        _height_m(payload.get("elevation")),
        None,
        flags,
        (OPEN_METEO_CREDIT,),
    )


def _asked_h(payload: Mapping[str, Any]) -> float | None:
    """When it was asked for, by the time of its ``current`` values. [h]"""
    current, units = payload.get("current"), payload.get("current_units")
    if not isinstance(current, dict) or not isinstance(units, dict):
        return None
    try:
        time, unit = current.get("time"), units.get("time")
        return _times_h([time], unit, payload.get("utc_offset_seconds"))[0]
    except WeatherUnusable:
        return None


def _times_h(labels: object, unit: object, offset_s: object) -> list[float]:
    """Instants of the labels: seconds since 1970, or local labels under one offset for all.

    The one offset also stands on both sides of a clock change, so the labels are not local
    time there: the offset alone makes them right.
    """
    if not isinstance(labels, list) or not labels:
        raise WeatherUnusable(f"{_WHAT} is empty: it holds no times", hint="try again in a while")
    if unit == "unixtime":
        return [_unix_h(label) for label in labels]
    if unit != "iso8601":
        raise WeatherUnusable(f"{_WHAT} gives its times in {str(unit)[:40]!r}, which is unknown")
    if (
        isinstance(offset_s, bool)
        or not isinstance(offset_s, int | float)
        or not abs(offset_s) <= _FARTHEST_OFFSET_S
    ):
        raise WeatherUnusable(f"{_WHAT} does not say its offset from UTC")
    return [_label_h(label) - offset_s / 3600.0 for label in labels]


def _unix_h(label: object) -> float:
    if isinstance(label, bool) or not isinstance(label, int | float) or not 0 <= label < 7.3e9:
        raise WeatherUnusable(f"{_WHAT}: {str(label)[:40]!r} is no time")
    return label / 3600.0


def _label_h(label: object) -> float:
    try:
        naive = datetime.fromisoformat(label) if isinstance(label, str) else None
    except ValueError:
        naive = None
    if naive is None or naive.tzinfo is not None or not 1970 <= naive.year < 2200:
        raise WeatherUnusable(f"{_WHAT}: {str(label)[:40]!r} is no time")
    return naive.replace(tzinfo=UTC).timestamp() / 3600.0


def _height_m(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if math.isfinite(value) and abs(value) < 9000 else None
