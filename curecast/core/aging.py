"""Temperatures at instants become ages: the sums that strength and heat are read from.

Between two instants a temperature is taken as a straight line. The rates of equivalent age and
heat age go by the trapezoid; the temperature-time factor is exact, also where the line
crosses the datum.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.rates import STANDARD_C, _gamma
from curecast.core.heat.hydration import HeatOfHydration, heat_rate_age

Array = NDArray[np.float64]


def mean_above_c(before_c: Array, now_c: Array) -> Array:
    """Mean of what lies above 0 °C along a straight line between two temperatures.

    Parameters
    ----------
    before_c, now_c : ndarray, same shape
        Temperatures at its ends. [°C]

    Returns
    -------
    ndarray, same shape
        Mean of max(T, 0): 0 where both ends are below, NaN where one is NaN. [°C]

    Examples
    --------
    >>> mean_above_c(np.array([4.0, 4.0]), np.array([2.0, -4.0])).tolist()
    [3.0, 1.0]
    """
    if np.min(before_c, initial=1.0) > 0.0 < np.min(now_c, initial=1.0):
        return np.asarray(0.5 * (before_c + now_c))
    above = np.maximum(before_c, 0.0) + np.maximum(now_c, 0.0)
    way = np.abs(before_c) + np.abs(now_c)
    return np.asarray(0.5 * above * above / np.where(way == 0.0, 1.0, way))


def equivalent_age_h(t_h: Array, temp_c: Array) -> Array:
    """Equivalent age at 20 °C at each instant.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants. [h]
    temp_c : ndarray, shape (time, ...)
        Temperatures. [°C]

    Returns
    -------
    ndarray, shape (time, ...)
        Age, 0 at the first instant. [h]
    """
    return _summed(t_h, _gamma(temp_c))


def temperature_time_c_h(t_h: Array, temp_c: Array) -> Array:
    """Temperature-time factor over a datum of 0 °C at each instant.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants. [h]
    temp_c : ndarray, shape (time, ...)
        Temperatures. [°C]

    Returns
    -------
    ndarray, shape (time, ...)
        Factor, 0 at the first instant. [°C h]
    """
    total = np.zeros_like(temp_c)
    dt = _along(np.diff(t_h), temp_c.ndim)
    total[1:] = np.cumsum(dt * mean_above_c(temp_c[:-1], temp_c[1:]), axis=0)
    return total


def heat_age_h(t_h: Array, temp_c: Array, hydration: HeatOfHydration) -> Array:
    """Heat age at each instant; it belongs to the heat of hydration alone.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants. [h]
    temp_c : ndarray, shape (time, ...)
        Temperatures. [°C]
    hydration : HeatOfHydration
        The mix. [various]

    Returns
    -------
    ndarray, shape (time, ...)
        Age, 0 at the first instant. [h]
    """
    return _summed(t_h, heat_rate_age(temp_c, hydration))


def _along(values: Array, ndim: int) -> Array:
    return values.reshape(values.shape + (1,) * (ndim - 1))


def _summed(t_h: Array, rate: Array) -> Array:
    """Trapezoid sums from the first instant on."""
    total = np.zeros_like(rate)
    dt = _along(np.diff(t_h), rate.ndim)
    total[1:] = np.cumsum(0.5 * dt * (rate[1:] + rate[:-1]), axis=0)
    return total


class Ages:
    """Both ages of strength, added up while a slab is marched, a few steps at once.

    Parameters
    ----------
    temp_c : ndarray, any shape
        Temperatures at the start. [°C]
    """

    def __init__(self, temp_c: Array) -> None:
        self._temp_c, self._rate = temp_c, _gamma(temp_c)
        self.te20_h = np.zeros_like(temp_c)
        self.ttf_c_h = np.zeros_like(temp_c)

    def add(self, dt_h: Array, temp_c: Array, te20_h: Array, ttf_c_h: Array) -> None:
        """Let some steps count, and fill in both ages at their ends.

        Parameters
        ----------
        dt_h : ndarray, shape (step,)
            Their lengths. [h]
        temp_c : ndarray, shape (step, ...)
            Temperatures at their ends. [°C]
        te20_h, ttf_c_h : ndarray, same shape
            To be filled: equivalent age at 20 °C, temperature-time factor. [h, °C h]
        """
        rate = _gamma(temp_c)
        before_c = np.concatenate([self._temp_c[None], temp_c[:-1]])
        np.multiply(mean_above_c(before_c, temp_c), _along(dt_h, temp_c.ndim), out=ttf_c_h)
        te20_h[0] = self._rate
        te20_h[1:] = rate[:-1]
        te20_h += rate
        te20_h *= _along(0.5 * dt_h, temp_c.ndim)
        for te20, ttf in zip(te20_h, ttf_c_h, strict=True):
            te20 += self.te20_h
            ttf += self.ttf_c_h
            self.te20_h, self.ttf_c_h = te20, ttf
        self._temp_c, self._rate = temp_c[-1], rate[-1]

    @property
    def smaller_h(self) -> Array:
        """The smaller of the two ages at 20 °C. [h]"""
        return np.minimum(self.te20_h, self.ttf_c_h / STANDARD_C)
