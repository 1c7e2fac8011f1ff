"""When something that only grows has come far enough: ages, warm hours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.histories import Histories

Array = NDArray[np.float64]


def first_reached_h(t_h: Array, values: Array, wanted: Array) -> Array:
    """When a rising series first reaches a value.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants. [h]
    values : ndarray, shape (time, member)
        Series that never fall. [any]
    wanted : ndarray, shape (member,)
        Values to reach; NaN is never reached. [same]

    Returns
    -------
    ndarray, shape (member,)
        Time, linear between instants; infinity where it is never reached. [h]

    Examples
    --------
    >>> first_reached_h(np.array([0.0, 2.0]), np.array([[0.0], [4.0]]), np.array([3.0])).tolist()
    [1.5]
    """
    met = values >= wanted[None, :]
    first = np.argmax(met, axis=0)
    column = np.arange(values.shape[1])
    before = np.maximum(first - 1, 0)
    low, high = values[before, column], values[first, column]
    rising = high > low  # False where one is NaN: then only the instant itself is known
    part = np.where(rising, (wanted - low) / np.where(rising, high - low, 1.0), 1.0)
    at = t_h[before] + np.clip(part, 0.0, 1.0) * (t_h[first] - t_h[before])
    return np.where(met.any(axis=0), at, np.inf)


def warm_hours(past: Histories, place: int, least_c: float, from_h: float = 0.0) -> Array:
    """Hours so far with a place at or above a temperature.

    Parameters
    ----------
    past : Histories
        One pour. [various]
    place : int
        Index into ``PLACES``. [-]
    least_c : float
        Temperature. [°C]
    from_h : float
        Hours before this do not count. [h]

    Returns
    -------
    ndarray, shape (time, member)
        Hours; a step counts where both its ends are warm enough. [h]
    """
    warm = past.temp_c[:, place] >= least_c
    hours = np.zeros(warm.shape)
    counted = np.diff(np.maximum(past.t_h, from_h))
    hours[1:] = np.cumsum(counted[:, None] * (warm[1:] & warm[:-1]), axis=0)
    return hours


def age_d(past: Histories, place: int, both_ages: bool) -> Array:
    """Age at 20 °C at a place.

    Parameters
    ----------
    past : Histories
        One pour. [various]
    place : int
        Index into ``PLACES``. [-]
    both_ages : bool
        The smaller of the two ages; else equivalent age. [-]

    Returns
    -------
    ndarray, shape (time, member)
        Age. [d]
    """
    te_d = past.te20_h[:, place] / 24.0
    if not both_ages:
        return np.asarray(te_d)
    return np.minimum(te_d, age_days_at_20_from_ttf(past.ttf_c_h[:, place]))
