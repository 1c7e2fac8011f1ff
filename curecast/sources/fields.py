"""Fields that the services' payloads share: numbers, quantities, issue time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnusable
from curecast.sources.instants import hour_text, parse_instant_h, parse_interval_h
from curecast.sources.samples import Samples
from curecast.sources.units import si_value

__all__ = ["as_forecast", "find_instant_h", "properties_of", "quantity_si", "take"]


def properties_of(payload: object, what: str) -> Mapping[str, Any]:
    """The ``properties`` of a Feature; anything without them is refused."""
    properties = payload.get("properties") if isinstance(payload, dict) else None
    if not isinstance(properties, dict):
        raise WeatherUnusable(f"{what} has no properties: it is another kind of answer")
    return properties


def find_instant_h(text: object) -> float | None:
    """An instant in hours since 1970-01-01T00:00 UTC, or None where there is none. [h]"""
    try:
        return parse_instant_h(text)
    except WeatherUnusable:
        return None


def _number(value: object, what: str) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{what} {str(value)[:40]!r} is no number")
    if not abs(value) < 1e9:
        raise ValueError(f"{what} is beyond all reason")
    return float(value)


def quantity_si(value: object, quantity: str, what: str, unit: object = None) -> float | None:
    """A value in SI: a bare number with ``unit``, or an object that brings its own unit.

    Parameters
    ----------
    value : object
        Number, ``{"unitCode": ..., "value": ...}`` or None.
    quantity : str
        As in ``units.si_value``.
    what : str
        Name of the field, for messages.
    unit : object
        Unit code of a bare number.

    Returns
    -------
    float or None
        None where the payload says null.

    Raises
    ------
    ValueError
        No number, or no unit: this one value is bad.
    WeatherUnusable
        An unknown unit: the payload as a whole is not understood.

    Examples
    --------
    >>> quantity_si({"unitCode": "wmoUnit:degC", "value": 0}, "temperature", "dewpoint")
    0.0
    """
    if isinstance(value, dict):
        unit = value.get("unitCode")
        number = _number(value.get("value"), what)
        if number is None:
            number = _number(value.get("maxValue"), what)
    else:
        number = _number(value, what)
    if number is None:
        return None
    if unit is None:
        raise ValueError(f"{what} is given without a unit")
    return si_value(number, unit, quantity, what)


def take(samples: Samples, time_h: float, read: Callable[[], float | None]) -> None:
    """Add the value that ``read`` gives to a column, or note why it gives none."""
    try:
        samples.add(time_h, read())
    except ValueError as error:
        samples.spoil(time_h, str(error))


def as_forecast(
    source: str,
    properties: Mapping[str, Any],
    weather: HourlyWeather,
    flags: tuple[str, ...],
    fetched_h: float | None,
) -> Forecast:
    """A forecast with its issue time (updateTime, else generatedAt, else what it covers)."""
    generated_h = find_instant_h(properties.get("generatedAt"))
    issued_h = find_instant_h(properties.get("updateTime"))
    if issued_h is None:
        issued_h = generated_h
    if issued_h is None:
        try:
            issued_h = parse_interval_h(properties.get("validTimes"))[0]
        except WeatherUnusable:
            issued_h = float(weather.start_h)
        flags += (f"it does not say when it was issued: {hour_text(issued_h)} is taken",)
    if fetched_h is None:
        fetched_h = issued_h if generated_h is None else generated_h
    try:
        elevation_m = quantity_si(properties.get("elevation"), "length", "elevation")
    except (ValueError, WeatherUnusable):
        elevation_m = None
    return Forecast(source, issued_h, fetched_h, weather, elevation_m, None, flags)
