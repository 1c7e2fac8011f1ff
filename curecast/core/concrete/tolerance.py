"""One-sided tolerance factors of the normal distribution: what few tests can vouch for."""

from __future__ import annotations

from functools import lru_cache
from math import erf, exp, lgamma, log, sqrt
from statistics import NormalDist

import numpy as np

from curecast.errors import OutOfRange

__all__ = ["tolerance_factor"]

#: Nodes of the quadrature: six digits from n = 2 on.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(400)


@lru_cache(maxsize=256)
def tolerance_factor(count: int, share: float = 0.90, confidence: float = 0.90) -> float:
    """How many standard deviations below the mean of a sample a share of all lies.

    Parameters
    ----------
    count : int
        Tests, 2 or more. [-]
    share : float
        Of all concrete that lies above the limit, 0.5..0.999. [-]
    confidence : float
        Chance that this is so, 0.5..0.999. [-]

    Returns
    -------
    float
        k = t' / sqrt(n), t' the quantile of the noncentral t distribution with n - 1 degrees
        of freedom and noncentrality z sqrt(n) (ISO 16269-6:2014, method with unknown standard
        deviation; from memory). [-]

    Raises
    ------
    OutOfRange
        Fewer than two tests, or a share or confidence outside its range.

    Examples
    --------
    >>> round(tolerance_factor(3), 4), round(tolerance_factor(10), 4)
    (4.2582, 2.0657)
    """
    if count < 2 or not 0.5 <= share <= 0.999 or not 0.5 <= confidence <= 0.999:
        raise OutOfRange("a tolerance factor needs two tests or more, and shares of 0.5 to 0.999")
    freedom = count - 1
    delta = NormalDist().inv_cdf(share) * sqrt(count)
    low, high = 0.0, 10.0
    while _below(high, freedom, delta) < confidence:
        high *= 2.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if _below(middle, freedom, delta) < confidence:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high) / sqrt(count)


def _below(t: float, freedom: int, delta: float) -> float:
    """Chance that noncentral t lies below t: over u = s / sigma, whose square is chi2 / nu."""
    top = 1.0 + 9.0 / sqrt(2.0 * freedom)
    half = 0.5 * freedom
    scale = log(2.0) + half * log(half) - lgamma(half)
    total = 0.0
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        u = 0.5 * top * (node + 1.0)
        density = exp(scale + (freedom - 1) * log(u) - half * u * u)
        total += weight * density * 0.5 * (1.0 + erf((t * u - delta) / sqrt(2.0)))
    return 0.5 * top * total
