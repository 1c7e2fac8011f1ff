"""Batches through stations, with people who are one pool and take breaks: event by event."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import simpy
from numpy.typing import NDArray

from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: A break for everyone in turn, after so long a spell of work (common practice). [min]
BREAK_MIN, BREAK_EVERY_MIN = 15.0, 120.0


@dataclass(frozen=True)
class Station:
    """One thing that every batch passes.

    Parameters
    ----------
    name : str
        In plain words. [-]
    minutes : ndarray, shape (batch,)
        One person's time for each batch. [min]
    servers : int
        Batches that it takes at once, at least 1. [-]
    alone_min : ndarray, shape (batch,), or None
        What it then does by itself, as a drum that turns; None for nothing. [min]
    """

    name: str
    minutes: Array
    servers: int = 1
    alone_min: Array | None = None


@dataclass(frozen=True)
class Passage:
    """When every batch passed every station, from the start of the first.

    Parameters
    ----------
    begins_min, ends_min : ndarray, shape (station, batch)
        Work on the batch begins, and the batch is ready to go on. [min]
    """

    begins_min: Array
    ends_min: Array

    @property
    def end_min(self) -> float:
        """When the last batch has passed the last station. [min]"""
        return float(self.ends_min.max(initial=0.0))


def pass_batches(
    stations: Sequence[Station],
    people: int,
    *,
    break_min: float = BREAK_MIN,
    break_every_min: float = BREAK_EVERY_MIN,
) -> Passage:
    """Let every batch pass every station, in order.

    Parameters
    ----------
    stations : sequence of Station
        In order; all have as many batches. [various]
    people : int
        Who works: at each moment on what is furthest along, the oldest batch first. [-]
    break_min, break_every_min : float
        A break for each person in turn after every spell; 0 min for none. [min]

    Returns
    -------
    Passage
        Instants. A batch stays where it is until the next station takes it. [min]

    Raises
    ------
    OutOfRange
        For a crew of none.

    Examples
    --------
    >>> line = [Station("mix", np.full(5, 3.0)), Station("place", np.full(5, 2.0))]
    >>> pass_batches(line, 2, break_min=0.0).end_min
    17.0
    """
    if people < 1:
        raise OutOfRange("a crew of none places no concrete", "give at least one person")
    count = len(stations[0].minutes)
    begins, ends = np.zeros((2, len(stations), count))
    if count == 0:
        return Passage(begins, ends)
    env = simpy.Environment()
    pool = simpy.PriorityResource(env, people)
    places = [simpy.PriorityResource(env, s.servers) for s in stations]
    last = len(stations)

    def one(n: int) -> Generator[Any, Any, None]:
        held: Any = None
        for i, station in enumerate(stations):
            taken = places[i].request(priority=n)
            yield taken
            hand = pool.request(priority=(last - i) * count + n)
            yield hand
            if held is not None:
                places[i - 1].release(held)
            held, begins[i, n] = taken, env.now
            yield env.timeout(float(station.minutes[n]))
            pool.release(hand)
            if station.alone_min is not None:
                yield env.timeout(float(station.alone_min[n]))
            ends[i, n] = env.now
        places[-1].release(held)

    def rests(person: int) -> Generator[Any, Any, None]:
        yield env.timeout(break_every_min + person * break_min)
        while True:
            hand = pool.request(priority=-1)
            yield hand
            yield env.timeout(break_min)
            pool.release(hand)
            yield env.timeout(break_every_min)

    batches = [env.process(one(n)) for n in range(count)]
    if break_min > 0.0:
        for person in range(people):
            env.process(rests(person))
    env.run(until=env.all_of(batches))
    return Passage(begins, ends)


def widest_gap_min(placed_min: Sequence[float], sets_min: Sequence[float]) -> tuple[float, int]:
    """The least time that any batch leaves for the one that has to lie against it.

    Parameters
    ----------
    placed_min : sequence of float
        When each batch is placed. [min]
    sets_min : sequence of float
        When each reaches initial set. [min]

    Returns
    -------
    gap, batch : tuple of (float, int)
        The gap and the index of the batch that allows no more. [min, -]

    Examples
    --------
    >>> widest_gap_min([10.0, 20.0], [250.0, 255.0])
    (235.0, 1)
    """
    left = [s - p for p, s in zip(placed_min, sets_min, strict=True)]
    n = min(range(len(left)), key=left.__getitem__)
    return left[n], n


def late_batches(placed_min: Sequence[float], sets_min: Sequence[float]) -> list[int]:
    """Batches that have set before the next one lies against them: cold joints by plan.

    Parameters
    ----------
    placed_min : sequence of float
        When each batch is placed. [min]
    sets_min : sequence of float
        When each reaches initial set. [min]

    Returns
    -------
    list of int
        Their indices. [-]
    """
    nexts = [later for _, later in pairwise(placed_min)]
    return [n for n, (at, late) in enumerate(zip(sets_min, nexts, strict=False)) if late > at]
