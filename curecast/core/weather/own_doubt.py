"""A place's own record of forecasts against measured air: it re-tunes the model of their error.

The model's standard error is multiplied by a scale, and the forecast moved by a bias. Both are
means over days, drawn towards what was there before as if that had been watched for twenty
days; neither leaves its bounds, and a warm bias counts less than a cold one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.weather.doubt import forecast_sigma_c

Array = NDArray[np.float64]

#: Least record that says anything: days with pairs, and pairs. ASSUMED [-]
LEAST_DAYS, LEAST_PAIRS = 10, 200
#: What the measured model counts for beside it. ASSUMED [d]
PRIOR_DAYS = 20.0
#: The doubt is never narrower, nor wider, than these times the model's. ASSUMED [-]
NARROWEST, WIDEST = 0.8, 2.0
#: The forecast is never moved further to the cold, nor to the warm. ASSUMED [K]
COLDEST_K, WARMEST_K = -2.0, 1.0


@dataclass(frozen=True)
class OwnDoubt:
    """What a place's own record says of its forecasts.

    Parameters
    ----------
    scale : float
        Factor on the standard error. [-]
    bias_k : float
        To be added to the forecast. [K]
    days, pairs : int
        What it rests on; 0 where the record is too short. [-]
    """

    scale: float = 1.0
    bias_k: float = 0.0
    days: int = 0
    pairs: int = 0


def own_doubt(error_k: ArrayLike, lead_d: ArrayLike, day: ArrayLike, winter: ArrayLike) -> OwnDoubt:
    """Re-tune the error of forecasts by pairs of one place.

    Parameters
    ----------
    error_k : array_like, shape (pair,)
        Measured less forecast; NaN is left out. [K]
    lead_d : array_like, shape (pair,)
        Lead-day number. [d]
    day : array_like, shape (pair,)
        Number of the day that was forecast: hours of one day are not independent. [d]
    winter : array_like of bool, shape (pair,)
        Whether it lies in winter. [-]

    Returns
    -------
    OwnDoubt
        As the model has it where there are fewer than 10 days or 200 pairs. [-, K]

    Notes
    -----
    Bias: the mean of the days' mean errors, times n / (n + 20). Scale squared: the mean of the
    days' mean squares of error over standard error, 1 counted twenty times beside them.
    """
    error = np.asarray(error_k, dtype=float)
    known = np.isfinite(error)
    error, lead = error[known], np.asarray(lead_d, dtype=float)[known]
    days, which = np.unique(np.asarray(day)[known], return_inverse=True)
    if len(days) < LEAST_DAYS or len(error) < LEAST_PAIRS:
        return OwnDoubt()
    count = np.bincount(which)
    n = len(days)
    mean_k = float(np.mean(np.bincount(which, error) / count))
    bias = float(np.clip(mean_k * n / (n + PRIOR_DAYS), COLDEST_K, WARMEST_K))
    ratio = (error - bias) / forecast_sigma_c(lead, np.asarray(winter)[known])
    squares = np.bincount(which, ratio**2) / count
    scale = np.sqrt((PRIOR_DAYS + squares.sum()) / (PRIOR_DAYS + n))
    return OwnDoubt(float(np.clip(scale, NARROWEST, WIDEST)), bias, n, len(error))
