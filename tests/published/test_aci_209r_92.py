"""ACI 209R-92, 2.2.1: strength with age (constants from memory, table computed)."""

from __future__ import annotations

import pytest

from curecast.core.concrete.shapes import aci209, hyperbola
from tests.validation.rows import Agree

SOURCE = "ACI 209R-92, 2.2.1"
AGES_D = [1, 3, 7, 14, 21, 28, 56, 91, 182, 365]


@pytest.mark.parametrize(
    ("cement", "a", "b", "printed"),
    [
        ("Type I", 4.0, 0.85, [.206, .458, .704, .881, .961, 1.007, 1.085, 1.119, 1.147, 1.161]),
        ("Type III", 2.3, 0.92, [.311, .593, .801, .922, .971, .998, 1.041, 1.058, 1.072, 1.080]),
    ],
)  # fmt: skip
def test_strength_with_age(
    agree: Agree, cement: str, a: float, b: float, printed: list[float]
) -> None:
    what = f"strength over f28, {cement}, moist-cured, 1 to 365 d"
    agree(what, SOURCE, printed, aci209(AGES_D, a, b), 5.1e-4, kind="computed")


def test_it_is_a_hyperbola(agree: Agree) -> None:
    # Ultimate 1/b = 1.1765, rate b/a = 0.2125 a day; printed to 4 places.
    ours = aci209(AGES_D)
    agree(
        "the same as ASTM C1074's hyperbola with Su 1.1765, k 0.2125 /d, 1 to 365 d",
        SOURCE, hyperbola(AGES_D, 1.1765, 0.2125), ours, 1e-4 * ours, kind="computed",
        note="Su printed to 4 places",
    )  # fmt: skip
