"""The least protection for each start: tried a level at a time, with few members."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from curecast.core.case import FINISHING_H, Case
from curecast.core.chunks import in_parallel, run_starts
from curecast.core.concrete.setting import finishing_start_h_at
from curecast.core.protection import Measure
from curecast.core.rules.cold import judge_frost
from curecast.core.rules.limits import KEPT
from curecast.core.weekly import WARM_TO_C, Candidate, Week, start_of

Told = Callable[[float], None]

#: Members besides the first that a level of protection is tried with.
TRIAL_MEMBERS = 30
#: How far a trial looks. [h]
TRIAL_H = 168.0
#: A start that would end so long after the crew's day is not tried further. [h]
_LATE_H = 2.0
#: From this chance on few members settle that a level does not keep a start: below, a night
#: more before they can bear frost may make all the difference. [-]
_PLAIN = 0.9
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
    late : bool
        Whether it ends hours after the crew's day: it is lost already, and not tried. [-]
    """

    measure: Measure
    keeps: bool = False
    would_work: Measure | None = None
    late: bool = False


def least_measures(
    week: Week, few: Week, candidates: Sequence[Candidate], told: Told
) -> dict[int, Least]:
    """The least measure that keeps each start's freeze rule.

    Few members try a level; where they leave doubt, all of them try it again.

    Parameters
    ----------
    week : Week
        What all starts share. [various]
    few : Week
        The same with few members. [various]
    candidates : sequence of Candidate
        The starts. [h]
    told : callable
        Called with the share that is done, 0..1. [-]

    Returns
    -------
    dict of int to Least
        By index of the candidate. A start that would end hours after the crew's day however
        warm it is placed is not tried. [-]
    """
    late = [i for i, one in enumerate(candidates) if hopelessly_late(week.case, one)]
    found = {i: Least(week.measures[0], late=True) for i in late}
    searching = [i for i in range(len(candidates)) if i not in found]
    chances: dict[int, list[float]] = {i: [] for i in searching}
    would_work: dict[int, Measure | None] = {}
    for level, measure in enumerate(week.measures):
        tried = _chances(week, few, measure, [candidates[i] for i in searching])
        for i, chance in zip(searching, tried, strict=True):
            chances[i].append(chance)
            if week.limits.verdict(chance) != KEPT:
                continue
            if measure.at_hand:
                found[i] = Least(measure, True)
            else:
                would_work[i] = measure
        searching = [i for i in searching if i not in found and i not in would_work]
        told((level + 1) / len(week.measures))
        if not searching:
            break
    left = [i for i in chances if i not in found]
    return found | {
        i: Least(_nearest(week.measures, chances[i]), False, would_work.get(i)) for i in left
    }


def _nearest(measures: Sequence[Measure], chances: Sequence[float]) -> Measure:
    """What is at hand and comes nearest, for a start that nothing at hand keeps."""
    at_hand = [one for one in zip(chances, measures, strict=False) if one[1].at_hand]
    best = at_hand[0]
    for chance, measure in at_hand:
        if chance < best[0] - _NEARER:
            best = chance, measure
    return best[1]


def _chances(
    week: Week, few: Week, measure: Measure, candidates: Sequence[Candidate]
) -> list[float]:
    """Chance that each start breaks the freeze rule under one measure."""
    if week.full:
        return in_parallel(week, candidates, partial(_tried, week, measure, False))
    chances = in_parallel(few, candidates, partial(_tried, few, measure, True))
    doubt = [i for i, chance in enumerate(chances) if 0.0 < chance < _PLAIN]
    again = in_parallel(week, [candidates[i] for i in doubt], partial(_tried, week, measure, False))
    for i, chance in zip(doubt, again, strict=True):
        chances[i] = chance
    return chances


def _tried(
    week: Week, measure: Measure, coarse: bool, candidates: Sequence[Candidate]
) -> list[float]:
    """The same for a chunk of starts, until nearly all members can bear frost."""
    pasts = run_starts(week, candidates, measure, TRIAL_H, coarse=coarse, until_safe=True)
    chances = []
    for candidate, past in zip(candidates, pasts, strict=True):
        start = start_of(week, candidate, measure, past)
        chance = judge_frost(start, week.strengths).finding.chance
        chances.append(1.0 if chance is None else chance)
    return chances


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
