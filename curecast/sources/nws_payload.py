"""The forecast service's two payloads, hourly periods and raw grid, as forecasts.

Old and new shapes are read alike; unknown fields are ignored; units come from the payload.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.sources.fields import as_forecast, find_instant_h, properties_of, quantity_si, take
from curecast.sources.hours import whole_hours
from curecast.sources.humidity import add_dew_points, check_humidity
from curecast.sources.instants import parse_instant_h, parse_interval_h
from curecast.sources.merge import merge
from curecast.sources.samples import Samples, new_columns
from curecast.sources.units import wind_text_ms

__all__ = ["GRID_SOURCE", "HOURLY_SOURCE", "merge", "parse_grid", "parse_hourly"]

HOURLY_SOURCE = "National Weather Service, hourly forecast"
GRID_SOURCE = "National Weather Service, grid forecast"

#: Column of the weather: (layer of the grid, its quantity).
_LAYERS = {
    "air_c": ("temperature", "temperature"),
    "dew_point_c": ("dewpoint", "temperature"),
    "wind_ms": ("windSpeed", "speed"),
    "cloud": ("skyCover", "ratio"),
    "rain_mm": ("quantitativePrecipitation", "rain"),
    "chance_rain": ("probabilityOfPrecipitation", "ratio"),
}
#: No layer reaches further; more is not a forecast of this service. ASSUMED
_MOST_HOURS = 24 * 60


def parse_hourly(payload: object, *, fetched_h: float | None = None) -> Forecast:
    """The hourly forecast: a Feature whose ``properties.periods`` are hours.

    Parameters
    ----------
    payload : object
        The decoded answer of ``.../forecast/hourly``.
    fetched_h : float or None
        When it was fetched, since 1970-01-01T00:00 UTC; None takes the payload's own time. [h]

    Returns
    -------
    Forecast
        Every period, also those that have passed; cloud and rain are not known here.

    Raises
    ------
    WeatherUnusable
        Another payload, no periods, unknown units, gaps or values that no weather has.
    """
    what = "the hourly forecast"
    properties = properties_of(payload, what)
    periods = properties.get("periods")
    if not isinstance(periods, list):
        raise WeatherUnusable(f"{what} has no list of periods")
    if not periods:
        raise WeatherUnusable(
            f"{what} is empty: its list of periods holds nothing", hint="try again in a while"
        )
    _refuse_half_days(periods, what)
    columns, humidity = new_columns(), Samples()
    for period in periods:
        _read_period(period, columns | {"rh": humidity})
    check_humidity(columns, humidity, what)
    add_dew_points(columns, humidity)
    weather, flags = whole_hours(columns, what)
    return as_forecast(HOURLY_SOURCE, properties, weather, flags, fetched_h)


def parse_grid(payload: object, *, fetched_h: float | None = None) -> Forecast:
    """The raw grid: a Feature whose ``properties`` hold layers of values over spans of time.

    Parameters
    ----------
    payload : object
        The decoded answer of ``/gridpoints/{office}/{x},{y}``.
    fetched_h : float or None
        When it was fetched, since 1970-01-01T00:00 UTC; None takes the payload's own time. [h]

    Returns
    -------
    Forecast
        All hours of the temperature layer; other columns are NaN where their layer ends early.

    Raises
    ------
    WeatherUnusable
        Another payload, no temperature, unknown units, gaps or values that no weather has.
    """
    what = "the grid forecast"
    properties = properties_of(payload, what)
    if not isinstance(properties.get("temperature"), dict):
        raise WeatherUnusable(f"{what} has no layer of temperature")
    columns = new_columns()
    for name, (layer, quantity) in _LAYERS.items():
        _read_layer(properties.get(layer), layer, quantity, columns[name])
    humidity = Samples()
    _read_layer(properties.get("relativeHumidity"), "relativeHumidity", "ratio", humidity)
    check_humidity(columns, humidity, what)
    add_dew_points(columns, humidity)
    weather, flags = whole_hours(columns, what)
    return as_forecast(GRID_SOURCE, properties, weather, flags, fetched_h)


def _refuse_half_days(periods: list[Any], what: str) -> None:
    """The 12-hour forecast has periods too; its temperatures are highs and lows."""
    long = 0
    for period in periods:
        if isinstance(period, dict):
            start_h, end_h = (find_instant_h(period.get(key)) for key in ("startTime", "endTime"))
            long += start_h is not None and end_h is not None and end_h - start_h > 4.0
    if 2 * long > len(periods):
        raise WeatherUnusable(
            f"{what} holds periods of half a day: it is the 12-hour forecast",
            hint="save the answer of .../forecast/hourly instead",
        )


def _read_period(period: object, columns: Mapping[str, Samples]) -> None:
    if not isinstance(period, dict):
        columns["air_c"].spoil(math.nan, "a period is no object")
        return
    try:
        time_h = parse_instant_h(period.get("startTime"))
    except WeatherUnusable as error:
        columns["air_c"].spoil(math.nan, f"a period's {error.message}")
        return
    unit = period.get("temperatureUnit")
    readers: dict[str, Callable[[], float | None]] = {
        "air_c": lambda: quantity_si(period.get("temperature"), "temperature", "temperature", unit),
        "dew_point_c": lambda: quantity_si(period.get("dewpoint"), "temperature", "dewpoint"),
        "rh": lambda: quantity_si(period.get("relativeHumidity"), "ratio", "relativeHumidity"),
        "wind_ms": lambda: _period_wind_ms(period.get("windSpeed")),
        "chance_rain": lambda: quantity_si(
            period.get("probabilityOfPrecipitation"), "ratio", "probabilityOfPrecipitation"
        ),
    }
    for name, read in readers.items():
        take(columns[name], time_h, read)


def _period_wind_ms(value: object) -> float | None:
    if isinstance(value, str):
        return wind_text_ms(value)
    return quantity_si(value, "speed", "windSpeed")


def _read_layer(layer: object, name: str, quantity: str, samples: Samples) -> None:
    """One layer of the grid into samples at whole hours; totals are shared out by hours."""
    if layer is None:
        return
    values = layer.get("values") if isinstance(layer, dict) else None
    if not isinstance(layer, dict) or not isinstance(values, list):
        raise WeatherUnusable(f"the grid's layer {name} has no list of values")
    for item in values:
        if not isinstance(item, dict):
            samples.spoil(math.nan, f"an entry of {name} is no object")
            continue
        try:
            start_h, end_h = parse_interval_h(item.get("validTime"))
        except WeatherUnusable as error:
            samples.spoil(math.nan, error.message)
            continue
        try:
            value = quantity_si(item.get("value"), quantity, name, layer.get("uom"))
        except ValueError as error:
            samples.spoil(start_h, str(error))
            continue
        if quantity == "rain":
            _share_out(start_h, end_h, value, samples)
        else:
            for hour in range(math.ceil(start_h), math.ceil(end_h)):
                samples.add(float(hour), value)
        if len(samples.times_h) > _MOST_HOURS:
            raise WeatherUnusable(f"the grid's layer {name} holds more than 60 days of hours")


def _share_out(start_h: float, end_h: float, total: float | None, samples: Samples) -> None:
    """A total over a span of time, in equal shares for its hours."""
    for hour in range(math.floor(start_h), math.ceil(end_h)):
        part = (min(end_h, hour + 1) - max(start_h, hour)) / (end_h - start_h)
        samples.add(float(hour), None if total is None else total * part)
