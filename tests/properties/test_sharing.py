"""Several slabs for one crew: no day twice, no blanket twice, never worse than the first come."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.core.sharing import Option, clashes, placed


@st.composite
def options(draw: st.DrawFn) -> Option:
    day = draw(st.integers(0, 4))
    from_h = 24.0 * day + draw(st.integers(8, 16))
    lies_h = draw(st.sampled_from([20.0, 66.0, 100.0]))
    takes = (draw(st.integers(0, 3)), draw(st.integers(0, 1)))
    cost = (float(draw(st.integers(0, 3))), float(draw(st.integers(0, 50))))
    return Option(day, from_h, from_h + lies_h, takes, cost)


SLABS = st.lists(st.lists(options(), max_size=4), min_size=1, max_size=4)
STOCK = st.tuples(st.integers(0, 4), st.integers(0, 1))


def total(slabs: list[list[Option]], picked: list[int | None]) -> tuple[float, ...]:
    """As the search counts it: slabs left out, then each cost's sum."""
    chosen = [slab[i] for slab, i in zip(slabs, picked, strict=True) if i is not None]
    return (
        float(picked.count(None)),
        sum(o.cost[0] for o in chosen),
        sum(o.cost[1] for o in chosen),
    )


def first_come(slabs: list[list[Option]], stock: tuple[int, int]) -> list[int | None]:
    """Each slab in turn takes the cheapest start that is left."""
    taken: list[Option] = []
    picked: list[int | None] = []
    for slab in slabs:
        free = [i for i, o in enumerate(slab) if not clashes([*taken, o], stock)]
        best = min(free, key=lambda i: slab[i].cost, default=None)
        picked.append(best)
        taken += [] if best is None else [slab[best]]
    return picked


@settings(max_examples=120, deadline=None)
@given(SLABS, STOCK)
def test_no_day_twice_and_nothing_lent_twice(
    slabs: list[list[Option]], stock: tuple[int, int]
) -> None:
    picked = placed(slabs, stock)
    chosen = [slab[i] for slab, i in zip(slabs, picked, strict=True) if i is not None]
    days = [o.day for o in chosen]
    assert len(set(days)) == len(days)
    for hour in range(0, 240):
        lying = [o for o in chosen if o.from_h <= hour < o.until_h]
        for k, have in enumerate(stock):
            assert sum(o.takes[k] for o in lying) <= have


@settings(max_examples=120, deadline=None)
@given(SLABS, STOCK)
def test_never_worse_than_first_come(slabs: list[list[Option]], stock: tuple[int, int]) -> None:
    assert total(slabs, placed(slabs, stock)) <= total(slabs, first_come(slabs, stock))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(options(), max_size=3), min_size=1, max_size=3), STOCK)
def test_the_search_is_exact(slabs: list[list[Option]], stock: tuple[int, int]) -> None:
    best = min(
        total(slabs, list(picked))
        for picked in product(*([None, *range(len(slab))] for slab in slabs))
        if not clashes(
            [slab[i] for slab, i in zip(slabs, picked, strict=True) if i is not None], stock
        )
    )
    assert total(slabs, placed(slabs, stock)) == best
