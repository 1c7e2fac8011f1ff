"""Which starts work: every start, with the least protection that keeps it.

Starts that fail bare are tried again with more, a level at a time and with few members; the
level that keeps a start is then run with all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import FINISHING_H, Case
from curecast.core.concrete.setting import finishing_start_h_at
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import Histories
from curecast.core.holdpoints import HoldRule
from curecast.core.marches import (
    EARLY_H,
    Batch,
    Rest,
    day_mean_c,
    ground_c,
    run,
    shared_rest,
    with_rest,
)
from curecast.core.openings import Opening, Strengths, openings
from curecast.core.protection import Measure
from curecast.core.rules import judge
from curecast.core.rules.judge import Finding, Frost, Start, overall
from curecast.core.weather.ensemble import Members, site_air_c

Array = NDArray[np.float64]
Told = Callable[[float], None]

#: Members besides the first that a level of protection is tried with.
SCREEN_MEMBERS = 30
#: How far a trial looks. [h]
SCREEN_H = 168.0
#: Last date that is looked for. [h]
HORIZON_H = 180 * 24.0
_CHUNK_COLUMNS = 1200
_WORKERS = 2
_WARM_TO_C = 13.0


@dataclass(frozen=True)
class Week:
    """What all starts share.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members, member 0 without error. [various]
    strengths : Strengths
        How ages become strength; one draw a member. [various]
    rules : dict of str to HoldRule
        The hold table. [various]
    measures : list of Measure
        In order of effort, those not at hand last. [various]
    latitude : float or None
        Of the site. [deg]
    exposed : bool
        Whether rain reaches the face. [-]
    sheet : bool
        Whether a sheet is at hand. [-]
    least_c : float
        Temperature that the rule set wants kept. [°C]
    least_source : str
        Where that stands. [-]
    strict : bool
        Whether it binds. [-]
    rain_from, rain_chance : ndarray, shape (hour,)
        Hours since 1970 and the chance of rain in each, NaN unknown. [h, -]
    """

    case: Case
    weather: Members
    strengths: Strengths
    rules: dict[str, HoldRule]
    measures: list[Measure]
    latitude: float | None
    exposed: bool
    sheet: bool
    least_c: float
    least_source: str
    strict: bool
    rain_from: Array
    rain_chance: Array


@dataclass(frozen=True)
class Candidate:
    """A start that the crew could make: first batch, end of their day, sunset. [h since 1970]"""

    start_h: float
    crew_until_h: float
    dark_h: float | None


@dataclass(frozen=True)
class Judged:
    """A start with its verdict.

    ``openings`` count from ``origin_h``, the middle of placing; ``would_work`` names a
    measure that is not at hand but would keep the start.
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


def _members(week: Week, count: int) -> Week:
    """The same week with its first members only."""
    if count >= week.weather.air_c.shape[1]:
        return week
    keep = slice(0, count)
    w = week.weather
    weather = Members(
        w.start_h, w.air_c[:, keep], w.dew_point_c[:, keep], w.wind_ms[:, keep], w.cloud[:, keep]
    )
    draws = week.strengths.z
    order = np.argsort(draws[1:])
    picked = draws[1:][order][np.linspace(0, len(order) - 1, count - 1).round().astype(int)]
    shuffled = np.random.default_rng(1).permutation(picked)
    strengths = Strengths(
        week.strengths.curve,
        np.concatenate([draws[:1], shuffled]),
        week.strengths.top_factor,
        week.strengths.anchor_at_edge,
    )
    fields = {**week.__dict__, "weather": weather, "strengths": strengths}
    return Week(**fields)




def _runs(
    week: Week, candidates: Sequence[Candidate], measure: Measure, until_h: float
) -> list[Histories]:
    """One history a candidate, in chunks over the workers."""
    members = week.weather.air_c.shape[1]
    size = max(1, _CHUNK_COLUMNS // members)
    chunks = [candidates[i : i + size] for i in range(0, len(candidates), size)]
    warm = _WARM_TO_C if measure.warm_mix else None

    def one(chunk: Sequence[Candidate]) -> Histories:
        starts = np.array([c.start_h for c in chunk])
        batch = Batch(starts, measure.spells, warm)
        return run(week.case, week.weather, batch, until_h, latitude=week.latitude)

    with ThreadPoolExecutor(_WORKERS) as pool:
        found = list(pool.map(one, chunks))
    return [
        past.columns(slice(i * members, (i + 1) * members))
        for past, chunk in zip(found, chunks, strict=True)
        for i in range(len(chunk))
    ]


def _start(week: Week, candidate: Candidate, measure: Measure, past: Histories) -> Start:
    case, at = week.case, np.array([candidate.start_h])
    warm = _WARM_TO_C if measure.warm_mix else None
    first = max(0, int(candidate.start_h) - week.weather.start_h - 13)
    return Start(
        start_h=candidate.start_h,
        origin_h=candidate.start_h + case.middle_h,
        past=past,
        ground_c=ground_c(case, week.weather, at)[0],
        placed_c=float(case.placed_at_c(day_mean_c(case, week.weather, at)[0, :1], warm)[0]),
        outside_c=site_air_c(
            week.weather.air_c[first : first + 300], case.exposure.air_offset_k,
            case.exposure.swing,
        ),  # fmt: skip
        outside_from_h=week.weather.start_h + first,
        crew_until_h=candidate.crew_until_h,
        dark_h=candidate.dark_h,
        rain_from=week.rain_from,
        rain_chance=week.rain_chance,
        spells=measure.spells,
    )


def _judge(week: Week, start: Start, measure: Measure) -> tuple[str, Frost, list[Finding]]:
    frost = judge.judge_frost(week.case, start, week.strengths)
    findings = [
        frost.finding,
        judge.judge_ground(start),
        judge.judge_hours(week.case, start),
        judge.judge_rain(start, week.exposed, week.sheet),
        judge.judge_heat(start),
        judge.judge_warmth(start, frost.safe_at_h, week.least_c, week.strict, week.least_source),
        judge.judge_drying(start),
    ]
    uncovering = judge.judge_uncovering(week.case, start)
    if uncovering is not None:
        findings.append(uncovering)
    return overall(findings, protected=measure.level > 0), frost, findings


@dataclass(frozen=True)
class Least:
    """The measure for a start, whether it kept it in the trial, and one not at hand that would."""

    measure: Measure
    keeps: bool = False
    would_work: Measure | None = None


def least_measures(
    week: Week, candidates: Sequence[Candidate], told: Told
) -> dict[int, Least]:
    """The least measure that keeps each start's freeze rule, by trial with few members.

    Parameters
    ----------
    week : Week
        What all starts share. [various]
    candidates : sequence of Candidate
        The starts. [h]
    told : callable
        Called with the share that is done, 0..1. [-]

    Returns
    -------
    dict of int to Least
        By index of the candidate; where nothing at hand keeps the rule, what comes
        nearest. A start that ends hours after the crew's day is not tried further. [-]
    """
    small = _members(week, SCREEN_MEMBERS + 1)
    searching = list(range(len(candidates)))
    found: dict[int, Least] = {}
    nearest: dict[int, tuple[float, Measure]] = {}
    for level, measure in enumerate(week.measures):
        if not searching:
            break
        picked = [candidates[i] for i in searching]
        still: list[int] = []
        for i, past in zip(searching, _runs(small, picked, measure, SCREEN_H), strict=True):
            start = _start(small, candidates[i], measure, past)
            finding = judge.judge_frost(small.case, start, small.strengths).finding
            chance = 1.0 if finding.chance is None else finding.chance
            if measure.at_hand and (i not in nearest or chance < nearest[i][0] - 0.05):
                nearest[i] = (chance, measure)
            if finding.verdict == judge.KEPT:
                would = None if measure.at_hand else measure
                found[i] = Least(nearest[i][1] if would else measure, would is None, would)
            elif not (level == 0 and _hopelessly_late(small, start)):
                still.append(i)
        searching = still
        told(0.5 * (level + 1) / len(week.measures))
    for i in range(len(candidates)):
        found.setdefault(i, Least(nearest[i][1]))
    return found


def _hopelessly_late(week: Week, start: Start) -> bool:
    """Whether even concrete landing at 13 °C would be finished two hours after the crew's day."""
    warm_h = week.case.placing_h + float(finishing_start_h_at(_WARM_TO_C)) + FINISHING_H
    return start.start_h + warm_h > start.crew_until_h + 2.0


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
    least = least_measures(week, candidates, told)
    usable = [m for m in week.measures if m.at_hand]
    waiting: list[list[int]] = [[] for _ in usable]
    for i, chosen in least.items():
        waiting[usable.index(chosen.measure)].append(i)
    starts = np.array([c.start_h for c in candidates])
    rest = shared_rest(week.case, week.weather, starts, HORIZON_H, week.latitude)
    judged: dict[int, Judged] = {}
    for level, measure in enumerate(usable):
        group = waiting[level]
        picked = [candidates[i] for i in group]
        for i, past in zip(group, _runs(week, picked, measure, EARLY_H), strict=True):
            judged[i] = _judged(week, candidates[i], measure, past, rest, least[i].would_work)
            kept = judged[i].frost.finding.verdict == judge.KEPT
            if not kept and least[i].keeps and level + 1 < len(usable):
                waiting[level + 1].append(i)  # the trial was too kind: one level more
        told(0.5 + 0.5 * len(judged) / len(candidates))
    return [judged[i] for i in range(len(candidates))]


def _judged(
    week: Week,
    candidate: Candidate,
    measure: Measure,
    past: Histories,
    rest: Rest,
    would: Measure | None,
) -> Judged:
    start = _start(week, candidate, measure, past)
    verdict, frost, findings = _judge(week, start, measure)
    whole = with_rest(past, rest, start.origin_h, HORIZON_H)
    return Judged(
        candidate=candidate,
        origin_h=start.origin_h,
        measure=measure,
        verdict=verdict,
        frost=frost,
        findings=findings,
        placed_c=start.placed_c,
        final_set_h=float(past.final_set_h[0]),
        finishing_h=float(past.finishing_h[0]),
        openings=openings(whole, week.strengths, week.rules, week.case.middle_h),
        would_work=would,
    )
