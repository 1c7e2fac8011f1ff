"""One-sided normal tolerance factors against the noncentral t of scipy, and printed values."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist

import pytest
from scipy.stats import nct

from curecast.core.concrete.tolerance import tolerance_factor
from curecast.errors import OutOfRange
from tests.validation.rows import Agree

#: share / confidence: n = 3, 5, 10, 15, 30 (scipy.stats.nct; ISO 16269-6 prints the same).
TABLE = {
    (0.90, 0.90): (4.2582, 2.7423, 2.0657, 1.8668, 1.6571),
    (0.90, 0.95): (6.1553, 3.4066, 2.3546, 2.0684, 1.7773),
    (0.95, 0.75): (3.1518, 2.4634, 2.1037, 1.9908, 1.8686),
    (0.99, 0.95): (10.5527, 5.7411, 3.9811, 3.5201, 3.0639),
}


@pytest.mark.parametrize("key", sorted(TABLE))
def test_printed_factors(agree: Agree, key: tuple[float, float]) -> None:
    found = [tolerance_factor(n, *key) for n in (3, 5, 10, 15, 30)]
    what = f"one-sided tolerance factors, {key[0]:.2f} by {key[1]:.2f}, n 3 to 30"
    agree(what, "scipy.stats.nct; ISO 16269-6", list(TABLE[key]), found, 5.1e-5, "-", "computed")


@pytest.mark.parametrize("count", [2, 3, 4, 7, 20, 60])
@pytest.mark.parametrize("key", [(0.9, 0.9), (0.95, 0.5), (0.75, 0.99)])
def test_as_scipy_has_it(count: int, key: tuple[float, float]) -> None:
    share, confidence = key
    delta = NormalDist().inv_cdf(share) * sqrt(count)
    expected = nct.ppf(confidence, count - 1, delta) / sqrt(count)
    assert tolerance_factor(count, share, confidence) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("wrong", [(1, 0.9, 0.9), (5, 1.0, 0.9), (5, 0.9, 0.3)])
def test_outside_its_range(wrong: tuple[int, float, float]) -> None:
    with pytest.raises(OutOfRange):
        tolerance_factor(*wrong)
