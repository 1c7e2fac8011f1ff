"""Weather after the forecast ends: the mean day of what is known, and the turn of the year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.weather.series import SPANS, HourlyWeather

Array = NDArray[np.float64]

#: How fast the last forecast's anomaly is forgotten: fits 15 observed continental winters. [h]
FORGETTING_H = 67.0
#: Half the yearly swing of the mean, per degree of latitude, at most 14 K (ASSUMED). [K]
_SWING_K_PER_DEG = 0.27
_SWING_MOST_K = 14.0
#: Coldest day of a northern year, counted from 1 January (common knowledge). [d]
_COLDEST_DAY = 20.0
#: Latitude that stands in when the place is unknown (ASSUMED). [deg]
_STAND_IN_LATITUDE = 45.0
#: Mean over the year of a latitude, sea and land together: 14.97 - 28.0 P2(sin latitude)
#: (North 1975, from memory). [°C]
_YEAR_C, _YEAR_P2_C = 14.97, 28.0
#: Of what a week stands above that season this share is taken for chance, at most so much: the
#: cool side is the safe one for dates (ASSUMED). [-, K]
_CHANCE_SHARE, _CHANCE_MOST_K = 0.3, 3.0
#: Warmest normal month at 35 degrees, and how it falls polewards; 28 °C at most (ASSUMED, from
#: means of towns in North America and Europe, on their cool side). [°C, K/deg]
_WARMEST_35_C, _WARMEST_K_PER_DEG, _WARMEST_MOST_C = 26.0, 0.45, 28.0
#: Hours at the end of what is known that make the mean day. [h]
_KNOWN_H = 240
#: Where the source is silent (ASSUMED): air over dew point, wind, cloud. [K, m/s, -]
_DEPRESSION_K, _WIND_MS, _CLOUD = 4.0, 3.0, 0.5
#: Length of a year, and the middle of each month in it. [d]
_YEAR_D = 365.2425
_MID_MONTH_D = (15.5, 45.1, 74.7, 105.2, 135.7, 166.2, 196.7, 227.7, 258.2, 288.7, 319.2, 349.7)


def seasonal_k(unix_h: ArrayLike, latitude: float | None) -> Array:
    """How far the season stands above or below the yearly mean.

    Parameters
    ----------
    unix_h : array_like, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    latitude : float or None
        North positive; 45° stands in. [deg]

    Returns
    -------
    ndarray, same shape
        Deviation from the yearly mean, ASSUMED: 0.27 K per degree of latitude, 14 K at most. [K]
    """
    degrees = _STAND_IN_LATITUDE if latitude is None else latitude
    half = min(_SWING_K_PER_DEG * abs(degrees), _SWING_MOST_K)
    day = np.asarray(unix_h, dtype=float) / 24.0 % 365.2425
    turn = np.cos(2.0 * np.pi * (day - _COLDEST_DAY) / 365.2425)
    return np.asarray(-half * turn * (1.0 if degrees >= 0.0 else -1.0))


def season_c(
    unix_h: ArrayLike, mean_c: float, known_h: ArrayLike, latitude: float | None
) -> Array:
    """The normal air temperature of the season where nobody gives the months.

    Parameters
    ----------
    unix_h : array_like, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    mean_c : float
        Mean of what is known. [°C]
    known_h : array_like
        The hours that it is the mean of. [h]
    latitude : float or None
        North positive; 45° stands in. [deg]

    Returns
    -------
    ndarray, same shape
        The turn of the year through that mean, less a part of what is warm for the latitude,
        and no summer warmer than the latitude has. [°C]

    Examples
    --------
    >>> march, july = 24.0 * 70.0, 24.0 * 201.0
    >>> season_c([july], 8.0, [march], 44.0).round(1).tolist()
    [21.9]
    """
    degrees = abs(_STAND_IN_LATITUDE if latitude is None else latitude)
    turn = float(seasonal_k(known_h, latitude).mean())
    p2 = 1.5 * np.sin(np.radians(degrees)) ** 2 - 0.5
    warm_k = max(0.0, mean_c - (_YEAR_C - _YEAR_P2_C * p2 + turn))
    mean_c -= min(_CHANCE_SHARE * warm_k, _CHANCE_MOST_K)
    swing = seasonal_k(unix_h, latitude)
    plain = mean_c - turn + swing
    half = min(_SWING_K_PER_DEG * degrees, _SWING_MOST_K)
    warmest = min(_WARMEST_35_C - _WARMEST_K_PER_DEG * (degrees - 35.0), _WARMEST_MOST_C)
    if mean_c - turn + half <= warmest or half - turn < 1e-6:
        return np.asarray(plain)
    # The same present, and a smaller swing: its summer is the latitude's.
    part = max(warmest - mean_c, 0.0) / (half - turn)
    return np.asarray(np.minimum(plain, mean_c + part * (swing - turn)))


def monthly_c(unix_h: ArrayLike, normals_c: Sequence[float]) -> Array:
    """The normal air temperature of the season, from the means of twelve months.

    Parameters
    ----------
    unix_h : array_like, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    normals_c : sequence of float, 12
        Means of the months, January first. [°C]

    Returns
    -------
    ndarray, same shape
        Straight from the middle of a month to the middle of the next. [°C]

    Examples
    --------
    >>> months = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 10.0, 8.0, 6.0, 4.0, 2.0]
    >>> monthly_c([24.0 * 15.5, 24.0 * 15.5 + 24.0 * 365.2425], months).round(6).tolist()
    [0.0, 0.0]
    """
    days = np.asarray(unix_h, dtype=float) / 24.0 % _YEAR_D
    return np.asarray(np.interp(days, _MID_MONTH_D, normals_c, period=_YEAR_D))


def extended(
    weather: HourlyWeather,
    until_h: int,
    latitude: float | None,
    normal_c: float | None = None,
    *,
    normals_c: Sequence[float] = (),
) -> HourlyWeather:
    """The same weather, carried on by climatology to ``until_h``, without a step.

    Parameters
    ----------
    weather : HourlyWeather
        What is known. [various]
    until_h : int
        Last hour wanted, from 1970-01-01T00:00 UTC. [h]
    latitude : float or None
        Of the site. [deg]
    normal_c : float or None
        Normal mean of the season where the site's own is known; else the mean of what is
        known stands in. [°C]
    normals_c : sequence of float
        The site's means of twelve months, January first; empty: the season's mean, moved by
        the turn of the year, stands in. [°C]

    Returns
    -------
    HourlyWeather
        Known hours untouched; after them the mean day, moved by the season, and the last
        anomaly that fades within 67 h. [various]
    """
    missing = until_h - weather.end_h
    if missing <= 0:
        return weather
    ahead = np.arange(weather.end_h + 1, until_h + 1)
    fading = np.exp(-(ahead - weather.end_h) / FORGETTING_H)
    air = _air_ahead_c(weather, ahead, fading, latitude, normal_c, normals_c)
    depression = _fading_to_mean(weather.air_c - weather.dew_point_c, fading, _DEPRESSION_K)
    silent = np.full(missing, np.nan)
    span = np.full(missing, SPANS.index("climatology"), dtype=np.int8)

    def carried(known: Array, more: Array) -> Array:
        return np.concatenate([known, more])

    return replace(
        weather,
        air_c=carried(weather.air_c, air),
        dew_point_c=carried(weather.dew_point_c, air - depression),
        wind_ms=carried(weather.wind_ms, _fading_to_mean(weather.wind_ms, fading, _WIND_MS)),
        cloud=carried(weather.cloud, _fading_to_mean(weather.cloud, fading, _CLOUD)),
        rain_mm=carried(weather.rain_mm, silent),
        chance_rain=carried(weather.chance_rain, silent),
        span=np.concatenate([weather.span, span]),
    )


def _air_ahead_c(
    weather: HourlyWeather,
    ahead: NDArray[np.int64],
    fading: Array,
    latitude: float | None,
    normal_c: float | None,
    normals_c: Sequence[float],
) -> Array:
    """Mean day and season, and what is left of the last known hour's anomaly."""
    hours = np.arange(weather.start_h, weather.end_h + 1)[-_KNOWN_H:]
    day = _mean_day(weather.air_c[-_KNOWN_H:], hours)
    mean_c = float(day.mean())
    turn = seasonal_k(hours, latitude).mean()

    def normal(at: NDArray[np.int64]) -> Array:
        if len(normals_c) == len(_MID_MONTH_D):
            return np.asarray(day[at % 24] - mean_c + monthly_c(at, normals_c))
        if normal_c is not None:
            return np.asarray(day[at % 24] - mean_c + normal_c - turn + seasonal_k(at, latitude))
        return np.asarray(day[at % 24] - mean_c + season_c(at, mean_c, hours, latitude))

    anomaly = weather.air_c[-1] - normal(hours[-1:])
    return np.asarray(normal(ahead) + anomaly * fading)


def _mean_day(values: Array, hours: NDArray[np.int64]) -> Array:
    """Mean by hour of the UTC day over whole days from the end, smoothed over three hours."""
    whole = len(values) // 24 * 24
    if whole < 24:
        return np.full(24, float(np.mean(values)))
    day = np.empty(24)
    day[hours[-whole:][:24] % 24] = values[-whole:].reshape(-1, 24).mean(axis=0)
    return np.asarray((np.roll(day, 1) + day + np.roll(day, -1)) / 3.0)


def _fading_to_mean(values: Array, fading: Array, stand_in: float) -> Array:
    """From the last known value to the mean of all."""
    known = values[np.isfinite(values)]
    if not len(known):
        return np.full(len(fading), stand_in)
    return np.asarray(known.mean() + (known[-1] - known.mean()) * fading)
