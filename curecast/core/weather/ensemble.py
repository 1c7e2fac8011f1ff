"""How sure the weather is: seeded members around the forecast, and after it.

The error of an hourly forecast is a sum of three: what lasts for days (B), what has the
rhythm of a day (c1, c2) and what lasts for hours (A). It reproduces the growth measured on
424 hours of forecast and observation at one place (Omaha, autumn 2019); a place's own kept
forecasts should replace it. After the forecast the doubt turns into that of the season.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.weather.climate import FORGETTING_H
from curecast.core.weather.series import SPANS, HourlyWeather

Array = NDArray[np.float64]

#: Standard error at the middle of lead days 1..7 (measured). [°C]
SIGMA_C = (1.80, 2.05, 2.05, 2.25, 2.75, 3.10, 3.40)
#: Growth after lead day 7, and where it ends (ASSUMED). [°C/d, °C]
_GROWTH_C_PER_D = 0.35
_LARGEST_C = 6.0
#: Share of variance with the rhythm of a day (fitted to the same pairs).
_DAILY_SHARE = 0.20
#: Winter factor, December to February (ASSUMED); June to August south of the equator.
_WINTER = 1.3
#: Correlation from hour to hour, and how long the slow part lasts (fitted).
_HOURLY = 0.857
_SLOW_H = 138.0
#: Spread of climate about its normal by season DJF, MAM, JJA, SON (15 observed winters). [°C]
CLIMATE_SD_C = (5.7, 5.0, 3.0, 4.1)
_CLIMATE_CONSTANT_C = 1.5
_CLIMATE_HOURLY_C = 1.5
#: A station near by against the site, once its offset is gone (ASSUMED). [°C]
_OBSERVED_C = 0.7
#: RH, cloud and wind where the source is silent. The first two after the model's page.
_RH, _CLOUD, _WIND_MS = 0.75, 0.5, 3.0


@dataclass(frozen=True)
class Members:
    """Weather of all members at whole hours; member 0 is the forecast without error.

    ``air_c``, ``dew_point_c``, ``wind_ms`` and ``cloud`` have shape (hour, member).
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


def forecast_sigma_c(lead_d: Array, winter: Array) -> Array:
    """Standard error of an hourly forecast.

    Parameters
    ----------
    lead_d : ndarray, any shape
        Lead-day number: days elapsed since the issue plus 0.5. [d]
    winter : ndarray of bool, same shape
        Whether the hour lies in winter. [-]

    Returns
    -------
    ndarray, same shape
        Standard error. [°C]
    """
    sigma = np.interp(lead_d, np.arange(1, 8), SIGMA_C)
    sigma = np.minimum(sigma + _GROWTH_C_PER_D * np.maximum(lead_d - 7.0, 0.0), _LARGEST_C)
    return np.asarray(np.where(winter, _WINTER, 1.0) * sigma)


def _ar1(rng: np.random.Generator, hours: int, members: int, keep: float) -> Array:
    """Unit-variance first-order noise, shape (hour, member)."""
    noise = rng.standard_normal((hours, members))
    scale = np.sqrt(1.0 - keep * keep)
    for i in range(1, hours):
        noise[i] = keep * noise[i - 1] + scale * noise[i]
    return noise


def _trailing(flags: NDArray[np.bool_]) -> int:
    """Length of the run of True at the end."""
    return len(flags) if flags.all() else int(np.argmax(~flags[::-1]))


def _season(hours: Array, latitude: float | None) -> NDArray[np.int64]:
    """0 winter, 1 spring, 2 summer, 3 autumn at the site."""
    month = ((hours / 24.0) % 365.2425) // 30.44
    season = (((month + 1) // 3) % 4).astype(np.int64)
    return season if latitude is None or latitude >= 0 else (season + 2) % 4


def air_error_c(
    weather: HourlyWeather,
    lead_d: Array,
    count: int,
    seed: int,
    latitude: float | None,
    climate_scale: float = 1.0,
) -> Array:
    """Errors of the air temperature, one column a member.

    Parameters
    ----------
    weather : HourlyWeather
        Joined weather; its spans say what kind of error an hour carries. [various]
    lead_d : ndarray, shape (hour,)
        Lead-day number of each forecast hour; ignored elsewhere. [d]
    count : int
        Members. [-]
    seed : int
        Seed: the same seed gives the same members. [-]
    latitude : float or None
        Of the site, for the season. [deg]
    climate_scale : float
        Factor on the spread of climate. [-]

    Returns
    -------
    ndarray, shape (hour, count)
        Errors to be added. [°C]
    """
    rng = np.random.default_rng(seed)
    hours = weather.start_h + np.arange(len(weather), dtype=float)
    season = _season(hours, latitude)
    n = len(hours)
    fast = _ar1(rng, n, count, _HOURLY)
    slow = _ar1(rng, n, count, float(np.exp(-1.0 / _SLOW_H)))
    cosine, sine, constant = rng.standard_normal((3, count))
    phase = 2.0 * np.pi * hours[:, None] / 24.0
    daily = cosine * np.cos(phase) + sine * np.sin(phase)
    lasting = np.clip(0.08 * (lead_d - 1.0), 0.0, 0.75)[:, None]
    unit = (
        np.sqrt(lasting) * slow
        + np.sqrt(_DAILY_SHARE) * daily
        + np.sqrt(1.0 - _DAILY_SHARE - lasting) * fast
    )
    error = forecast_sigma_c(lead_d, season == 0)[:, None] * unit
    observed = weather.span == SPANS.index("observed")
    error[observed] = _OBSERVED_C * fast[observed]
    first = n - _trailing(weather.span == SPANS.index("climatology"))
    if first < n:
        drift = _ar1(rng, n - first, count, float(np.exp(-1.0 / FORGETTING_H)))
        spread = climate_scale * np.asarray(CLIMATE_SD_C)[season[first:], None]
        own = spread * drift + _CLIMATE_CONSTANT_C * constant + _CLIMATE_HOURLY_C * fast[first:]
        keep = np.exp(-np.arange(1, n - first + 1) / FORGETTING_H)[:, None]
        last = error[first - 1] if first else np.zeros(count)
        error[first:] = keep * last + np.sqrt(1.0 - keep**2) * own
    return error


def _filled(values: Array, stand_in: float) -> Array:
    return np.where(np.isfinite(values), values, stand_in)


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
        Seed. [-]
    latitude : float or None
        Of the site. [deg]
    climate_scale : float
        Factor on the spread of climate. [-]

    Returns
    -------
    Members
        Shape (hour, 1 + count); column 0 has no error. [various]
    """
    n = len(weather)
    air = np.repeat(weather.air_c[:, None], 1 + count, axis=1)
    dew = np.where(
        np.isfinite(weather.dew_point_c),
        np.minimum(weather.dew_point_c, weather.air_c),
        dew_point_of(_RH * saturation_kpa(weather.air_c)),
    )
    rh = saturation_kpa(dew) / saturation_kpa(weather.air_c)
    wind = np.repeat(_filled(weather.wind_ms, _WIND_MS)[:, None], 1 + count, axis=1)
    cloud = np.repeat(_filled(weather.cloud, _CLOUD)[:, None], 1 + count, axis=1)
    if count:
        air[:, 1:] += air_error_c(weather, lead_d, count, seed, latitude, climate_scale)
        rng = np.random.default_rng(seed + 1)
        day = (weather.start_h + np.arange(n)) // 24
        day -= day[0]
        wind[:, 1:] *= np.exp(0.3 * rng.standard_normal((day[-1] + 1, count)))[day]
        cloud[:, 1:] += (0.2 * rng.uniform(-1.0, 1.0, (day[-1] + 1, count)))[day]
    dews = dew_point_of(rh[:, None] * saturation_kpa(air))
    return Members(weather.start_h, air, dews, wind, np.clip(cloud, 0.0, 1.0))


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
        m + swing (T - m) + offset, m the centred 24 h mean. [°C]
    """
    if np.all(np.asarray(swing) == 1.0):
        return np.asarray(air_c + offset_k)
    padded = np.concatenate([np.repeat(air_c[:1], 12, axis=0), air_c, np.repeat(air_c[-1:], 12, axis=0)])
    weights = np.full(25, 1.0 / 24.0)
    weights[[0, -1]] = 0.5 / 24.0
    mean = sum(w * padded[i : i + len(air_c)] for i, w in enumerate(weights))
    return np.asarray(mean + swing * (air_c - mean) + offset_k)
