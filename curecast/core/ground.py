"""What a job leaves open about ground and air before the pour, taken from the weather."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.weather.climate import seasonal_k
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

_GROUND_H = 72
_DAY_H = 24
_WEEK_H = 168
#: Between these the foot of the soil is looked for (ASSUMED). [°C]
_DEEP_C = (4.0, 22.0)


def ground_c(case: Case, weather: Members, starts_h: Array) -> Array:
    """Ground before each pour: the job's, else the mean air of the three days before.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    starts_h : ndarray, shape (start,)
        Starts, hours since 1970-01-01T00:00 UTC. [h]

    Returns
    -------
    ndarray, shape (start, member)
        Temperature; where the weather begins later, its first three days stand in
        (ASSUMED). [°C]
    """
    if case.ground_c is not None:
        return np.full((len(starts_h), weather.air_c.shape[1]), case.ground_c)
    return _site_mean_c(case, weather, starts_h, _GROUND_H)


def day_mean_c(case: Case, weather: Members, starts_h: Array) -> Array:
    """Mean air at the site over the day before each start, which soaks the bags.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    starts_h : ndarray, shape (start,)
        Starts, hours since 1970-01-01T00:00 UTC. [h]

    Returns
    -------
    ndarray, shape (start, member)
        Temperature; where the weather begins later, its first day stands in (ASSUMED). [°C]
    """
    return _site_mean_c(case, weather, starts_h, _DAY_H)


def deep_c(case: Case, weather: Members, latitude: float | None) -> float:
    """Foot of the soil: the job's, else the year's mean as the first week suggests it.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    latitude : float or None
        Of the site. [deg]

    Returns
    -------
    float
        Temperature, 4..22 (ASSUMED). [°C]
    """
    if case.deep_c is not None:
        return case.deep_c
    known = weather.air_c[:_WEEK_H, 0]
    hours = weather.start_h + np.arange(len(known), dtype=float)
    year_c = float(known.mean()) - float(seasonal_k(hours, latitude).mean())
    return float(np.clip(year_c, *_DEEP_C))


def _site_mean_c(case: Case, weather: Members, starts_h: Array, hours: int) -> Array:
    """Mean air at the site before each start; the daily swing falls out over whole days."""
    past_h = np.floor(starts_h).astype(np.int64) - weather.start_h
    ends = np.clip(past_h, min(hours, len(weather.air_c)), len(weather.air_c))
    mean = [weather.air_c[max(0, end - hours) : end].mean(axis=0) for end in ends]
    return np.asarray(np.stack(mean) + case.exposure.air_offset_k)
