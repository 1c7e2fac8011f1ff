"""How fast concrete ages at a temperature: the rates of equivalent age.

Names that begin with an underscore check nothing and serve inner loops; the public
ones refuse temperatures that no concrete has. NaN goes through as NaN.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

GAS_CONSTANT = 8.314  # J/mol/K
ZERO_C_K = 273.15
STANDARD_C = 20.0
NOTHING_BELOW_C = -10.0  # hydration stops: mixed water is frozen
HOTTEST_C = 100.0

EA_WARM_J_MOL = 33_500.0  # Freiesleben Hansen & Pedersen 1977, from memory
EA_SLOPE_J_MOL_K = 1_470.0  # the same, per degree below 20 °C


def _gamma(temp_c: ArrayLike) -> Array:
    """`gamma` without its range check."""
    t = floats(temp_c)
    t_k = np.maximum(t, NOTHING_BELOW_C) + ZERO_C_K
    rate = 1.0 / (STANDARD_C + ZERO_C_K) - 1.0 / t_k
    ea_over_r = np.maximum(STANDARD_C - t, 0.0)
    ea_over_r *= EA_SLOPE_J_MOL_K / GAS_CONSTANT
    ea_over_r += EA_WARM_J_MOL / GAS_CONSTANT
    rate *= ea_over_r
    rate = np.exp(rate)
    rate *= ~(t < NOTHING_BELOW_C)
    return np.asarray(rate)


def gamma(temp_c: ArrayLike) -> Array:
    """Hours of curing at 20 °C that one hour at ``temp_c`` is worth.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete. [°C]

    Returns
    -------
    ndarray
        Rate of equivalent age, in the shape of ``temp_c``. [h/h]

    Raises
    ------
    OutOfRange
        Above 100 °C. Below -10 °C the rate is 0.

    Notes
    -----
    Arrhenius with Ea = 33 500 J/mol at and above 20 °C and 33 500 + 1470 (20 - T) below.
    With an Ea that varies, no other reference temperature may go into the formula: for
    an age at 23 °C divide the age at 20 °C (`ages.at_23`).

    References
    ----------
    Freiesleben Hansen & Pedersen, Nordisk Betong 1, 1977; constants from memory.

    Examples
    --------
    >>> gamma([2.0, 5.0, 20.0]).round(4).tolist()
    [0.2, 0.2925, 1.0]
    """
    _check_temperature(temp_c)
    return _gamma(temp_c)


def gamma_constant(
    temp_c: ArrayLike, activation_j_mol: float = 41_570.0, reference_c: float = STANDARD_C
) -> Array:
    """Rate of equivalent age with one activation energy for all temperatures.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete. [°C]
    activation_j_mol : float
        Apparent activation energy; 41 570 is Q = 5000 K. [J/mol]
    reference_c : float
        Temperature at which the rate is 1. [°C]

    Returns
    -------
    ndarray
        Rate, in the shape of ``temp_c``; 0 below -10 °C. [h/h]

    Raises
    ------
    OutOfRange
        Above 100 °C, or with an activation energy that is not positive.

    References
    ----------
    ASTM C1074, equivalent age (Q = 5000 K where it was not measured), from memory.

    Examples
    --------
    >>> round(float(gamma_constant(5.0)), 4)
    0.3986
    """
    _check_temperature(temp_c)
    if not activation_j_mol > 0.0:
        raise OutOfRange(f"an activation energy must be positive, not {activation_j_mol} J/mol")
    return _gamma_constant(temp_c, activation_j_mol, reference_c)


def _gamma_constant(temp_c: ArrayLike, activation_j_mol: float, reference_c: float) -> Array:
    """`gamma_constant` without its range check."""
    t = floats(temp_c)
    rate = np.maximum(t, NOTHING_BELOW_C)
    rate += ZERO_C_K
    rate = -activation_j_mol / GAS_CONSTANT / rate
    rate += activation_j_mol / GAS_CONSTANT / (reference_c + ZERO_C_K)
    rate = np.exp(rate)
    rate *= ~(t < NOTHING_BELOW_C)
    return np.asarray(rate)


def gamma_eurocode(temp_c: ArrayLike) -> Array:
    """Rate of the temperature-adjusted age of EN 1992-1-1; optimistic in the cold.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete, 0 to 80 °C. [°C]

    Returns
    -------
    ndarray
        Rate, in the shape of ``temp_c``; 0.9981 at 20 °C, as the formula has it. [h/h]

    Raises
    ------
    OutOfRange
        Outside 0 to 80 °C, the range that the standard states.

    References
    ----------
    EN 1992-1-1:2004, B.1(3), eq. (B.10), with 273 and not 273.15.

    Examples
    --------
    >>> round(float(gamma_eurocode(20.0)), 4)
    0.9981
    """
    t = np.asarray(temp_c, dtype=np.float64)
    if np.any((t < 0.0) | (t > 80.0)):
        raise OutOfRange("EN 1992-1-1 (B.10) holds from 0 to 80 °C only")
    return _gamma_eurocode(t)


def _gamma_eurocode(temp_c: ArrayLike) -> Array:
    """`gamma_eurocode` without its range check."""
    rate: Array = np.exp(13.65 - 4000.0 / (273.0 + np.asarray(temp_c, dtype=np.float64)))
    return rate


def _check_temperature(temp_c: ArrayLike) -> None:
    t = np.asarray(temp_c, dtype=np.float64)
    if np.any(t > HOTTEST_C):
        raise OutOfRange(
            f"concrete at {np.nanmax(t):.0f} °C: maturity rules end at {HOTTEST_C:.0f} °C",
            "check the unit of the temperatures",
        )
