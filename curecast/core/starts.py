"""Every start judged: the least protection that keeps it, its rules, and the dates of its holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from curecast.core.chunks import in_parallel, run_starts
from curecast.core.edge_check import Suspect, checked_edges
from curecast.core.histories import Histories
from curecast.core.marches import EARLY_H, Rest, shared_rest, with_rest
from curecast.core.openings import Opening, openings
from curecast.core.protection import Measure
from curecast.core.rules.cold import (
    Frost,
    frost_under_h,
    judge_frost,
    judge_ground,
    judge_uncovering,
    judge_warmth,
)
from curecast.core.rules.day import judge_drying, judge_heat, judge_hours, judge_rain
from curecast.core.rules.finding import Finding, Start, overall
from curecast.core.rules.limits import KEPT
from curecast.core.strengths import ripe_age_h
from curecast.core.trials import (
    TRIAL_MEMBERS,
    Least,
    Told,
    least_measures,
)
from curecast.core.weekly import Candidate, Week, few_members, start_of

__all__ = ["HORIZON_H", "Candidate", "Judged", "Week", "judge_starts"]

#: Last date that is looked for. [h]
HORIZON_H = 180 * 24.0


@dataclass(frozen=True)
class Judged:
    """A start with its verdict.

    Parameters
    ----------
    candidate : Candidate
        The start. [h]
    origin_h : float
        Middle of placing, since 1970-01-01T00:00 UTC: ``openings`` count from here. [h]
    measure : Measure
        The least protection that keeps it, or what comes nearest. [-]
    verdict : str
        ``pour``, ``pour-with-protection``, ``at-risk`` or ``do-not-pour``. [-]
    frost : Frost
        The freeze rule. [various]
    findings : list of Finding
        All rules. [various]
    placed_c : float
        Concrete as placed, without error. [°C]
    final_set_h, finishing_h : float
        Of the run without error, after the origin; NaN where they are not reached. [h]
    openings : dict of str to Opening
        When each hold opens in each member. [h]
    would_work : Measure or None
        One that is not at hand and would keep it. [-]
    under_frost_h : float or None
        When frost may go under the slab in its first days, since 1970; it warns and judges
        nothing. [h]
    """

    candidate: Candidate
    origin_h: float
    measure: Measure
    verdict: str
    frost: Frost
    findings: list[Finding]
    placed_c: float
    final_set_h: float
    finishing_h: float
    openings: dict[str, Opening]
    would_work: Measure | None
    under_frost_h: float | None = None


def judge_starts(
    week: Week, candidates: Sequence[Candidate], told: Told = lambda _: None
) -> list[Judged]:
    """Judge every start, with dates of all holds.

    Parameters
    ----------
    week : Week
        What all starts share. [various]
    candidates : sequence of Candidate
        The starts, in order of time. [h]
    told : callable
        Called with the share that is done, 0..1. [-]

    Returns
    -------
    list of Judged
        One a candidate, in the same order. [various]
    """
    few = few_members(week, TRIAL_MEMBERS)
    least = least_measures(week, few, candidates, lambda share: told(0.4 * share))
    usable = [m for m in week.measures if m.at_hand]
    waiting: list[list[int]] = [[] for _ in usable]
    late = [i for i, chosen in least.items() if chosen.late]
    for i, chosen in least.items():
        if not chosen.late:
            waiting[usable.index(chosen.measure)].append(i)
    rest = None if week.full else _rest(week, candidates)
    judged: dict[int, Judged] = {}
    by_start = {candidates[i].start_h: chosen for i, chosen in least.items()}
    # What the crew's hours rule out is judged by few members.
    few_rest = None if rest is None else rest.first(few.weather.air_c.shape[1])
    lost = partial(_judge_chunk, few, usable[0], by_start, few_rest)
    judged |= dict(zip(late, in_parallel(few, [candidates[i] for i in late], lost), strict=True))
    for level, measure in enumerate(usable):
        group = waiting[level]
        work = partial(_judge_chunk, week, measure, by_start, rest)
        done = in_parallel(week, [candidates[i] for i in group], work)
        judged |= dict(zip(group, done, strict=True))
        for i in group:
            kept = judged[i].frost.finding.verdict == KEPT
            if not kept and least[i].keeps and level + 1 < len(usable):
                waiting[level + 1].append(i)  # the trial was too kind: one level more
        told(0.4 + 0.6 * len(judged) / len(candidates))
    return [judged[i] for i in range(len(candidates))]


def _rest(week: Week, candidates: Sequence[Candidate]) -> Rest:
    """The weeks after the first days, shared by all starts."""
    return shared_rest(
        week.case,
        week.weather,
        np.array([c.start_h for c in candidates]),
        HORIZON_H,
        week.case.exposure.latitude,
        ripe_age_h(week.strengths, week.rules),
        week.standing,
    )


def _judge_chunk(
    week: Week,
    measure: Measure,
    least: Mapping[float, Least],
    rest: Rest | None,
    candidates: Sequence[Candidate],
) -> list[Judged]:
    """Run a chunk of starts under one measure; those that look safe are checked at their edge."""
    ripe_h = ripe_age_h(week.strengths, week.rules) if rest is None else None
    until_h = HORIZON_H if rest is None else EARLY_H
    pasts = run_starts(week, candidates, measure, until_h, until_ripe_h=ripe_h)
    starts = [
        start_of(week, candidate, measure, past.first_hours(EARLY_H))
        for candidate, past in zip(candidates, pasts, strict=True)
    ]
    frosts = [judge_frost(start, week.strengths) for start in starts]
    safe = [
        i
        for i, frost in enumerate(frosts)
        if frost.finding.verdict == KEPT and not least[candidates[i].start_h].late
    ]
    suspects = [Suspect(starts[i], frosts[i]) for i in safe]
    checked = checked_edges(week, suspects, measure.spells, warm=measure.warm_mix)
    for i, frost in zip(safe, checked, strict=True):
        frosts[i] = frost
    return [
        _judged(week, candidate, measure, start, whole, frost, least[candidate.start_h])
        for candidate, start, whole, frost in zip(
            candidates, starts, _carried_on(starts, pasts, rest), frosts, strict=True
        )
    ]


def _carried_on(
    starts: Sequence[Start], pasts: Sequence[Histories], rest: Rest | None
) -> Iterator[Histories]:
    """Each start's months, one at a time."""
    for start, past in zip(starts, pasts, strict=True):
        yield past if rest is None else with_rest(past, rest, start.origin_h, HORIZON_H)


def _judged(
    week: Week,
    candidate: Candidate,
    measure: Measure,
    start: Start,
    whole: Histories,
    frost: Frost,
    least: Least,
) -> Judged:
    past = start.past
    findings = [
        frost.finding,
        judge_ground(start),
        judge_hours(start),
        judge_rain(start),
        judge_heat(start),
        judge_warmth(start, frost.safe_h),
        judge_drying(start),
        judge_uncovering(start),
    ]
    under_h = frost_under_h(past, 0.0, float(past.t_h[-1]))
    return Judged(
        candidate=candidate,
        origin_h=start.origin_h,
        measure=measure,
        verdict=overall(findings, protected=measure.level > 0),
        frost=frost,
        findings=findings,
        placed_c=start.placed_c,
        final_set_h=float(past.final_set_h[0]),
        finishing_h=float(past.finishing_h[0]),
        openings=openings(whole, week.strengths, week.rules, week.case.middle_h),
        would_work=least.would_work,
        under_frost_h=None if under_h is None else start.origin_h + under_h,
    )
