"""MET Norway's Locationforecast (compact or complete) as a forecast: hours, then six-hour steps."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.sources.coarse import COARSE_H, fill_coarse_end
from curecast.sources.fields import find_instant_h, properties_of, quantity_si
from curecast.sources.hours import whole_hours
from curecast.sources.humidity import add_dew_points, check_humidity
from curecast.sources.instants import hour_text
from curecast.sources.samples import Samples, new_columns

__all__ = ["MET_NORWAY_CREDIT", "MET_NORWAY_SOURCE", "parse_met_norway"]

MET_NORWAY_SOURCE = "MET Norway, Locationforecast"
#: The service's own wording (its terms of use; data under NLOD 2.0 and CC BY 4.0).
MET_NORWAY_CREDIT = "Data from MET Norway (CC BY 4.0)"

#: Column of the weather: (name in the details, quantity).
_INSTANT = {
    "air_c": ("air_temperature", "temperature"),
    "dew_point_c": ("dew_point_temperature", "temperature"),
    "rh": ("relative_humidity", "ratio"),
    "wind_ms": ("wind_speed", "speed"),
    "cloud": ("cloud_area_fraction", "ratio"),
}
#: Spans that follow a step, longest first, with their length. [h]
_SPANS = (("next_6_hours", 6), ("next_1_hours", 1))
_WHAT = "the forecast of MET Norway"


def parse_met_norway(payload: object, *, fetched_h: float | None = None) -> Forecast:
    """A Locationforecast: a Feature whose ``properties.timeseries`` are steps.

    Parameters
    ----------
    payload : object
        The decoded answer of ``/locationforecast/2.0/compact`` or ``.../complete``.
    fetched_h : float or None
        When it was fetched, since 1970-01-01T00:00 UTC; None takes the time of its update. [h]

    Returns
    -------
    Forecast
        Whole hours to the last step; the six-hourly end is filled in and flagged.

    Raises
    ------
    WeatherUnusable
        Another payload, no steps, unknown units, gaps or values that no weather has.
    """
    properties = properties_of(payload, _WHAT)
    meta = properties.get("meta")
    units = meta.get("units") if isinstance(meta, dict) else None
    steps = properties.get("timeseries")
    if not isinstance(steps, list) or not isinstance(units, dict):
        raise WeatherUnusable(f"{_WHAT} has no list of times with units")
    if not steps:
        raise WeatherUnusable(f"{_WHAT} is empty: it holds no times", hint="try again in a while")
    columns, humidity = new_columns(), Samples()
    times_h = []
    for step in steps:
        time_h = _read_step(step, units, columns | {"rh": humidity})
        if time_h is not None:
            times_h.append(time_h)
    _read_spans(steps, units, _lengths(times_h), columns)
    check_humidity(columns, humidity, _WHAT)
    add_dew_points(columns, humidity)
    filled = fill_coarse_end(columns)
    weather, flags = whole_hours(columns, _WHAT)
    issued_h = find_instant_h(meta.get("updated_at")) if isinstance(meta, dict) else None
    if issued_h is None:
        issued_h = float(weather.start_h)
        flags += (f"it does not say when it was issued: {hour_text(issued_h)} is taken",)
    return Forecast(
        MET_NORWAY_SOURCE,
        issued_h,
        issued_h if fetched_h is None else fetched_h,
        weather,
        _height_m(payload),
        None,
        flags + filled,
        (MET_NORWAY_CREDIT,),
    )


def _details(step: object, span: str) -> Mapping[str, Any] | None:
    data = step.get("data") if isinstance(step, dict) else None
    inner = data.get(span) if isinstance(data, dict) else None
    details = inner.get("details") if isinstance(inner, dict) else None
    return details if isinstance(details, dict) else None


def _read_step(
    step: object, units: Mapping[str, Any], columns: Mapping[str, Samples]
) -> float | None:
    """One step's values that stand at its instant; the instant, or None where it has none."""
    time_h = find_instant_h(step.get("time")) if isinstance(step, dict) else None
    details = _details(step, "instant")
    if time_h is None or details is None:
        columns["air_c"].spoil(math.nan if time_h is None else time_h, "a step without its values")
        return None
    for name, (key, quantity) in _INSTANT.items():
        _add(columns[name], [time_h], _Value(details, key, quantity, units))
    return time_h


def _lengths(times_h: list[float]) -> dict[float, float]:
    """How long each step lasts; the last one for six hours at most. [h]"""
    order = sorted(set(times_h))
    return {a: b - a for a, b in pairwise(order)} | ({order[-1]: COARSE_H} if order else {})


def _read_spans(
    steps: list[Any],
    units: Mapping[str, Any],
    lengths: Mapping[float, float],
    columns: Mapping[str, Samples],
) -> None:
    """Rain, shared out by hours, and its chance: what a step says of the hours after it."""
    for step in steps:
        time_h = find_instant_h(step.get("time")) if isinstance(step, dict) else None
        if time_h is None or time_h not in lengths:
            continue
        for span, hours in _SPANS:
            details = _details(step, span)
            if details is None or hours > lengths[time_h] + 1e-6:
                continue
            at = [time_h + hour for hour in range(hours)]
            rain = _Value(details, "precipitation_amount", "rain", units)
            chance = _Value(details, "probability_of_precipitation", "ratio", units)
            _add(columns["rain_mm"], at, rain, 1.0 / hours)
            _add(columns["chance_rain"], at, chance)
            break


class _Value(NamedTuple):
    """Where a value stands, what it measures, and the units of its payload."""

    details: Mapping[str, Any]
    key: str
    quantity: str
    units: Mapping[str, Any]


def _add(samples: Samples, at_h: list[float], value: _Value, share: float = 1.0) -> None:
    """Take one value, or its share, for each of some hours."""
    details, key, quantity, units = value
    try:
        said = quantity_si(details.get(key), quantity, key, units.get(key))
    except ValueError as error:
        samples.spoil(at_h[0], str(error))
        return
    for time_h in at_h:
        samples.add(time_h, None if said is None else share * said)


def _height_m(payload: object) -> float | None:
    """Height that the temperatures are for: third coordinate of the point. [m]"""
    geometry = payload.get("geometry") if isinstance(payload, dict) else None
    place = geometry.get("coordinates") if isinstance(geometry, dict) else None
    if not isinstance(place, list) or len(place) < 3:
        return None
    height = place[2]
    if isinstance(height, bool) or not isinstance(height, int | float) or not abs(height) < 9000:
        return None
    return float(height)
