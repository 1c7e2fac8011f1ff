"""ACI 209R-92, 2.2.1: strength with age (constants from memory, table computed)."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.shapes import aci209, hyperbola

AGES_D = [1, 3, 7, 14, 21, 28, 56, 91, 182, 365]


@pytest.mark.parametrize(
    ("a", "b", "printed"),
    [
        (4.0, 0.85, [.206, .458, .704, .881, .961, 1.007, 1.085, 1.119, 1.147, 1.161]),
        (2.3, 0.92, [.311, .593, .801, .922, .971, .998, 1.041, 1.058, 1.072, 1.080]),
    ],
    ids=["Type I moist", "Type III moist"],
)  # fmt: skip
def test_strength_with_age(a: float, b: float, printed: list[float]) -> None:
    np.testing.assert_allclose(aci209(AGES_D, a, b), printed, rtol=0, atol=5.1e-4)


def test_it_is_a_hyperbola() -> None:
    # Ultimate 1/b = 1.1765, rate b/a = 0.2125 a day; printed to 4 places.
    np.testing.assert_allclose(hyperbola(AGES_D, 1.1765, 0.2125), aci209(AGES_D), rtol=1e-4)
