"""Lines of equal value on an uneven grid: marching squares, joined end to end."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_Edge = tuple[int, int, bool]


def contour_lines(x: Array, y: Array, values: Array, level: float) -> list[Array]:
    """Where a field takes a level.

    Parameters
    ----------
    x, y : ndarray, shape (column,) and (row,)
        Positions of the values, rising; their spacing may differ.
    values : ndarray, shape (row, column)
        The field; no line passes a square with a value that is NaN.
    level : float
        The level.

    Returns
    -------
    list of ndarray, shape (point, 2)
        Lines, each closed or from border to border; x before y.

    Examples
    --------
    >>> ramp = np.array([[0.0, 1.0, 2.0], [0.0, 1.0, 2.0]])
    >>> contour_lines(np.arange(3.0), np.arange(2.0), ramp, 0.5)[0].tolist()
    [[0.5, 0.0], [0.5, 1.0]]
    """
    links: dict[_Edge, list[_Edge]] = {}
    above = values > level
    known = np.isfinite(values)
    whole = known[:-1, :-1] & known[1:, :-1] & known[:-1, 1:] & known[1:, 1:]
    count = above[:-1, :-1].astype(int) + above[1:, :-1] + above[:-1, 1:] + above[1:, 1:]
    for i, j in np.argwhere(whole & (count > 0) & (count < 4)).tolist():
        for a, b in _crossings(i, j, above, float(values[i : i + 2, j : j + 2].mean()) > level):
            links.setdefault(a, []).append(b)
            links.setdefault(b, []).append(a)
    return [
        np.array([_point(edge, x, y, values, level) for edge in chain]) for chain in _chains(links)
    ]


def _crossings(i: int, j: int, above: NDArray[np.bool_], high: bool) -> list[tuple[_Edge, _Edge]]:
    """The edges that a line joins in one square; at a saddle its mean decides."""
    top, bottom = (i, j, True), (i + 1, j, True)
    left, right = (i, j, False), (i, j + 1, False)
    a, b = bool(above[i, j]), bool(above[i, j + 1])
    c, d = bool(above[i + 1, j + 1]), bool(above[i + 1, j])
    cut = [
        edge
        for edge, crossed in ((top, a != b), (right, b != c), (bottom, c != d), (left, d != a))
        if crossed
    ]
    if len(cut) == 2:
        return [(cut[0], cut[1])]
    if a == high:
        return [(top, right), (bottom, left)]
    return [(left, top), (right, bottom)]


def _point(edge: _Edge, x: Array, y: Array, values: Array, level: float) -> tuple[float, float]:
    i, j, across = edge
    k, m = (i, j + 1) if across else (i + 1, j)
    share = (level - values[i, j]) / (values[k, m] - values[i, j])
    return float(x[j] + share * (x[m] - x[j])), float(y[i] + share * (y[k] - y[i]))


def _chains(links: dict[_Edge, list[_Edge]]) -> list[list[_Edge]]:
    """Chains from end to end, then the closed ones."""
    left = {edge: list(joined) for edge, joined in links.items()}
    found = []
    for start in [*(e for e in links if len(links[e]) == 1), *links]:
        chain = [start]
        while left[chain[-1]]:
            here = chain[-1]
            there = left[here].pop()
            left[there].remove(here)
            chain.append(there)
        if len(chain) > 1:
            found.append(chain)
    return found


def with_column(x_m: Array, field: Array, at_m: float) -> tuple[Array, Array]:
    """A field with one column more, linear between its neighbours.

    Parameters
    ----------
    x_m : ndarray, shape (column,)
        Positions, rising. [m]
    field : ndarray, shape (row, column)
        Values; an unknown neighbour makes an unknown value.
    at_m : float
        Where; nothing is added at a position that is there, nor outside. [m]

    Returns
    -------
    ndarray, ndarray
        Positions and field. [m, -]
    """
    if at_m in x_m or not x_m[0] < at_m < x_m[-1]:
        return x_m, field
    k = int(np.searchsorted(x_m, at_m))
    share = (at_m - x_m[k - 1]) / (x_m[k] - x_m[k - 1])
    column = field[:, k - 1] + share * (field[:, k] - field[:, k - 1])
    return np.insert(x_m, k, at_m), np.insert(field, k, column, axis=1)
