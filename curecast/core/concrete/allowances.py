"""What the 28-day strength on paper becomes on site: each allowance once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: ASTM C387 normal strength: 3500 psi at 28 d; from memory. [MPa]
LEAST_NORMAL_MPA = 24.13
#: ASTM C387 high-early: 3500 psi at 7 d (from memory), carried to 28 d by s = 0.25. [MPa]
LEAST_HIGH_EARLY_MPA = 30.98
OVER_THE_LEAST = 1.15  # ASSUMED: a median bag lies this far above its standard's least

ABRAMS = 14.0  # ACI 211.1's table gives 14.4 (from memory), 1030 laboratory mixes 13.5
LEAST_WATER_FACTOR = 0.4

MOIST_DAYS = (0.0, 3.0, 5.0, 7.0)
MOIST_FACTORS = (0.70, 0.85, 0.95, 1.00)  # ASSUMED

HOT_FROM_C = 30.0
HOT_LOSS_PER_K = 0.01  # ASSUMED


def f28_bag(printed_mpa: float, standard_minimum_mpa: float = LEAST_NORMAL_MPA) -> float:
    """Median 28-day strength of a bagged mix.

    Parameters
    ----------
    printed_mpa : float
        Strength printed on the bag, a laboratory's 28-day figure. [MPa]
    standard_minimum_mpa : float
        The least 28-day strength that the bag's own standard asks. [MPa]

    Returns
    -------
    float
        The smaller of the print and 1.15 times the least. [MPa]

    Raises
    ------
    OutOfRange
        If a strength is not positive.

    References
    ----------
    ASTM C387, normal strength; from memory. The 1.15 is ASSUMED.

    Examples
    --------
    >>> round(f28_bag(34.5), 2)
    27.75
    """
    if not (printed_mpa > 0.0 and standard_minimum_mpa > 0.0):
        raise OutOfRange("a bag's strength must be above 0 MPa")
    return min(printed_mpa, OVER_THE_LEAST * standard_minimum_mpa)


def water_factor(w_c: ArrayLike, most_w_c: ArrayLike) -> Array:
    """What water above the bag's printed range leaves of the strength.

    Parameters
    ----------
    w_c : array_like
        Water-cement ratio as mixed. [-]
    most_w_c : array_like
        The same at the upper end of the printed range. [-]

    Returns
    -------
    ndarray
        1 within the range, then 14^-(excess), never below 0.4. [-]

    References
    ----------
    Abrams' law; base after ACI 211.1's table of strength and w/c, from memory.

    Examples
    --------
    >>> round(float(water_factor(0.6, 0.5)), 3)
    0.768
    """
    excess = np.maximum(np.asarray(w_c, dtype=np.float64) - np.asarray(most_w_c), 0.0)
    return np.asarray(np.maximum(ABRAMS**-excess, LEAST_WATER_FACTOR))


def moist_curing_factor(days: ArrayLike) -> Array:
    """What an early end of moist curing leaves of the top 50 mm and the anchors' concrete.

    Parameters
    ----------
    days : array_like
        Days kept damp with the face at or above 5 °C. [d]

    Returns
    -------
    ndarray
        0.70 at 0 d, 0.85 at 3, 0.95 at 5, 1 from 7 d on, linear between; ASSUMED. [-]
    """
    return np.asarray(np.interp(np.asarray(days, dtype=np.float64), MOIST_DAYS, MOIST_FACTORS))


def hot_placing_factor(first_day_mean_c: ArrayLike) -> Array:
    """What a hot first day takes from the late strength.

    Parameters
    ----------
    first_day_mean_c : array_like
        Mean temperature of the concrete over its first 24 h. [°C]

    Returns
    -------
    ndarray
        1 up to 30 °C, then 1 % less a degree; ASSUMED. [-]
    """
    over = np.maximum(np.asarray(first_day_mean_c, dtype=np.float64) - HOT_FROM_C, 0.0)
    return np.asarray(np.maximum(1.0 - HOT_LOSS_PER_K * over, 0.0))
