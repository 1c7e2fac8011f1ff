"""Where a poured slab stands: job, weather and record become holds with their evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.drive import Marching, alone
from curecast.core.case import Case
from curecast.core.evidence import REACH_H, gather, pessimistic
from curecast.core.histories import Histories
from curecast.core.holdpoints import FREEZE_MPA, HoldRule
from curecast.core.measured import Measured
from curecast.core.openings import (
    Opening,
    Strengths,
    count_on_h,
    member_draws,
    openings,
)
from curecast.core.states import PERMISSION
from curecast.core.strengths import ripe_age_h
from curecast.core.tracked import Pour, Tracked, tracking
from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.joining import joined
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.layout import Job
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.covering import spells_of
from curecast.prospect.hold import hold_answer
from curecast.prospect.proof import proof_for, proved_mpa
from curecast.prospect.record import Record
from curecast.prospect.standing import HoldAnswer, SlabAnswer, hardly_met, strength_quantiles
from curecast.prospect.testing import fit_of

__all__ = ["HoldAnswer", "SlabAnswer", "assess_slab", "hardly_met", "strength_quantiles"]

Array = NDArray[np.float64]

MEMBERS = 100
HORIZON_H = 180 * 24.0
#: A slab older than that is still looked ahead for so long. [h]
_ALWAYS_AHEAD_H = 30 * 24.0
#: Weather wanted before the pour: the ground remembers three days. [h]
_BEFORE_H = 72
_SEED = 20_27
#: Share of members that froze: possible, and as good as certain.
POSSIBLY_FROZEN, FROZEN = 0.1, 0.9
#: Readings, and the days they must span, before a station's offset counts as learned.
_LEARNED_READINGS, _LEARNED_H = 6, 72.0
_DEPTH_SHARE = {"surface": 0.0, "under-cover": 0.0, "air": 0.0, "inside": 0.5}


@dataclass(frozen=True)
class _Sky:
    """The joined weather at the site, and its members."""

    weather: HourlyWeather
    members: Members


def assess_slab(
    job: Job, record: Record, forecasts: Sequence[Forecast], now_h: float
) -> SlabAnswer:
    """Where a poured slab stands now: ``assessing``, driven to its answer."""
    return alone(assessing(job, record, forecasts, now_h))


def assessing(
    job: Job, record: Record, forecasts: Sequence[Forecast], now_h: float
) -> Marching[SlabAnswer]:
    """Where a poured slab stands now, as a computation that asks for its marches.

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
    case, pour = _placed(job, record)
    horizon_h = max(HORIZON_H, now_h - pour.origin_h + _ALWAYS_AHEAD_H)
    sky = _sky(job, record, forecasts, pour.origin_h + horizon_h)
    rules = rules_of(job, proved_mpa(record.tested))
    draws = np.concatenate([[0.0], member_draws(MEMBERS, _SEED)])
    strengths = Strengths(
        case.curve, draws, case.top_factor, case.anchor_at_edge, case.moist_cure_h, has_section=True
    )
    measured = _measured(record, case, pour.origin_h, now_h)
    run = partial(_followed, job, case, sky, pour, rules=rules, now_h=now_h)
    tracked = yield from run(measured, horizon_h, strengths)
    fit = fit_of(record, tracked.past, case.curve, pour.origin_h)
    if fit is not None:
        strengths = replace(strengths, curve=fit.curve, _ages={})
        if fit.curve.f28_mpa < case.curve.f28_mpa:  # it takes longer to be ripe
            tracked = yield from run(measured, horizon_h, strengths)
    age_h = now_h - pour.origin_h
    safe_h = _frost_safe_h(strengths, tracked.past)
    evidence = gather(
        tracked.past.t_h,
        age_h,
        measured.t_h[~measured.in_air],
        measured.t_h[measured.in_air],
        _station_hours(record, measured, pour.origin_h),
        safe_h,
    )
    frozen, chance = _frozen(tracked.past, measured, age_h, safe_h)
    young_h = min(age_h, safe_h + REACH_H[0])
    early = measured.pick(np.flatnonzero(measured.t_h <= young_h))
    if len(early) < len(measured):  # a warm day later clears no doubt about the first nights
        young = yield from run(early, young_h + 1.0, strengths)
        then = young.past
        safe_then_h = _frost_safe_h(replace(strengths, _ages={}), then)
        known_then = _frozen(then, early, age_h, safe_then_h)
        frozen, chance = max((frozen, chance), known_then, key=lambda f: (f[0] == "yes", f[1]))
    answer = SlabAnswer(
        job, record, case, now_h, pour.origin_h, pour.placed_h, tracked.past, strengths, evidence,
        tracked.site, tracked.misfit_k, sky.weather, {}, frozen, chance, pour.spells,
        measured, tracked.left_k, fit,
    )  # fmt: skip
    return replace(answer, holds=_holds(answer, tracked, rules))


def _followed(
    job: Job, case: Case, sky: _Sky, pour: Pour, measured: Measured, horizon_h: float,
    strengths: Strengths, rules: dict[str, HoldRule], now_h: float,
) -> Marching[Tracked]:  # fmt: skip
    """The slab run until no hold waits for strength any more."""
    return tracking(
        case, sky.members, pour, measured, horizon_h,
        ripe_h=ripe_age_h(strengths, rules), now_h=now_h - pour.origin_h,
        latitude=job.site.latitude, seed=_SEED,
    )  # fmt: skip


def _placed(job: Job, record: Record) -> tuple[Case, Pour]:
    """The case with what really went in, and the placement as it was."""
    if record.water_l_per_bag is not None:
        job = replace(job, mix=replace(job.mix, water_l=record.water_l_per_bag))
    case = case_of(job)
    end_h = record.end_h if record.end_h is not None else record.start_h + case.placing_h
    origin_h = 0.5 * (record.start_h + end_h)
    stripped = [d.at_h for d in record.done if d.kind == "strip"]
    pour = Pour(
        start_h=record.start_h,
        end_h=end_h,
        placed_c=record.placed_c,
        spells=spells_of(case, record, origin_h, job.protection.blanket_r_m2k_w),
        strip_at_h=stripped[0] - origin_h if stripped else case.strip_at_h,
    )
    return replace(case, placing_h=end_h - record.start_h), pour


def _sky(job: Job, record: Record, forecasts: Sequence[Forecast], until_h: float) -> _Sky:
    """Weather from three days before the pour to the horizon, and its members."""
    observed = np.array(record.observed, dtype=float).reshape(-1, 2)
    first_h = int(np.floor(record.start_h)) - _BEFORE_H
    weather, lead_d = joined(forecasts, observed[:, 0], observed[:, 1], first_h, job.site.latitude)
    last_h = int(np.ceil(until_h)) + 2
    weather = extended(weather, last_h, job.site.latitude, normals_c=job.climate.normals_c)
    lead_d = np.concatenate([lead_d, np.full(len(weather) - len(lead_d), lead_d[-1])])
    ensemble = members(weather, lead_d, count=MEMBERS, seed=_SEED, latitude=job.site.latitude)
    return _Sky(weather, ensemble)


def _measured(record: Record, case: Case, origin_h: float, now_h: float) -> Measured:
    """The readings that correct, on the clock of the middle of placing."""
    used = [
        s for s in record.seen if s.where != "ground" and origin_h < s.at_h <= now_h + 1.0 / 12.0
    ]
    deep = [
        float(np.clip(s.depth_m / case.thickness_m, 0.0, 1.0))
        if s.where == "inside" and s.depth_m is not None
        else _DEPTH_SHARE[s.where]
        for s in used
    ]
    return Measured(
        np.array([s.at_h - origin_h for s in used], dtype=float),
        np.array([s.value_c for s in used], dtype=float),
        np.array([s.where == "air" for s in used], dtype=bool),
        np.array(deep, dtype=float),
    )


def _station_hours(record: Record, measured: Measured, origin_h: float) -> Array:
    """Observed hours that may vouch: only once the site's offset is learned."""
    learned = len(measured) >= _LEARNED_READINGS and float(np.ptp(measured.t_h)) >= _LEARNED_H
    if not learned or not record.observed:
        return np.zeros(0)
    return np.array([h for h, _ in record.observed], dtype=float) - origin_h


def _frost_safe_h(strengths: Strengths, past: Histories) -> float:
    """Age at which nine of ten have 3.5 MPa at the coldest place. [h]"""
    return count_on_h(strengths.reached_h(past, FREEZE_MPA, "coldest")[1:])


def _frozen(past: Histories, measured: Measured, age_h: float, safe_h: float) -> tuple[str, float]:
    """Whether the concrete froze before 3.5 MPa: by a reading, or by the model that readings
    corrected; a model that nothing corrected only warns."""
    young = measured.t_h < safe_h
    if bool(np.any((measured.value_c <= 0.0) & ~measured.in_air & young)):
        return "yes", 1.0
    within = (past.t_h <= min(age_h, safe_h)) & (past.t_h >= 0.0)
    if not within.any():
        return "no", 0.0
    chance = float(np.mean(~(past.coldest_c[within][:, 1:].min(axis=0) > 0.0)))
    if chance >= FROZEN and len(measured):
        return "yes", chance
    return ("possible" if chance >= POSSIBLY_FROZEN else "no"), chance


def _holds(
    answer: SlabAnswer, tracked: Tracked, rules: dict[str, HoldRule]
) -> dict[str, HoldAnswer]:
    """Every hold, by the model and by what is vouched for."""
    dates = openings(tracked.past, answer.strengths, rules, answer.placed_h)
    vouched: dict[str, Opening] = {}
    if answer.age_h > 0.0:
        known = pessimistic(tracked.past, answer.evidence, answer.age_h)
        vouched = openings(known, answer.strengths, rules, answer.placed_h)
    found: dict[str, HoldAnswer] = {}
    for name, rule in rules.items():
        full = found.get("full-torque")
        found[name] = hold_answer(
            answer, rule, dates[name], vouched.get(name), proof_for(answer, rule),
            torque_permitted=full is not None and full.state in PERMISSION,
        )  # fmt: skip
    return found
