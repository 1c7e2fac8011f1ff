"""Weather after the forecast ends: the mean day of what is known, and the turn of the year."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.series import SPANS, HourlyWeather

Array = NDArray[np.float64]

#: How fast the last forecast's anomaly is forgotten: fits 15 observed continental winters. [h]
FORGETTING_H = 67.0
#: Half the yearly swing of the mean, per degree of latitude, at most 14 K (ASSUMED). [K]
_SWING_K_PER_DEG = 0.27
#: Coldest day of a northern year, counted from 1 January (common knowledge). [d]
_COLDEST_DAY = 20.0
#: Latitude that stands in when the place is unknown (ASSUMED). [deg]
_STAND_IN_LATITUDE = 45.0


def seasonal_k(unix_h: Array, latitude: float | None) -> Array:
    """How far the season stands above or below the yearly mean.

    Parameters
    ----------
    unix_h : ndarray, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    latitude : float or None
        North positive; 45° stands in. [deg]

    Returns
    -------
    ndarray, same shape
        Deviation from the yearly mean, ASSUMED: 0.27 K per degree of latitude, 14 K at most. [K]
    """
    degrees = _STAND_IN_LATITUDE if latitude is None else latitude
    half = np.clip(_SWING_K_PER_DEG * abs(degrees), 0.0, 14.0)
    day = np.asarray(unix_h, dtype=float) / 24.0 % 365.2425
    turn = np.cos(2.0 * np.pi * (day - _COLDEST_DAY) / 365.2425)
    return np.asarray(-half * turn * (1.0 if degrees >= 0.0 else -1.0))


def _mean_day(values: Array, hours: NDArray[np.int64]) -> Array:
    """Mean by hour of the UTC day over whole days from the end, smoothed over three hours."""
    whole = len(values) // 24 * 24
    if whole < 24:
        return np.full(24, float(np.mean(values)))
    tail = values[-whole:].reshape(-1, 24).mean(axis=0)
    day = np.empty(24)
    day[hours[-whole:][:24] % 24] = tail
    return np.asarray((np.roll(day, 1) + day + np.roll(day, -1)) / 3.0)


def extended(
    weather: HourlyWeather, until_h: int, latitude: float | None, normal_c: float | None = None
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

    Returns
    -------
    HourlyWeather
        Known hours untouched; after them the mean day, moved by the season, and the last
        anomaly that fades within 67 h. [various]
    """
    missing = until_h - weather.end_h
    if missing <= 0:
        return weather
    hours = np.arange(weather.start_h, weather.end_h + 1)
    ahead = np.arange(weather.end_h + 1, until_h + 1)
    tail = slice(-min(len(hours), 240), None)
    air = weather.air_c[tail]
    known = _mean_day(air, hours[tail])
    if normal_c is not None:
        known = known - known.mean() + normal_c
    middle = seasonal_k(hours[tail], latitude).mean()
    normal = known[ahead % 24] + seasonal_k(ahead, latitude) - middle
    now = known[weather.end_h % 24] + float(seasonal_k(hours[-1:], latitude)[0]) - middle
    fading = np.exp(-(ahead - weather.end_h) / FORGETTING_H)
    new_air = normal + (weather.air_c[-1] - now) * fading
    depression = weather.air_c - weather.dew_point_c
    mean_depression = _mean_known(depression, 4.0)
    return replace(
        weather,
        air_c=np.concatenate([weather.air_c, new_air]),
        dew_point_c=np.concatenate([weather.dew_point_c, new_air - mean_depression]),
        wind_ms=_carried(weather.wind_ms, missing, 3.0),
        cloud=_carried(weather.cloud, missing, 0.5),
        rain_mm=np.concatenate([weather.rain_mm, np.full(missing, np.nan)]),
        chance_rain=np.concatenate([weather.chance_rain, np.full(missing, np.nan)]),
        span=np.concatenate(
            [weather.span, np.full(missing, SPANS.index("climatology"), dtype=np.int8)]
        ),
    )


def _mean_known(values: Array, stand_in: float) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if len(known) else stand_in


def _carried(values: Array, missing: int, stand_in: float) -> Array:
    return np.concatenate([values, np.full(missing, _mean_known(values, stand_in))])
