"""The alphabet of the pictures: SVG elements with every text and value escaped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from markupsafe import Markup, escape
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

#: Mean width of a letter over the size of the type; on the wide side, so that words fit.
LETTER = 0.62


def number(value: float) -> str:
    """A coordinate to a tenth of a pixel.

    >>> number(12.04), number(3.25)
    ('12', '3.2')
    """
    if not math.isfinite(value):
        raise ValueError("a coordinate must be a finite number")
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def element(tag: str, *inside: object, **attributes: object) -> Markup:
    """One element; ``class_`` stands for ``class``, an underscore inside a name for a hyphen.

    >>> str(element("text", "a < b", x=2.0, class_="note"))
    '<text x="2" class="note">a &lt; b</text>'
    """
    said = Markup("").join(
        Markup(' {}="{}"').format(
            Markup(name.rstrip("_").replace("_", "-")),
            number(value) if isinstance(value, float) else value,
        )
        for name, value in attributes.items()
        if value is not None
    )
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(tag), said, together(inside))


def together(parts: Iterable[object]) -> Markup:
    """Several elements in a row; what is plain text is escaped."""
    return Markup("").join(escape(part) for part in parts)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> Markup:
    """A straight line."""
    return element("line", x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2), class_=class_)


def box(x: float, y: float, width: float, height: float, class_: str) -> Markup:
    """A rectangle."""
    return element(
        "rect", x=float(x), y=float(y), width=float(width), height=float(height), class_=class_
    )


def words(x: float, y: float, text: str, class_: str = "", anchor: str | None = None) -> Markup:
    """One line of text."""
    return element("text", text, x=float(x), y=float(y), class_=class_ or None, text_anchor=anchor)


def width_of(text: str, size: float) -> float:
    """About how wide a text is. [px]"""
    return LETTER * size * len(text)


def spread(wanted: Sequence[float], least: float, low: float, high: float) -> list[float]:
    """Places for labels: as near as can be to where they belong, and not on each other.

    Parameters
    ----------
    wanted : sequence of float
        Where each belongs. [px]
    least : float
        Least distance between two. [px]
    low, high : float
        Limits; where there are too many labels they overrun ``high``. [px]

    Returns
    -------
    list of float
        In the order of ``wanted``. [px]

    Examples
    --------
    >>> spread([50.0, 52.0, 10.0], 10.0, 0.0, 60.0)
    [46.0, 56.0, 10.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    groups: list[list[int]] = []
    starts: list[float] = []

    def start(group: list[int]) -> float:
        middle = sum(wanted[i] for i in group) / len(group)
        length = least * (len(group) - 1)
        return max(low, min(middle - length / 2.0, high - length))

    for i in order:
        groups.append([i])
        starts.append(start([i]))
        while len(groups) > 1 and starts[-1] < starts[-2] + least * len(groups[-2]):
            last = groups.pop()
            starts.pop()
            groups[-1].extend(last)
            starts[-1] = start(groups[-1])
    placed = [0.0] * len(wanted)
    for group, first in zip(groups, starts, strict=True):
        for k, i in enumerate(group):
            placed[i] = first + least * k
    return placed


def thinned(x: ArrayLike, y: ArrayLike, pixels: float = 1.0) -> NDArray[np.int64]:
    """Which points of a line are enough to draw it: the ends and extremes of each pixel column.

    Parameters
    ----------
    x, y : array_like, shape (point,)
        Points in pixels, ``x`` rising. [px]
    pixels : float
        Width of a column. [px]

    Returns
    -------
    ndarray of int
        Indices in order; at most four a column. [-]
    """
    across, up = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if len(across) <= 2:
        return np.arange(len(across))
    column = np.floor(across / pixels).astype(np.int64)
    first = np.concatenate([[True], np.diff(column) > 0])
    starts = np.flatnonzero(first)
    group = np.cumsum(first) - 1
    order = np.lexsort((up, group))
    ends = np.concatenate([starts[1:], [len(across)]]) - 1
    keep = np.concatenate([starts, ends, order[starts], order[ends]])
    return np.unique(keep)


def path_of(x: ArrayLike, y: ArrayLike, *, pixels: float = 1.0) -> str:
    """The path of a line; it breaks where a point is unknown."""
    across, up = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    known = np.isfinite(across) & np.isfinite(up)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]])))
    pieces: list[str] = []
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        xs, ys = across[begin:end], up[begin:end]
        keep = thinned(xs, ys, pixels)
        joined = "L".join(
            f"{number(a)} {number(b)}" for a, b in zip(xs[keep], ys[keep], strict=True)
        )
        pieces.append(f"M{joined}")
    return "".join(pieces)


def curve(x: ArrayLike, y: ArrayLike, class_: str, *, pixels: float = 1.0) -> Markup:
    """A line through points."""
    return element("path", d=path_of(x, y, pixels=pixels), class_=f"line {class_}")


def band(x: ArrayLike, low: ArrayLike, high: ArrayLike, class_: str) -> Markup:
    """The area between two lines, in pixels; ``low`` and ``high`` in either order."""
    across = np.asarray(x, dtype=float)
    a, b = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    known = np.isfinite(across) & np.isfinite(a) & np.isfinite(b)
    across, a, b = across[known], a[known], b[known]
    if len(across) < 2:
        return Markup("")
    there, back = thinned(across, a, 1.5), thinned(across, b, 1.5)[::-1]
    points = [*zip(across[there], a[there], strict=True), *zip(across[back], b[back], strict=True)]
    joined = "L".join(f"{number(p)} {number(q)}" for p, q in points)
    return element("path", d=f"M{joined}Z", class_=class_)
