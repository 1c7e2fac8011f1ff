"""One forecast from the hourly and the grid payload of the same place."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnusable

__all__ = ["MERGED_SOURCE", "mean_difference_k", "merge"]

Array = NDArray[np.float64]

MERGED_SOURCE = "National Weather Service, hourly and grid forecast"
#: Two answers issued further apart are not the same forecast. ASSUMED
_APART_H = 6.0
#: Mean difference of air temperature beyond rounding to whole degrees Fahrenheit, and one
#: that no rounding or new issue explains: a unit or a value is wrong. ASSUMED
_DISAGREE_K, _CONTRADICT_K = 2.0, 6.0
_OPTIONAL = ("dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain")


def merge(hourly: Forecast | None, grid: Forecast | None) -> Forecast:
    """Hourly values where they are known; the grid fills columns and the longer tail.

    Parameters
    ----------
    hourly, grid : Forecast or None
        At least one; joined by UTC hour.

    Returns
    -------
    Forecast
        From the hourly forecast's first hour to the later of both ends. Its issue time is
        the older one of the two.

    Raises
    ------
    WeatherUnusable
        Both are None, or they contradict each other.
    """
    if hourly is None or grid is None:
        only = hourly or grid
        if only is None:
            raise WeatherUnusable("neither an hourly nor a grid forecast is at hand")
        return only
    first, second = hourly.weather, grid.weather
    flags = hourly.flags + tuple(flag for flag in grid.flags if flag not in hourly.flags)
    flags += _contradictions(hourly, grid)
    joins = second.start_h <= first.end_h + 1
    if not joins:
        flags += ("the grid forecast begins after the hourly one ends: its hours are left out",)
    end_h = max(first.end_h, second.end_h) if joins else first.end_h
    n = end_h - first.start_h + 1
    columns = {}
    for name in ("air_c", *_OPTIONAL):
        mine = _placed(getattr(first, name), 0, n)
        other = _placed(getattr(second, name), second.start_h - first.start_h, n)
        columns[name] = np.where(np.isfinite(mine), mine, other)
    columns["dew_point_c"] = np.minimum(columns["dew_point_c"], columns["air_c"])
    span = np.full(n, first.span[0], dtype=np.int8)
    return replace(
        hourly,
        source=MERGED_SOURCE,
        issued_h=min(hourly.issued_h, grid.issued_h),
        fetched_h=min(hourly.fetched_h, grid.fetched_h),
        weather=HourlyWeather(start_h=first.start_h, span=span, **columns),
        elevation_m=grid.elevation_m if hourly.elevation_m is None else hourly.elevation_m,
        zone=hourly.zone or grid.zone,
        flags=flags,
    )


def _placed(values: Array, offset: int, n: int) -> Array:
    """``values`` from index ``offset`` on in a row of ``n``; NaN elsewhere."""
    row = np.full(n, np.nan)
    low, high = max(0, offset), min(n, offset + len(values))
    if low < high:
        row[low:high] = values[low - offset : high - offset]
    return row


def _contradictions(hourly: Forecast, grid: Forecast) -> tuple[str, ...]:
    flags: tuple[str, ...] = ()
    apart_h = abs(hourly.issued_h - grid.issued_h)
    if apart_h > _APART_H:
        flags += (f"the hourly and the grid forecast were issued {apart_h:.0f} h apart",)
    differ_k = mean_difference_k(hourly.weather, grid.weather)
    if differ_k > _CONTRADICT_K:
        raise WeatherUnusable(
            f"the hourly and the grid forecast contradict each other by {differ_k:.0f} K on "
            "average, so neither is used",
            hint="try again later, or use another source",
        )
    if differ_k > _DISAGREE_K:
        flags += (
            f"the hourly and the grid forecast differ by {differ_k:.0f} K on average: "
            "the hourly one is used",
        )
    return flags


def mean_difference_k(one: HourlyWeather, other: HourlyWeather) -> float:
    """How far two runs of weather lie apart in the hours that both know.

    Returns
    -------
    float
        Mean of the absolute difference of the air temperature; 0 where they share no hour. [K]
    """
    start_h, end_h = max(one.start_h, other.start_h), min(one.end_h, other.end_h)
    if end_h < start_h:
        return 0.0
    pair = [w.air_c[start_h - w.start_h : end_h + 1 - w.start_h] for w in (one, other)]
    return float(np.mean(np.abs(pair[0] - pair[1])))
