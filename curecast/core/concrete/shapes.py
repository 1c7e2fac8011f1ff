"""Strength against age as a share of the 28-day strength: four published curves."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_YOUNGEST_D = 1e-9  # keeps 28/t finite; the curves are 0 there


def eurocode(te_d: ArrayLike, s: float = 0.38) -> Array:
    """Strength over 28-day strength after Eurocode 2.

    Parameters
    ----------
    te_d : array_like
        Age at 20 °C; 0 and less give 0. [d]
    s : float
        0.20 rapid, 0.25 normal, 0.38 slow cement. [-]

    Returns
    -------
    ndarray
        exp(s (1 - sqrt(28/t))), 1 at 28 d. [-]

    References
    ----------
    EN 1992-1-1:2004, 3.1.2(6), eq. (3.2).

    Examples
    --------
    >>> round(float(eurocode(7.0)), 4)
    0.6839
    """
    t = np.maximum(np.asarray(te_d, dtype=np.float64), _YOUNGEST_D)
    g: Array = np.exp(s * (1.0 - np.sqrt(28.0 / t)))
    return g


def eurocode_age_d(fraction: ArrayLike, s: float = 0.38) -> Array:
    """Age at which Eurocode's curve reaches a share of the 28-day strength.

    Parameters
    ----------
    fraction : array_like
        Share of the 28-day strength. [-]
    s : float
        As in `eurocode`. [-]

    Returns
    -------
    ndarray
        Age at 20 °C; 0 for a share of 0 or less, inf from e^s on, which is never reached. [d]

    Examples
    --------
    >>> round(float(eurocode_age_d(0.75)), 2)
    9.07
    """
    x = np.asarray(fraction, dtype=np.float64)
    root = 1.0 - np.log(np.maximum(x, 1e-300)) / s
    age = 28.0 / np.maximum(root, 1e-150) ** 2
    return np.where(x <= 0.0, 0.0, np.where(root <= 0.0, np.inf, age))


def aci209(te_d: ArrayLike, a: float = 4.0, b: float = 0.85) -> Array:
    """Strength over 28-day strength after ACI 209R; 1.007 at 28 d, as its figures have it.

    Parameters
    ----------
    te_d : array_like
        Age at 20 °C; 0 and less give 0. [d]
    a : float
        4.0 for Type I, 2.3 for Type III cement, moist-cured. [d]
    b : float
        0.85 for Type I, 0.92 for Type III cement, moist-cured. [-]

    Returns
    -------
    ndarray
        t / (a + b t). [-]

    References
    ----------
    ACI 209R-92, 2.2.1; figures from memory.

    Examples
    --------
    >>> round(float(aci209(7.0)), 3)
    0.704
    """
    t = np.maximum(np.asarray(te_d, dtype=np.float64), 0.0)
    return np.asarray(t / (a + b * t))


def hyperbola(te_d: ArrayLike, ultimate: float, rate_per_d: float, delay_d: float = 0.0) -> Array:
    """Strength over 28-day strength on ASTM C1074's hyperbola.

    Parameters
    ----------
    te_d : array_like
        Age at 20 °C; up to the delay it gives 0. [d]
    ultimate : float
        Strength in the end, Su / f28. [-]
    rate_per_d : float
        Rate constant k. [1/d]
    delay_d : float
        Age at which strength begins, t0. [d]

    Returns
    -------
    ndarray
        ultimate k (t - t0) / (1 + k (t - t0)). [-]

    References
    ----------
    ASTM C1074, annex on the strength-age relation; from memory.
    """
    x = rate_per_d * np.maximum(np.asarray(te_d, dtype=np.float64) - delay_d, 0.0)
    return np.asarray(ultimate * x / (1.0 + x))


def exponential(te_d: ArrayLike, ultimate: float, tau_d: float, alpha: float) -> Array:
    """Strength over 28-day strength on the exponential of Freiesleben Hansen & Pedersen.

    Parameters
    ----------
    te_d : array_like
        Age at 20 °C; 0 and less give 0. [d]
    ultimate : float
        Strength in the end, Su / f28. [-]
    tau_d : float
        Time constant. [d]
    alpha : float
        Shape. [-]

    Returns
    -------
    ndarray
        ultimate exp(-(tau/t)^alpha). [-]

    Notes
    -----
    Eurocode's curve is this one with ultimate e^s, alpha 0.5 and tau 28 s^2.
    """
    t = np.maximum(np.asarray(te_d, dtype=np.float64), _YOUNGEST_D)
    return np.asarray(ultimate * np.exp(-((tau_d / t) ** alpha)))
