"""The two ages of strength: equivalent age, and the temperature-time factor."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.concrete.rates import (
    STANDARD_C,
    _check_temperature,
    _gamma,
    gamma,
    gamma_constant,
    gamma_eurocode,
)
from curecast.errors import OutOfRange

__all__ = [
    "age_days_at_20_from_ttf",
    "at_23",
    "equivalent_age",
    "gamma",
    "gamma_constant",
    "gamma_eurocode",
    "temperature_time_factor",
]

Array = NDArray[np.float64]


def equivalent_age(
    temp_c: ArrayLike, step_h: ArrayLike, rate: Callable[[ArrayLike], Array] = gamma
) -> Array:
    """Equivalent age at the end of each step.

    Parameters
    ----------
    temp_c : array_like, shape (step, ...)
        Mean temperature of the concrete over each step. [°C]
    step_h : array_like, shape () or (step,)
        Length of the steps. [h]
    rate : callable
        One of the rates of this module. [h/h]

    Returns
    -------
    ndarray, shape (step, ...)
        Age at the rate's reference temperature, summed from the first step. [h]

    Raises
    ------
    OutOfRange
        As the rate does.

    Notes
    -----
    A day's mean temperature under-counts a day that swings by 5 to 9 %: use hours.

    Examples
    --------
    >>> equivalent_age([20.0, 20.0], 1.0).tolist()
    [1.0, 2.0]
    """
    return _summed(rate(temp_c), step_h)


def at_23(te20_h: ArrayLike) -> Array:
    """The same maturity as an age at 23 °C, the laboratory's 73 °F.

    Parameters
    ----------
    te20_h : array_like
        Equivalent age at 20 °C. [h]

    Returns
    -------
    ndarray
        Equivalent age at 23 °C: te20 / 1.1494. [h]

    References
    ----------
    ASTM C1074 states ages at 23 °C; the ratio is this module's own `gamma` at 23 °C.

    Examples
    --------
    >>> round(float(at_23(24 * gamma(5.0))), 3)
    6.109
    """
    return np.asarray(te20_h, dtype=np.float64) / _gamma(23.0)


def temperature_time_factor(temp_c: ArrayLike, step_h: ArrayLike, datum_c: float = 0.0) -> Array:
    """Nurse-Saul's sum of (T - T0) dt at the end of each step.

    Parameters
    ----------
    temp_c : array_like, shape (step, ...)
        Mean temperature of the concrete over each step. [°C]
    step_h : array_like, shape () or (step,)
        Length of the steps. [h]
    datum_c : float
        Datum temperature T0; -10 °C is the traditional value, too kind in the cold. [°C]

    Returns
    -------
    ndarray, shape (step, ...)
        Temperature-time factor; a step below the datum counts 0, never less. [°C h]

    Raises
    ------
    OutOfRange
        Above 100 °C.

    References
    ----------
    ASTM C1074 (datum 0 °C for Type I cement without admixture, 0 to 40 °C), from memory.

    Examples
    --------
    >>> temperature_time_factor([10.0, -3.0], 6.0).tolist()
    [60.0, 60.0]
    """
    _check_temperature(temp_c)
    above = np.maximum(np.asarray(temp_c, dtype=np.float64) - datum_c, 0.0)
    return _summed(above, step_h)


def age_days_at_20_from_ttf(ttf_c_h: ArrayLike, datum_c: float = 0.0) -> Array:
    """Days at 20 °C that give the same temperature-time factor.

    Parameters
    ----------
    ttf_c_h : array_like
        Temperature-time factor. [°C h]
    datum_c : float
        Its datum temperature, below 20 °C. [°C]

    Returns
    -------
    ndarray
        Age. [d]

    Raises
    ------
    OutOfRange
        With a datum at or above 20 °C.

    Examples
    --------
    >>> float(age_days_at_20_from_ttf(480.0))
    1.0
    """
    if not datum_c < STANDARD_C:
        raise OutOfRange(f"a datum temperature must lie below 20 °C, not at {datum_c} °C")
    return np.asarray(ttf_c_h, dtype=np.float64) / (24.0 * (STANDARD_C - datum_c))


def _summed(rate: Array, step_h: ArrayLike) -> Array:
    """Running sum of rate times step along the first axis."""
    step = np.asarray(step_h, dtype=np.float64)
    if step.ndim:
        step = step.reshape(step.shape + (1,) * (rate.ndim - 1))
    total: Array = np.cumsum(rate * step, axis=0)
    return total
