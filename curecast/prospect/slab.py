"""Where a poured slab stands: job, weather and record become holds with their evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.strength import BOTH_AGES_UP_TO, doubt_factor
from curecast.core.correction import Measured, Site
from curecast.core.evidence import NEEDED_SHARE, Evidence, gather, pessimistic, vouched_share
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import PLACES, Histories
from curecast.core.holdpoints import FREEZE_MPA, HARDLY_MET, TEST_MARGIN, HoldRule
from curecast.core.openings import (
    Opening,
    Strengths,
    age_needed_d,
    count_on_h,
    likely_h,
    member_draws,
    openings,
)
from curecast.core.states import Standing, next_state
from curecast.core.tracked import Pour, track
from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import members
from curecast.core.weather.joining import joined
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.layout import Job
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.record import Record

Array = NDArray[np.float64]

MEMBERS = 100
HORIZON_H = 180 * 24.0
#: Weather wanted before the pour: the ground remembers three days. [h]
_BEFORE_H = 72
_SEED = 20_27
POSSIBLY_FROZEN, FROZEN = 0.1, 0.9


@dataclass(frozen=True)
class HoldAnswer:
    """One hold as it stands. Dates are hours since 1970, infinity beyond the horizon.

    ``met`` by evidence; ``share`` of the maturity it needs that is vouched for; ``needed_d``
    the equivalent age at 20 °C that nine of ten need, ``reached_d`` what they have now;
    ``age_met`` whether its least age has passed; ``lags`` which age holds it back.
    """

    rule: HoldRule
    state: str
    likely_h: float
    count_on_h: float
    closes_h: float | None
    met: bool
    due: bool
    share: float
    needed_d: float
    reached_d: float
    age_met: bool
    lags: str
    why: str
    by_test: bool = False


@dataclass(frozen=True)
class SlabAnswer:
    """A poured slab now.

    ``past`` is the corrected history and future, its clock starting at ``origin_h``;
    ``weather`` the joined weather at the site; ``misfit_k`` readings minus the plain model.
    """

    job: Job
    record: Record
    case: Case
    now_h: float
    origin_h: float
    placed_h: float
    past: Histories
    strengths: Strengths
    evidence: Evidence
    site: Site
    misfit_k: Array
    weather: HourlyWeather
    holds: dict[str, HoldAnswer]
    frozen_early: str
    chance_frozen: float
    spells: tuple[CoverSpell, ...]

    @property
    def age_h(self) -> float:
        """Now, on the history's clock. [h]"""
        return self.now_h - self.origin_h


def _mixed_job(job: Job, record: Record) -> Job:
    """The job with the water that really went in."""
    if record.water_l_per_bag is None:
        return job
    return replace(job, mix=replace(job.mix, water_l=record.water_l_per_bag))


def spells_of(case: Case, record: Record, origin_h: float, blanket_r: float) -> tuple[CoverSpell, ...]:
    """Covers as planned, until the log says otherwise: the first event ends the plan.

    Parameters
    ----------
    case : Case
        The job's plan.
    record : Record
        Its events ``cover`` and ``heater``.
    origin_h : float
        Middle of placing, hours since 1970. [h]
    blanket_r : float
        Resistance of one layer. [m2K/W]
    """
    events = [d for d in record.done if d.kind in ("cover", "heater")]
    if not events:
        return case.covers
    found = [
        replace(c, to_h=min(c.to_h, events[0].at_h - origin_h))
        for c in case.covers
        if c.from_h < events[0].at_h - origin_h
    ]
    r, heat_to, since = 0.0, None, events[0].at_h - origin_h
    covered = False

    def close(until_h: float) -> None:
        if covered or heat_to is not None:
            found.append(CoverSpell(r, since, until_h, heat_to_c=heat_to))

    for event in events:
        at = event.at_h - origin_h
        close(at)
        since = at
        if event.kind == "cover":
            layers = event.numbers.get("layers", 1.0)
            covered = layers > 0
            r = event.numbers.get("r_m2k_w", blanket_r * layers) if covered else 0.0
        else:
            to_c = event.numbers.get("heat_to_c")
            heat_to = None if to_c is None or event.numbers.get("off", 0.0) else to_c
    close(1e6)
    return tuple(c for c in found if c.to_h > c.from_h)


def _measured(record: Record, case: Case, origin_h: float, now_h: float) -> Measured:
    used = [
        s for s in record.seen if s.where != "ground" and origin_h < s.at_h <= now_h + 1.0 / 12.0
    ]
    depth = {"surface": 0.0, "under-cover": 0.0, "air": 0.0, "inside": 0.5}
    return Measured(
        np.array([s.at_h - origin_h for s in used], dtype=float),
        np.array([s.value_c for s in used], dtype=float),
        np.array([s.where == "air" for s in used], dtype=bool),
        np.array(
            [
                np.clip(s.depth_m / case.thickness_m, 0.0, 1.0)
                if s.where == "inside" and s.depth_m is not None
                else depth[s.where]
                for s in used
            ],
            dtype=float,
        ),
    )


def assess_slab(
    job: Job, record: Record, forecasts: Sequence[Forecast], now_h: float
) -> SlabAnswer:
    """Where a poured slab stands now.

    Parameters
    ----------
    job : Job
        The stored version that governs.
    record : Record
        What was done and seen, up to now.
    forecasts : sequence of Forecast
        All that were known up to now.
    now_h : float
        Now, hours since 1970. [h]

    Returns
    -------
    SlabAnswer
        Every hold with its state, dates and evidence.
    """
    case = case_of(_mixed_job(job, record))
    end_h = record.end_h if record.end_h is not None else record.start_h + case.placing_h
    origin_h, placed_h = 0.5 * (record.start_h + end_h), 0.5 * (end_h - record.start_h)
    case = replace(case, placing_h=2.0 * placed_h)
    first_h = int(np.floor(record.start_h)) - _BEFORE_H
    observed = np.array(record.observed, dtype=float).reshape(-1, 2)
    weather, lead_d = joined(
        forecasts, observed[:, 0], observed[:, 1], first_h, job.site.latitude
    )
    horizon_h = max(HORIZON_H, now_h - origin_h + 30 * 24.0)
    until = int(np.ceil(origin_h + horizon_h)) + 2
    weather = extended(weather, until, job.site.latitude)
    lead_d = np.concatenate([lead_d, np.full(len(weather) - len(lead_d), lead_d[-1])])
    ensemble = members(
        weather, lead_d, count=MEMBERS, seed=_SEED, latitude=job.site.latitude
    )
    tested = max((t.strength_mpa for t in record.tested), default=None)
    rules = rules_of(job, tested)
    draws = np.concatenate([[0.0], member_draws(MEMBERS, _SEED)])
    strengths = Strengths(case.curve, draws, case.top_factor, case.anchor_at_edge)
    spells = spells_of(case, record, origin_h, job.protection.blanket_r_m2k_w)
    stripped = [d.at_h for d in record.done if d.kind == "strip"]
    pour = Pour(
        record.start_h, end_h, record.placed_c, spells,
        stripped[0] - origin_h if stripped else case.strip_at_h,
    )  # fmt: skip
    measured = _measured(record, case, origin_h, now_h)
    tracked = track(
        case, ensemble, pour, measured, horizon_h,
        ripe_h=_ripe_h(strengths, rules), latitude=job.site.latitude, seed=_SEED,
    )  # fmt: skip
    age_h = now_h - origin_h
    safe_h = count_on_h(strengths.reached_h(tracked.past, FREEZE_MPA, "coldest")[1:])
    evidence = gather(
        tracked.past.t_h,
        age_h,
        measured.t_h[~measured.in_air],
        measured.t_h[measured.in_air],
        _station_hours(record, measured, origin_h),
        safe_h,
    )
    frozen, chance = _frozen(tracked.past, measured, age_h, safe_h)
    dates = openings(tracked.past, strengths, rules, placed_h)
    vouched = (
        openings(pessimistic(tracked.past, evidence, age_h), strengths, rules, placed_h)
        if age_h > 0.0 and np.any(tracked.past.t_h <= age_h)
        else None
    )
    answer = SlabAnswer(
        job, record, case, now_h, origin_h, placed_h, tracked.past, strengths, evidence,
        tracked.site, tracked.misfit_k, weather, {}, frozen, chance, spells,
    )  # fmt: skip
    holds = {
        name: _hold(answer, rule, dates[name], None if vouched is None else vouched[name], tested)
        for name, rule in rules.items()
    }
    return replace(answer, holds=holds)


def _ripe_h(strengths: Strengths, rules: dict[str, HoldRule]) -> Array:
    """Equivalent age at which the last hold needs no more, at most 200 days. [h]"""
    needs = [r.strength_mpa for r in rules.values() if r.strength_mpa is not None]
    age_d = age_needed_d(strengths.curve, max(needs), strengths.z, strengths.top_factor)
    ripe_d = max(r.least_te_d for r in rules.values())
    return np.asarray(24.0 * np.maximum(np.minimum(age_d, 200.0), max(ripe_d, 28.0)))


def _station_hours(record: Record, measured: Measured, origin_h: float) -> Array:
    """Observed hours that may vouch: only once the site's offset is learned."""
    learned = len(measured) >= 6 and float(np.ptp(measured.t_h)) >= 72.0
    if not learned or not record.observed:
        return np.zeros(0)
    return np.array([h for h, _ in record.observed], dtype=float) - origin_h


def _frozen(past: Histories, measured: Measured, age_h: float, safe_h: float) -> tuple[str, float]:
    """Whether the concrete froze before 3.5 MPa, by readings first, then by the model."""
    young = measured.t_h < safe_h
    if bool(np.any((measured.value_c <= 0.0) & ~measured.in_air & young)):
        return "yes", 1.0
    within = (past.t_h <= min(age_h, safe_h)) & (past.t_h >= 0.0)
    if not within.any():
        return "no", 0.0
    chance = float(np.mean(~(past.coldest_c[within][:, 1:].min(axis=0) > 0.0)))
    if chance >= FROZEN:
        return "yes", chance
    return ("possible" if chance >= POSSIBLY_FROZEN else "no"), chance


def _hold(
    answer: SlabAnswer,
    rule: HoldRule,
    opening: Opening,
    vouched: Opening | None,
    tested_mpa: float | None,
) -> HoldAnswer:
    """One hold: dates, evidence, state."""
    age_h = answer.age_h
    on_h, half_h = count_on_h(opening.at_h[1:]), likely_h(opening.at_h[1:])
    due = on_h <= age_h
    needed_d, reached_d, share, lags = _maturity(answer, rule)
    age_met = age_h >= answer.placed_h + rule.least_age_h
    by_test = (
        tested_mpa is not None
        and rule.strength_mpa is not None
        and tested_mpa >= TEST_MARGIN * rule.strength_mpa
    )
    on_evidence = vouched is not None and count_on_h(vouched.at_h[1:]) <= age_h
    froze = answer.frozen_early
    strong = rule.strength_mpa is not None
    enough = {
        "none": due,
        "look": on_evidence and _looked(answer),
        "reading": on_evidence and share >= NEEDED_SHARE,
    }[rule.evidence]
    met = (enough and not (strong and froze != "no")) or (by_test and age_met)
    torque_at = [d.at_h - answer.origin_h for d in answer.record.done if d.kind == "torque"]
    if rule.name in ("re-check", "service-load"):
        wait_h = rule.least_age_h if rule.name == "re-check" else 0.0
        met = bool(torque_at) and age_h >= torque_at[0] + wait_h and (met or rule.name == "re-check")
    closes = None if opening.closes_h is None else float(np.quantile(opening.closes_h[1:], 0.1))
    signed = [s for s in answer.record.signed if s.hold == rule.name]
    standing = Standing(
        met=met,
        due=due,
        barred=strong and froze == "yes" and not by_test,
        closed=closes is not None and age_h > closes,
        signed_off=bool(signed) and not signed[-1].withdrawn,
        taken_back=bool(signed) and signed[-1].withdrawn,
        tested=by_test,
    )
    before = answer.record.states.get(rule.name, "projected")
    state = next_state(before, standing)
    return HoldAnswer(
        rule=rule,
        state=state,
        likely_h=answer.origin_h + (min(half_h, age_h) if state == "released" else half_h),
        count_on_h=answer.origin_h + (min(on_h, age_h) if state == "released" else on_h),
        closes_h=None if closes is None else answer.origin_h + closes,
        met=met,
        due=due,
        share=share,
        needed_d=needed_d,
        reached_d=reached_d,
        age_met=age_met,
        lags=lags,
        why=_why(before, state, froze, answer),
        by_test=by_test,
    )


def _looked(answer: SlabAnswer) -> bool:
    """Whether a reading or a look is logged after the last batch."""
    since = answer.origin_h + answer.placed_h
    looks = [d.at_h for d in answer.record.done if d.kind == "look"]
    return any(since <= at <= answer.now_h + 0.1 for at in looks + [s.at_h for s in answer.record.seen])


def _maturity(answer: SlabAnswer, rule: HoldRule) -> tuple[float, float, float, str]:
    """Needed and reached age at 20 °C by nine of ten, the vouched share, the age that lags."""
    past, strengths = answer.past, answer.strengths
    if rule.strength_mpa is None:
        return float("nan"), float("nan"), 1.0 if answer.evidence.vouched.any() else 0.0, ""
    age_index = int(np.searchsorted(past.t_h, answer.age_h + 1e-9)) - 1
    worst = (-np.inf, 0.0, 0.0, 1.0, "")
    z = np.array([np.quantile(strengths.z[1:], 0.1)])
    low = rule.strength_mpa <= BOTH_AGES_UP_TO * strengths.curve.f28_mpa
    for place in strengths.places(rule.place):
        factor = strengths.top_factor if place in (0, 3) else 1.0
        needed = float(age_needed_d(strengths.curve, rule.strength_mpa, z, factor)[0])
        if age_index < 0:
            worst = max(worst, (needed, needed, 0.0, 0.0, "equivalent age"))
            continue
        te = np.quantile(past.te20_h[: age_index + 1, place, 1:], 0.1, axis=1)
        ttf_d = age_days_at_20_from_ttf(past.ttf_c_h[age_index, place, 1:])
        reached, lags = float(te[-1]) / 24.0, "equivalent age"
        if low and float(np.quantile(ttf_d, 0.1)) < reached:
            reached, lags = float(np.quantile(ttf_d, 0.1)), "temperature-time factor"
        share = vouched_share(
            past.t_h[: age_index + 1], te, answer.evidence.vouched[: age_index + 1], 24.0 * needed
        )
        worst = max(worst, (needed - reached, needed, reached, share, f"{lags}, {PLACES[place]}"))
    return worst[1], worst[2], worst[3], worst[4]


def _why(before: str, state: str, froze: str, answer: SlabAnswer) -> str:
    if state == "barred":
        return "the concrete froze before it had 3.5 MPa: only a strength test lifts this"
    if state == "withdrawn":
        if froze == "possible":
            return "it may have frozen before it had 3.5 MPa"
        return "its criteria no longer hold on the evidence" if before != "withdrawn" else "still withdrawn"
    return ""


def strength_quantiles(answer: SlabAnswer, place: int) -> tuple[Array, Array]:
    """Median and nine-of-ten strength at a place over the history, shape (time,). [MPa]"""
    past, s = answer.past, answer.strengths
    factor = s.top_factor if place in (0, 3) else 1.0
    te = past.te20_h[:, place, 1:]
    ttf_d = age_days_at_20_from_ttf(past.ttf_c_h[:, place, 1:])
    share = s.curve.fraction_of_both(te / 24.0, ttf_d)
    doubt = doubt_factor(s.z[None, 1:], te / 24.0, s.curve.cov_late, s.curve.cov_early)
    mpa = s.curve.f28_mpa * share * doubt * factor
    return np.quantile(mpa, 0.5, axis=1), np.quantile(mpa, 0.1, axis=1)


def hardly_met(answer: SlabAnswer, rule: HoldRule) -> bool:
    """Whether nine of ten can hardly reach the need without a test."""
    top = np.max(answer.strengths.top_factor)
    f28 = answer.strengths.curve.f28_mpa * float(top)
    return rule.strength_mpa is not None and rule.strength_mpa > HARDLY_MET * f28
