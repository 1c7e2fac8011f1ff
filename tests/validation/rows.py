"""One comparison with something outside the project: asserted, and kept as a row of the page."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

#: The fixture of tests/published/conftest.py; its arguments are those of ``compared``.
Agree = Callable[..., None]

#: What a comparison stands on, in the order of the page.
KINDS = {
    "published": "read in the document that is named",
    "memory": "a published figure that was not seen in its document",
    "computed": "worked out from the named formula by code that shares no line with curecast",
    "library": "another implementation of the same thing",
    "solver": "a fine-grid stiff solver of the tests' own (scipy's BDF)",
    "data": "measurements in an open data set",
    "supplier": "seen on a supplier's or teaching page, no standard; nothing hangs on it alone",
}


class Row(NamedTuple):
    """A row of the page; of several numbers the one farthest off for its tolerance."""

    file: str
    source: str
    what: str
    kind: str
    unit: str
    numbers: int
    expected: float
    got: float
    tolerance: float
    note: str

    @property
    def key(self) -> tuple[str, str]:
        return self.source, self.what


def compared(
    what: str,
    source: str,
    expected: ArrayLike,
    got: ArrayLike,
    tolerance: ArrayLike,
    unit: str = "",
    kind: str = "published",
    note: str = "",
    file: str = "",
) -> Row:
    """Assert that numbers agree, and keep the one that is farthest off.

    ``note`` is the reason of a tolerance that is not half a unit in the last printed digit.
    NaN agrees with nothing.
    """
    assert kind in KINDS, f"no kind of check is called {kind!r}"
    wanted, found, slack = (
        np.atleast_1d(np.asarray(v, dtype=float)) for v in (expected, got, tolerance)
    )
    assert wanted.shape == found.shape, f"{what}: {found.shape} numbers for {wanted.shape}"
    slack = np.broadcast_to(slack, wanted.shape)
    off = np.abs(found - wanted)
    rounding = 1e-12 * np.abs(wanted)  # 0.3986 + 5e-5 is not a binary fraction
    bad = ~(off <= slack + rounding)
    told = [
        f"{w:.10g} expected, {g:.10g} got, {s:.3g} allowed"
        for w, g, s in zip(wanted[bad], found[bad], slack[bad], strict=True)
    ]
    assert not told, f"{source}, {what}: " + "; ".join(told)
    share = np.round(off / np.where(slack > 0.0, slack, 1.0), 6)
    worst = np.lexsort([np.abs(wanted).ravel(), share.ravel()])[-1]
    numbers = [float(v.ravel()[worst]) for v in (wanted, found, slack)]
    return Row(file, source, what, kind, unit, wanted.size, *numbers, note)


def digits(tolerance: float) -> int:
    """Decimals that show a number against its tolerance: a third of it or finer."""
    return max(0, math.ceil(-math.log10(tolerance / 3.0)))


def shown(value: float, tolerance: float) -> str:
    """A result, no finer than its tolerance can judge, so that every machine prints the same.

    >>> shown(0.39860123, 5e-5), shown(11.1063, 0.02), shown(792.0, 0.0)
    ('0.39860', '11.106', '792')
    """
    if tolerance == 0.0:
        return f"{value:.10g}"
    text = f"{value:.{digits(tolerance)}f}"
    return text.rstrip("0").rstrip(".") if tolerance < 1e-6 else text


def from_report(properties: list[tuple[str, Any]]) -> list[Row]:
    """The rows that one test left in its report."""
    return [Row(*values) for name, values in properties if name == "agreement"]
