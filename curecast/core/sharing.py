"""Several slabs, one crew, shared blankets: which start for each, the best over all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

#: What may be at hand of each thing that is lent from slab to slab.
THINGS = ("blanket", "heater")


@dataclass(frozen=True)
class Option:
    """One start that one slab could have.

    Parameters
    ----------
    day : int
        The crew's day, counted from any first day. [d]
    from_h, until_h : float
        From when to when what it borrows lies on it, on one clock. [h]
    takes : tuple of int
        How many of each of ``THINGS`` it borrows. [-]
    cost : tuple of float
        What it costs, the weightiest first; the same length everywhere. [-]
    """

    day: int
    from_h: float
    until_h: float
    takes: tuple[int, ...]
    cost: tuple[float, ...]


def clashes(options: Sequence[Option], stock: Sequence[int]) -> bool:
    """Whether starts get in each other's way: two on a day, or more lent than there is.

    Parameters
    ----------
    options : sequence of Option
        One a slab. [various]
    stock : sequence of int
        How many of each of ``THINGS`` there are. [-]

    Returns
    -------
    bool
        Whether they clash. [-]

    Examples
    --------
    >>> wed = Option(2, 60.0, 130.0, (2, 0), (0.0,))
    >>> fri = Option(4, 105.0, 180.0, (1, 0), (0.0,))
    >>> clashes([wed, fri], (2, 0)), clashes([wed, fri], (3, 0))
    (True, False)
    """
    if len({option.day for option in options}) < len(options):
        return True
    for at in options:  # what lies out is most when something has just been laid
        there = [o for o in options if o.from_h <= at.from_h < o.until_h or o is at]
        for k, have in enumerate(stock):
            if sum(option.takes[k] for option in there) > have:
                return True
    return False


def placed(slabs: Sequence[Sequence[Option]], stock: Sequence[int]) -> list[int | None]:
    """The best start of every slab, none in another's way.

    Parameters
    ----------
    slabs : sequence of sequence of Option
        What each slab could have. [various]
    stock : sequence of int
        How many of each of ``THINGS`` there are. [-]

    Returns
    -------
    list of (int or None)
        Index of each slab's option; None where it has none left. As many slabs as can be are
        placed; among those the least sum of costs, the weightiest first. An exact search:
        branches that cannot become better are cut off. [-]

    Examples
    --------
    >>> monday = Option(0, 0.0, 1.0, (0, 0), (0.0,))
    >>> tuesday = Option(1, 24.0, 25.0, (0, 0), (1.0,))
    >>> placed([[monday, tuesday], [monday]], (0, 0))
    [1, 0]
    """
    width = max((len(o.cost) for slab in slabs for o in slab), default=0)
    best: tuple[tuple[float, ...], list[int | None]] | None = None
    least = _least_ahead(slabs, width)

    def go(k: int, so_far: list[int | None], taken: list[Option], cost: tuple[float, ...]) -> None:
        nonlocal best
        if best is not None and _sum(cost, least[k]) >= best[0]:
            return
        if k == len(slabs):
            best = (cost, list(so_far))
            return
        order = sorted(range(len(slabs[k])), key=lambda i: slabs[k][i].cost)
        for i in order:
            option = slabs[k][i]
            if not clashes([*taken, option], stock):
                more = _sum(cost, (0.0, *option.cost))
                go(k + 1, [*so_far, i], [*taken, option], more)
        go(k + 1, [*so_far, None], taken, _sum(cost, (1.0, *([0.0] * width))))

    go(0, [], [], (0.0,) * (width + 1))
    return [] if best is None else best[1]


def _least_ahead(slabs: Sequence[Sequence[Option]], width: int) -> list[tuple[float, ...]]:
    """What the slabs from each one on cost at least, if none were in another's way."""
    left_out = (1.0, *([0.0] * width))
    found = [(0.0,) * (width + 1)]
    for slab in reversed(slabs):
        own = min(((0.0, *option.cost) for option in slab), default=left_out)
        found.append(_sum(found[-1], own))
    return found[::-1]


def _sum(one: tuple[float, ...], other: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(a + b for a, b in zip(one, other, strict=True))
