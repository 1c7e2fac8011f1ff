"""How far off the air temperature may be, hour by hour: the forecast's doubt, then the season's.

The error of an hourly forecast is a sum of three: what lasts for days (B), what has the
rhythm of a day (c1, c2) and what lasts for hours (A). It reproduces the growth measured on
424 hours of forecast and observation at one place (Omaha, autumn 2019); a place's own kept
forecasts should replace it. After the forecast the doubt turns into that of the season.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.weather.climate import FORGETTING_H
from curecast.core.weather.series import SPANS, HourlyWeather

Array = NDArray[np.float64]

#: Standard error at the middle of lead days 1..7 (measured). [°C]
SIGMA_C = (1.80, 2.05, 2.05, 2.25, 2.75, 3.10, 3.40)
#: Growth after lead day 7, and where it ends (ASSUMED). [°C/d, °C]
_GROWTH_C_PER_D = 0.35
_LARGEST_C = 6.0
#: Share of variance with the rhythm of a day (fitted to the same pairs). [-]
_DAILY_SHARE = 0.20
#: What the lasting part gains a day, and the most it may have (fitted). [-]
_LASTING_PER_D, _LASTING_MOST = 0.08, 0.75
#: Winter factor, December to February (ASSUMED); June to August south of the equator. [-]
_WINTER = 1.3
#: Correlation from hour to hour, and how long the lasting part lasts (fitted). [-, h]
_HOURLY = 0.857
_LASTING_H = 138.0
#: Spread of climate about its normal by season DJF, MAM, JJA, SON (15 observed winters). [°C]
CLIMATE_SD_C = (5.7, 5.0, 3.0, 4.1)
_CLIMATE_CONSTANT_C = 1.5
_CLIMATE_HOURLY_C = 1.5
#: A station near by against the site, once its offset is gone (ASSUMED). [°C]
_OBSERVED_C = 0.7
#: Noise is drawn in blocks of so many hours. [h]
_BLOCK_H = 1024


def forecast_sigma_c(lead_d: ArrayLike, winter: ArrayLike) -> Array:
    """Standard error of an hourly forecast.

    Parameters
    ----------
    lead_d : array_like, any shape
        Lead-day number: days elapsed since the issue plus 0.5. [d]
    winter : array_like of bool, same shape
        Whether the hour lies in winter. [-]

    Returns
    -------
    ndarray, same shape
        Standard error; 0.35 °C more a day after lead day 7, 6 °C at most before the winter
        factor (ASSUMED). [°C]

    Examples
    --------
    >>> forecast_sigma_c([1.0, 6.5], [False, False]).tolist()
    [1.8, 3.25]
    """
    lead = np.asarray(lead_d, dtype=float)
    sigma = np.interp(lead, np.arange(1, 8), SIGMA_C)
    sigma = np.minimum(sigma + _GROWTH_C_PER_D * np.maximum(lead - 7.0, 0.0), _LARGEST_C)
    return np.asarray(np.where(winter, _WINTER, 1.0) * sigma)


def season_of(unix_h: ArrayLike, latitude: float | None) -> NDArray[np.int64]:
    """Meteorological season at the site.

    Parameters
    ----------
    unix_h : array_like, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    latitude : float or None
        North positive; None counts as north. [deg]

    Returns
    -------
    ndarray of int, same shape
        0 winter (December to February in the north), 1 spring, 2 summer, 3 autumn. [-]

    Examples
    --------
    >>> season_of([0.0, 24 * 58.5, 24 * 59.0], 45.0).tolist()
    [0, 0, 1]
    """
    whole = np.floor(np.asarray(unix_h, dtype=float)).astype("datetime64[h]")
    month = whole.astype("datetime64[M]").astype(np.int64) % 12
    south = latitude is not None and latitude < 0.0
    return np.asarray(((month + 1) // 3 + (2 if south else 0)) % 4, dtype=np.int64)


def air_error_c(
    weather: HourlyWeather,
    lead_d: Array,
    count: int,
    seed: int,
    latitude: float | None,
    climate_scale: float = 1.0,
    error_scale: float = 1.0,
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
        Not negative; the same seed gives the same members, however far the weather goes. [-]
    latitude : float or None
        Of the site, for the season. [deg]
    climate_scale : float
        Factor on the spread of climate. [-]
    error_scale : float
        Factor on the forecast's standard error: a place's own record re-tunes it. [-]

    Returns
    -------
    ndarray, shape (hour, count)
        Errors to be added. [°C]
    """
    n = len(weather)
    hours = weather.start_h + np.arange(n, dtype=float)
    season = season_of(hours, latitude)
    fast = _ar1(seed, 0, (n, count), _HOURLY)
    unit = _unit_error(hours, lead_d, seed, fast)
    error = error_scale * forecast_sigma_c(lead_d, season == 0)[:, None] * unit
    observed = weather.span == SPANS.index("observed")
    error[observed] = _OBSERVED_C * fast[observed]
    first = n - _trailing(weather.span == SPANS.index("climatology"))
    if first < n:
        spread = np.asarray(CLIMATE_SD_C)[season[first:], None]
        own = climate_scale * _climate_error(spread, seed, fast[first:])
        keep = np.exp(-np.arange(1, n - first + 1) / FORGETTING_H)[:, None]
        last = error[first - 1] if first else np.zeros(count)
        error[first:] = keep * last + np.sqrt(1.0 - keep**2) * own
    return error


def _unit_error(hours: Array, lead_d: Array, seed: int, fast: Array) -> Array:
    """The forecast's error over its standard error."""
    slow = _ar1(seed, 1, fast.shape, float(np.exp(-1.0 / _LASTING_H)))
    cosine, sine = np.random.default_rng([seed, 2]).standard_normal((2, fast.shape[1]))
    phase = 2.0 * np.pi * hours[:, None] / 24.0
    daily = cosine * np.cos(phase) + sine * np.sin(phase)
    lasting = np.clip(_LASTING_PER_D * (lead_d - 1.0), 0.0, _LASTING_MOST)[:, None]
    rest = np.sqrt(1.0 - _DAILY_SHARE - lasting)
    return np.asarray(np.sqrt(lasting) * slow + np.sqrt(_DAILY_SHARE) * daily + rest * fast)


def _climate_error(spread_c: Array, seed: int, fast: Array) -> Array:
    """How far a season may lie from its normal."""
    drift = _ar1(seed, 3, fast.shape, float(np.exp(-1.0 / FORGETTING_H)))
    constant = np.random.default_rng([seed, 4]).standard_normal(fast.shape[1])
    own = spread_c * drift + _CLIMATE_CONSTANT_C * constant + _CLIMATE_HOURLY_C * fast
    return np.asarray(own)


def _ar1(seed: int, stream: int, shape: tuple[int, ...], keep: float) -> Array:
    """Unit-variance first-order noise, shape (hour, member), from a stream of its own."""
    hours, count = shape
    return _long_ar1(seed, stream, -(-hours // _BLOCK_H) * _BLOCK_H, count, keep)[:hours]


@lru_cache(maxsize=12)
def _long_ar1(seed: int, stream: int, hours: int, count: int, keep: float) -> Array:
    """The same for whole blocks of hours, kept: a longer stream begins as a shorter one."""
    noise = np.random.default_rng([seed, stream]).standard_normal((hours, count))
    noise[1:] *= np.sqrt(1.0 - keep * keep)
    for before, now in pairwise(noise):
        now += keep * before
    noise.flags.writeable = False
    return noise


def _trailing(flags: NDArray[np.bool_]) -> int:
    """Length of the run of True at the end."""
    return len(flags) if flags.all() else int(np.argmax(~flags[::-1]))
