"""Weather of all members: the forecast without error, and seeded ways it may turn out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.weather.doubt import air_error_c
from curecast.core.weather.series import HourlyWeather

Array = NDArray[np.float64]

#: RH, cloud and wind where the source is silent; the wind ASSUMED. [-, -, m/s]
_RH, _CLOUD, _WIND_MS = 0.75, 0.5, 3.0
#: Doubt of wind (log) and cloud, once a member and day (ASSUMED). [-]
_WIND_LOG_SD, _CLOUD_EITHER_WAY = 0.3, 0.2


@dataclass(frozen=True)
class Members:
    """Weather of all members at whole hours; the first is the forecast without error.

    Parameters
    ----------
    start_h : int
        First hour, counted from 1970-01-01T00:00 UTC. [h]
    air_c, dew_point_c : ndarray, shape (hour, member)
        Air and dew point. [°C]
    wind_ms : ndarray, shape (hour, member)
        Wind at 10 m. [m/s]
    cloud : ndarray, shape (hour, member)
        Cloud cover, 0..1. [-]
    """

    start_h: int
    air_c: Array
    dew_point_c: Array
    wind_ms: Array
    cloud: Array

    @property
    def end_h(self) -> int:
        """Last hour, from 1970-01-01T00:00 UTC. [h]"""
        return self.start_h + len(self.air_c) - 1


def dew_point_of(vapour_kpa: Array) -> Array:
    """Dew point that belongs to a vapour pressure.

    Parameters
    ----------
    vapour_kpa : ndarray, any shape
        Vapour pressure, above 0. [kPa]

    Returns
    -------
    ndarray, same shape
        Dew point over water: the inverse of ``saturation_kpa``. [°C]

    Examples
    --------
    >>> round(float(dew_point_of(saturation_kpa(-7.0))), 9)
    -7.0
    """
    log = np.log(vapour_kpa / 0.6108)
    return np.asarray(237.3 * log / (17.27 - log))


def members(
    weather: HourlyWeather,
    lead_d: Array,
    *,
    count: int,
    seed: int,
    latitude: float | None,
    climate_scale: float = 1.0,
    error_scale: float = 1.0,
) -> Members:
    """The weather and ``count`` seeded ways in which it may turn out.

    Parameters
    ----------
    weather : HourlyWeather
        Joined weather. [various]
    lead_d : ndarray, shape (hour,)
        Lead-day number of each forecast hour. [d]
    count : int
        Members besides the one without error. [-]
    seed : int
        Not negative; the same seed gives the same members. [-]
    latitude : float or None
        Of the site. [deg]
    climate_scale : float
        Factor on the spread of climate. [-]
    error_scale : float
        Factor on the forecast's standard error. [-]

    Returns
    -------
    Members
        Shape (hour, 1 + count); column 0 has no error. The relative humidity of an hour is
        the same in all. [various]
    """
    dew = np.where(
        np.isfinite(weather.dew_point_c),
        np.minimum(weather.dew_point_c, weather.air_c),
        dew_point_of(_RH * saturation_kpa(weather.air_c)),
    )
    rh = saturation_kpa(dew) / saturation_kpa(weather.air_c)
    air = np.repeat(weather.air_c[:, None], 1 + count, axis=1)
    wind = np.repeat(_filled(weather.wind_ms, _WIND_MS)[:, None], 1 + count, axis=1)
    cloud = np.repeat(_filled(weather.cloud, _CLOUD)[:, None], 1 + count, axis=1)
    if count:
        air[:, 1:] += air_error_c(
            weather, lead_d, count, seed, latitude, climate_scale, error_scale
        )
        day = (weather.start_h + np.arange(len(weather))) // 24 - weather.start_h // 24
        shape = (int(day[-1]) + 1, count)
        gusts = np.random.default_rng([seed, 5]).standard_normal(shape)
        haze = np.random.default_rng([seed, 6]).uniform(-1.0, 1.0, shape)
        wind[:, 1:] *= np.exp(_WIND_LOG_SD * gusts)[day]
        cloud[:, 1:] += (_CLOUD_EITHER_WAY * haze)[day]
    dews = dew_point_of(rh[:, None] * saturation_kpa(air))
    dews[:, 0] = dew
    return Members(weather.start_h, air, dews, wind, np.clip(cloud, 0.0, 1.0))


def _filled(values: Array, stand_in: float) -> Array:
    return np.where(np.isfinite(values), values, stand_in)


def site_air_c(air_c: Array, offset_k: float | Array, swing: float | Array) -> Array:
    """Air at the site from the air of the forecast.

    Parameters
    ----------
    air_c : ndarray, shape (hour, ...)
        Air of the forecast at whole hours. [°C]
    offset_k : float or ndarray, shape (...)
        What the site is warmer by. [K]
    swing : float or ndarray, shape (...)
        Factor on the daily swing about the centred 24 h mean. [-]

    Returns
    -------
    ndarray, shape (hour, ...)
        m + swing (T - m) + offset, m the centred 24 h mean; the first and the last value
        stand in beyond the ends. [°C]
    """
    if np.all(np.asarray(swing) == 1.0):
        return np.asarray(air_c + offset_k)
    before, after = np.repeat(air_c[:1], 12, axis=0), np.repeat(air_c[-1:], 12, axis=0)
    total = np.cumsum(np.concatenate([np.zeros_like(air_c[:1]), before, air_c, after]), axis=0)
    inner = total[24:] - total[:-24]  # sums of 24 neighbours
    mean = 0.5 * (inner[:-1] + inner[1:]) / 24.0
    return np.asarray(mean + swing * (air_c - mean) + offset_k)
