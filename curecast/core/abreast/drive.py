"""Computations that ask for marches: one alone, or many whose marches go side by side.

A computation is a generator. It yields what it wants marched and is sent what came of it; who
drives it decides with whom it marches. Its answer does not depend on its company by more than
the rounding of single precision.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from typing import Any, TypeVar

from curecast.core.abreast.edge_lane import EdgeLane
from curecast.core.abreast.edges import march_edges
from curecast.core.abreast.lane import Lane
from curecast.core.abreast.march import march_abreast

T = TypeVar("T")
Asked = TypeVar("Asked", bound=Lane | EdgeLane)
#: Yields a ``Lane`` and is sent its ``Histories``, or an ``EdgeLane`` and its ``EdgeTrail``.
Marching = Generator[Lane | EdgeLane, Any, T]

#: How many go side by side: more would no longer fit the processor's caches.
LANES, EDGES = 16, 8


def alone(computation: Marching[T]) -> T:
    """Drive one computation to its answer.

    Parameters
    ----------
    computation : generator
        Not yet begun. [various]

    Returns
    -------
    object
        Its answer. [various]
    """
    sent: Any = None
    while True:
        try:
            wanted = computation.send(sent)
        except StopIteration as end:
            answer: T = end.value
            return answer
        sent = _marched([wanted])[0]
        if isinstance(sent, Exception):
            raise sent


def together(computations: Sequence[Marching[T]]) -> list[T | Exception]:
    """Drive many computations, their marches side by side.

    Parameters
    ----------
    computations : sequence of generator
        Not yet begun. [various]

    Returns
    -------
    list
        Each one's answer, or the exception that ended it: one that fails stops no other.
        [various]
    """
    answers: dict[int, T | Exception] = {}
    wanted: dict[int, Lane | EdgeLane] = {}

    def send(i: int, value: Any) -> None:
        one = computations[i]
        try:
            wanted[i] = one.throw(value) if isinstance(value, Exception) else one.send(value)
        except StopIteration as end:
            answers[i] = end.value
        except Exception as fault:
            answers[i] = fault

    for i in range(len(computations)):
        send(i, None)
    while wanted:
        edges = {i: one for i, one in wanted.items() if isinstance(one, EdgeLane)}
        lanes = {i: one for i, one in wanted.items() if isinstance(one, Lane)}
        groups: list[dict[int, Any]] = [*_groups(lanes, LANES), *_groups(edges, EDGES)]
        wanted = {}
        for group in groups:
            for i, found in zip(group, _marched(list(group.values())), strict=True):
                send(i, found)
    return [answers[i] for i in range(len(computations))]


def _groups(waiting: Mapping[int, Asked], most: int) -> list[dict[int, Asked]]:
    """Some of those that wait, those of like length together."""
    ordered = sorted(waiting, key=lambda i: waiting[i].steps)
    chunks = [ordered[k : k + most] for k in range(0, len(ordered), most)]
    return [{i: waiting[i] for i in chunk} for chunk in chunks]


def _marched(asked: Sequence[Lane | EdgeLane]) -> list[Any]:
    """What came of some marches of one kind; a fault in one is that one's alone."""
    march: Callable[[Any], list[Any]] = march_abreast
    if isinstance(asked[0], EdgeLane):
        march = march_edges
    try:
        return march(asked)
    except Exception as fault:
        return [fault] if len(asked) == 1 else [_marched([one])[0] for one in asked]
