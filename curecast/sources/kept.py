"""A forecast as the store keeps it: its normalised hours as compact JSON, exact both ways."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnusable

__all__ = ["dump_forecast", "load_forecast"]

_LAYOUT = 1
_COLUMNS = ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain")


def dump_forecast(forecast: Forecast) -> str:
    """A forecast as text; NaN is null.

    Parameters
    ----------
    forecast : Forecast
        From any source.

    Returns
    -------
    str
        JSON on one line; the same forecast always gives the same text.
    """
    weather = forecast.weather
    columns = {name: _numbers(getattr(weather, name).tolist()) for name in _COLUMNS}
    return json.dumps(
        {
            "layout": _LAYOUT,
            "source": forecast.source,
            "issued_h": float(forecast.issued_h),
            "fetched_h": float(forecast.fetched_h),
            "elevation_m": forecast.elevation_m,
            "zone": forecast.zone,
            "flags": list(forecast.flags),
            "credits": list(forecast.credits),
            "start_h": int(weather.start_h),
            **columns,
            "span": weather.span.tolist(),
        },
        ensure_ascii=False,
        allow_nan=False,
        separators=(",", ":"),
    )


def load_forecast(text: str) -> Forecast:
    """The forecast that ``dump_forecast`` made a text of.

    Parameters
    ----------
    text : str
        A kept text.

    Returns
    -------
    Forecast

    Raises
    ------
    WeatherUnusable
        It is no kept forecast, or one of a later layout.
    """
    try:
        said: dict[str, Any] = json.loads(text)
        if said["layout"] != _LAYOUT:
            raise WeatherUnusable(
                f"a kept forecast has the layout {said['layout']}, which this curecast cannot read",
                "Install the newer curecast again.",
            )
        columns = {name: _array(said[name]) for name in _COLUMNS}
        return Forecast(
            source=said["source"],
            issued_h=said["issued_h"],
            fetched_h=said["fetched_h"],
            weather=HourlyWeather(
                start_h=said["start_h"], **columns, span=np.array(said["span"], dtype=np.int8)
            ),
            elevation_m=said["elevation_m"],
            zone=said["zone"],
            flags=tuple(said["flags"]),
            credits=tuple(said.get("credits", ())),
        )
    except (ValueError, KeyError, TypeError, OverflowError):
        raise WeatherUnusable("a kept forecast is damaged", "Fetch a new one.") from None


def _numbers(values: list[float]) -> list[float | None]:
    return [value if math.isfinite(value) else None for value in values]


def _array(values: list[float | None]) -> np.ndarray[Any, np.dtype[np.float64]]:
    return np.array([np.nan if value is None else value for value in values], dtype=float)
