"""The least protection for each start: tried a level at a time, with few members."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from curecast.core.case import FINISHING_H, Case
from curecast.core.concrete.setting import finishing_start_h_at
from curecast.core.histories import Histories
from curecast.core.protection import Measure
from curecast.core.rules.cold import judge_frost
from curecast.core.rules.limits import KEPT
from curecast.core.weekly import WARM_TO_C, Candidate, Week, run_starts, start_of

Told = Callable[[float], None]

#: Members besides the first that a level of protection is tried with.
TRIAL_MEMBERS = 30
#: How far a trial looks. [h]
TRIAL_H = 168.0
#: A start that would end so long after the crew's day is not tried further. [h]
_LATE_H = 2.0
#: A level must lower the chance of frost by this to count as nearer. [-]
_NEARER = 0.05


@dataclass(frozen=True)
class Least:
    """What came of the trials for one start.

    Parameters
    ----------
    measure : Measure
        The least that keeps it, or at hand what comes nearest. [-]
    keeps : bool
        Whether it kept the freeze rule in the trial. [-]
    would_work : Measure or None
        One that is not at hand and would keep it. [-]
    late : Histories or None
        The trial itself, for a start that ends hours after the crew's day: it is lost already,
        and its few members serve for the rest. [various]
    """

    measure: Measure
    keeps: bool = False
    would_work: Measure | None = None
    late: Histories | None = None


def least_measures(week: Week, candidates: Sequence[Candidate], told: Told) -> dict[int, Least]:
    """The least measure that keeps each start's freeze rule, by trial with few members.

    Parameters
    ----------
    week : Week
        What all starts share, with few members. [various]
    candidates : sequence of Candidate
        The starts. [h]
    told : callable
        Called with the share that is done, 0..1. [-]

    Returns
    -------
    dict of int to Least
        By index of the candidate. A start that would end hours after the crew's day however
        warm it is placed is not tried further. [-]
    """
    searching = list(range(len(candidates)))
    found: dict[int, Least] = {}
    nearest: dict[int, tuple[float, Measure]] = {}
    for level, measure in enumerate(week.measures):
        picked = [candidates[i] for i in searching]
        still: list[int] = []
        pasts = run_starts(week, picked, measure, TRIAL_H, until_safe=True)
        for i, past in zip(searching, pasts, strict=True):
            start = start_of(week, candidates[i], measure, past)
            finding = judge_frost(start, week.strengths).finding
            chance = 1.0 if finding.chance is None else finding.chance
            if level == 0 and hopelessly_late(week.case, candidates[i]):
                found[i] = Least(measure, late=past)
                continue
            if measure.at_hand and (i not in nearest or chance < nearest[i][0] - _NEARER):
                nearest[i] = (chance, measure)
            if finding.verdict == KEPT and measure.at_hand:
                found[i] = Least(measure, True)
            elif finding.verdict == KEPT:
                found[i] = Least(nearest[i][1], False, measure)
            else:
                still.append(i)
        searching = still
        told((level + 1) / len(week.measures))
        if not searching:
            break
    return found | {i: Least(nearest[i][1]) for i in searching}


def hopelessly_late(case: Case, candidate: Candidate) -> bool:
    """Whether even concrete landing at 13 °C would be finished long after the crew's day.

    Parameters
    ----------
    case : Case
        The slab. [various]
    candidate : Candidate
        The start. [h]

    Returns
    -------
    bool
        More than two hours after it. [-]
    """
    warm_h = case.placing_h + float(finishing_start_h_at(WARM_TO_C)) + FINISHING_H
    return candidate.start_h + warm_h > candidate.crew_until_h + _LATE_H
