"""When something that only grows has come far enough: ages, warm hours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.histories import Histories

Array = NDArray[np.float64]
#: Rows that are looked through at once.
_ROWS = 16


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
    column = np.arange(values.shape[1])
    first, found = _first_met(values, wanted)
    before = np.maximum(first - 1, 0)
    low, high = values[before, column], values[first, column]
    rising = high > low  # False where one is NaN: then only the instant itself is known
    part = np.where(rising, (wanted - low) / np.where(rising, high - low, 1.0), 1.0)
    at = t_h[before] + np.clip(part, 0.0, 1.0) * (t_h[first] - t_h[before])
    return np.where(found, at, np.inf)


def _first_met(values: Array, wanted: Array) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Row at which each column first reaches what is wanted, and whether it does."""
    if len(values) < 2 * _ROWS:
        rows = np.broadcast_to(np.arange(len(values))[:, None], values.shape)
    else:
        rough = values[_ROWS - 1 :: _ROWS] >= wanted
        some = np.where(rough.any(axis=0), np.argmax(rough, axis=0), len(rough)) * _ROWS
        rows = np.minimum(some + np.arange(_ROWS)[:, None], len(values) - 1)
    met = np.take_along_axis(values, rows, axis=0) >= wanted
    first = rows[np.argmax(met, axis=0), np.arange(values.shape[1])]
    return first, np.asarray(met.any(axis=0))


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
        Hours; between instants the temperature runs straight, and what of that lies at or
        above counts. [h]
    """
    over_k = past.temp_c[:, place] - least_c
    high_k, low_k = np.maximum(over_k[1:], over_k[:-1]), np.minimum(over_k[1:], over_k[:-1])
    crossing = (low_k < 0.0) & (high_k > 0.0)
    part = np.divide(high_k, high_k - low_k, out=(low_k >= 0.0).astype(float), where=crossing)
    hours = np.zeros(over_k.shape)
    counted = np.diff(np.maximum(past.t_h, from_h))
    np.cumsum(counted[:, None] * part, axis=0, out=hours[1:])
    return hours


def age_h(past: Histories, place: int, both_ages: bool) -> Array:
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
        Age. [h]
    """
    return (past.smaller_age_h if both_ages else past.te20_h)[:, place]
