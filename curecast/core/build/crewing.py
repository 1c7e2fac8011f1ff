"""A crew's batches: who mixes how, what a barrow takes, when each batch is mixed and placed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.build.bags import bag_yield_m3, whole_up
from curecast.core.build.pace import MINUTES_80_LB
from curecast.core.build.pacing import (
    BREAK_EVERY_MIN,
    BREAK_MIN,
    Passage,
    Station,
    pass_batches,
)
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: A barrow of wet concrete: 2 ft3 (common practice). [m3]
BARROW_M3 = 2.0 * 0.3048**3
#: Work on one 80 lb bag without its breaks, which `pace` has in its figure. [person-min]
WORK_80_LB = MINUTES_80_LB * BREAK_EVERY_MIN / (BREAK_EVERY_MIN + BREAK_MIN)
#: Shares of that work: mixing by hand or filling a drum, wheeling, placing, screeding; mixing
#: and wheeling take what an old norm gives one man, 1.5 to 1.75 yd3 in 8 h (ASSUMED split).
MIX, FILL, WHEEL, PLACE, SCREED = 0.55, 0.15, 0.25, 0.12, 0.08
#: Of the wheeling this is the walk, one a batch whatever is in it (ASSUMED). [person-min]
WALK_MIN = 0.8
#: A drum turns so long for a batch, its filling in it (common practice). [min]
DRUM_MIN = 3.0
#: More people than this get in each other's way (ASSUMED). [-]
USEFUL_PEOPLE = 6
#: Scatter of one task, and of a whole day (ASSUMED). [-]
TASK_SCATTER, DAY_SCATTER = 0.25, 0.12


@dataclass(frozen=True)
class Mixing:
    """How a crew works.

    Parameters
    ----------
    bags : int
        Bags in all. [-]
    bag_kg : float
        Dry mass of one. [kg]
    people : int
        Who works. [-]
    per_batch : int
        Bags a batch. [-]
    drum : bool
        Whether a drum mixes. [-]
    bag_m3 : float or None
        What one bag gives; None: by its mass. [m3]
    """

    bags: int
    bag_kg: float
    people: int
    per_batch: int = 1
    drum: bool = False
    bag_m3: float | None = None


@dataclass(frozen=True)
class Timetable:
    """The batches of one day, from the start of the first.

    Parameters
    ----------
    bags : tuple of int
        Bags of each batch. [-]
    mix_min, placed_min, screeded_min : ndarray, shape (batch,)
        Mixing begins, the batch lies in the form, it is struck off. [min]
    hands : int
        How many of the crew it takes; more gain nothing. [-]
    """

    bags: tuple[int, ...]
    mix_min: Array
    placed_min: Array
    screeded_min: Array
    hands: int


def check_crew(crew: Mixing) -> None:
    """Refuse a crew of none, and a batch that no barrow takes.

    Parameters
    ----------
    crew : Mixing
        How they work. [various]

    Raises
    ------
    OutOfRange
        In one sentence.
    """
    if crew.people < 1:
        raise OutOfRange("a crew of none places no concrete", "give at least one person")
    if crew.per_batch < 1:
        raise OutOfRange("a batch of no bags gives no concrete", "give at least one bag a batch")
    one = bag_yield_m3(crew.bag_kg) if crew.bag_m3 is None else crew.bag_m3
    if crew.per_batch * one > BARROW_M3 * (1.0 + 1e-9):
        most = max(1, int(BARROW_M3 / one + 1e-9))
        raise OutOfRange(
            f"a batch of {crew.per_batch} bags is {1000.0 * crew.per_batch * one:.0f} l, more than "
            f"a barrow's {1000.0 * BARROW_M3:.0f} l (2 ft3)",
            f"mix at most {most} at a time",
        )


def batch_bags(bags: int, per_batch: int) -> tuple[int, ...]:
    """Bags of each batch; the last takes what is left.

    Parameters
    ----------
    bags : int
        In all. [-]
    per_batch : int
        A full batch. [-]

    Returns
    -------
    tuple of int
        Their sum is ``bags``. [-]

    Examples
    --------
    >>> batch_bags(5, 2)
    (2, 2, 1)
    """
    count = whole_up(bags / per_batch)
    return tuple(min(per_batch, bags - i * per_batch) for i in range(count))


def stations_of(crew: Mixing, scatter: np.random.Generator | None = None) -> list[Station]:
    """The crew's stations; a trough each, a barrow for two.

    Parameters
    ----------
    crew : Mixing
        How they work. [various]
    scatter : numpy Generator or None
        Draws every task's time; None for the times as they stand. [-]

    Returns
    -------
    list of Station
        Mixing, wheeling, placing, screeding. [min]
    """
    loads = np.array(batch_bags(crew.bags, crew.per_batch), dtype=np.float64)
    work = WORK_80_LB * crew.bag_kg / BAG_80_LB_KG * loads
    times = np.stack(
        [
            (FILL if crew.drum else MIX) * work,
            (WHEEL - WALK_MIN / WORK_80_LB) * work + WALK_MIN,
            PLACE * work,
            SCREED * work,
        ]
    )
    if scatter is not None:
        times *= np.exp(DAY_SCATTER * scatter.standard_normal())
        times *= np.exp(TASK_SCATTER * scatter.standard_normal((len(loads), 4)).T)
    barrows = (crew.people + 1) // 2
    mix = (
        Station("mix", times[0], 1, np.maximum(DRUM_MIN - times[0], 0.0))
        if crew.drum
        else Station("mix", times[0], crew.people)
    )
    return [
        mix,
        Station("wheel", times[1], barrows),
        Station("place", times[2], barrows),
        Station("screed", times[3], 1),
    ]


def timetable(crew: Mixing) -> Timetable:
    """The day's batches.

    Parameters
    ----------
    crew : Mixing
        How they work. [various]

    Returns
    -------
    Timetable
        With as many hands as end first: one person more may always stand aside, so that more
        people never end later. [min]

    Raises
    ------
    OutOfRange
        See ``check_crew``.

    Examples
    --------
    >>> abs(float(timetable(Mixing(38, 36.287, 2)).placed_min[-1]) / 60.0 - 2.5) < 0.1
    True
    """
    check_crew(crew)
    bags = batch_bags(crew.bags, crew.per_batch)
    best: Passage | None = None
    hands = 1
    for people in range(1, min(crew.people, USEFUL_PEOPLE) + 1):
        tried = replace(crew, people=people)
        done = pass_batches(stations_of(tried), people)
        if best is None or done.end_min < best.end_min - 1e-9:
            best, hands = done, people
    assert best is not None
    placed, screeded = (np.maximum.accumulate(best.ends_min[i]) for i in (2, 3))
    return Timetable(bags, best.begins_min[0], placed, screeded, hands)


def placing_runs_min(crew: Mixing, runs: int, seed: int = 0) -> Array:
    """When the last batch is struck off, in days that scatter.

    Parameters
    ----------
    crew : Mixing
        How they work. [various]
    runs : int
        Days. [-]
    seed : int
        Of the first; the same seed gives the same days. [-]

    Returns
    -------
    ndarray, shape (run,)
        From the start of the first batch. [min]
    """
    check_crew(crew)
    ends = np.full(runs, np.inf)
    for people in range(1, min(crew.people, USEFUL_PEOPLE) + 1):
        tried = replace(crew, people=people)
        for i in range(runs):
            stations = stations_of(tried, np.random.default_rng(seed + i))
            ends[i] = min(ends[i], pass_batches(stations, people).end_min)
    return ends
