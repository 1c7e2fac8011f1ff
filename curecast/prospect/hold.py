"""One hold of a poured slab: its dates, its evidence, its state."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.strength import BOTH_AGES_UP_TO
from curecast.core.evidence import NEEDED_SHARE, vouched_share
from curecast.core.histories import PLACE_NAMES
from curecast.core.holdpoints import HoldRule
from curecast.core.openings import Opening, age_needed_d, count_on_h, likely_h
from curecast.core.states import Standing, next_state
from curecast.prospect.proof import Proof, proving
from curecast.prospect.record import Signed
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.prospect.torqued import torqued_h

#: Hours by which a clock at the slab may be ahead. [h]
_AHEAD_H = 0.1
#: How long a look stands for a reading: as a reading of young concrete vouches. [h]
_LOOK_H = 12.0


@dataclass(frozen=True)
class _Maturity:
    """Age at 20 °C that nine of ten need and have, the vouched share, the age that lags."""

    needed_d: float
    reached_d: float
    share: float
    lags: str

    @property
    def lacking_d(self) -> float:
        return self.needed_d - self.reached_d


def hold_answer(
    answer: SlabAnswer,
    rule: HoldRule,
    opening: Opening,
    vouched: Opening | None,
    proof: Proof,
    *,
    torque_permitted: bool,
) -> HoldAnswer:
    """One hold: dates, evidence, state.

    Parameters
    ----------
    answer : SlabAnswer
        The slab, its holds still empty.
    rule : HoldRule
        What the hold waits for.
    opening, vouched : Opening
        When it opens by the corrected model, and with every unvouched hour taken as cold.
    proof : Proof
        What the tests say of it.
    torque_permitted : bool
        Whether full torque is released or signed off, which what comes after it waits for.
    """
    age_h = answer.age_h
    on_h, half_h = count_on_h(opening.at_h[1:]), likely_h(opening.at_h[1:])
    maturity = _maturity(answer, rule)
    age_met = age_h >= answer.placed_h + rule.least_age_h
    by_test = proof.shown
    due = on_h <= age_h
    on_evidence = vouched is not None and count_on_h(vouched.at_h[1:]) <= age_h
    met = _met(answer, rule, due, on_evidence, maturity.share) or (by_test and age_met)
    if rule.name in ("re-check", "service-load"):
        met = torque_permitted and _after_torque(answer, rule, met)
    closes = None if opening.closes_h is None else float(np.quantile(opening.closes_h[1:], 0.1))
    signed = [s for s in answer.record.signed if s.hold == rule.name]
    standing = Standing(
        met=met,
        due=due,
        barred=proof.failed is not None
        or (rule.strength_mpa is not None and answer.frozen_early == "yes" and not by_test),
        closed=closes is not None and age_h > closes,
        signed_off=bool(signed) and not signed[-1].withdrawn,
        taken_back=bool(signed) and _still_taken_back(answer, rule, signed[-1]),
        tested=by_test,
    )
    before = answer.record.states.get(rule.name, "projected")
    state = next_state(before, standing)
    latest_h = age_h if state == "released" else float("inf")
    return HoldAnswer(
        rule=rule,
        state=state,
        likely_h=answer.origin_h + min(half_h, latest_h),
        count_on_h=answer.origin_h + min(on_h, latest_h),
        closes_h=None if closes is None else answer.origin_h + closes,
        met=met,
        due=due,
        share=maturity.share,
        needed_d=maturity.needed_d,
        reached_d=maturity.reached_d,
        age_met=age_met,
        lags=maturity.lags,
        why=_why(before, state, answer.frozen_early, proof),
        by_test=by_test,
    )


def _still_taken_back(answer: SlabAnswer, rule: HoldRule, last: Signed) -> bool:
    """Whether a person's withdrawal stands: no evidence of the slab is newer."""
    if not last.withdrawn:
        return False
    record = answer.record
    newer = [s.at_h for s in record.seen if s.where not in ("air", "ground")]
    newer += [t.at_h for t in proving(record.tested)]
    if rule.evidence != "reading":
        newer += [d.at_h for d in record.done if d.kind == "look"]
    return not any(last.at_h < at <= answer.now_h + _AHEAD_H for at in newer)


def _met(answer: SlabAnswer, rule: HoldRule, due: bool, on_evidence: bool, share: float) -> bool:
    """Whether the criteria are met on what the hold takes for evidence."""
    if rule.strength_mpa is not None and answer.frozen_early != "no":
        return False
    if rule.evidence == "none":
        return due
    if rule.evidence == "look":
        return (on_evidence and _looked(answer)) or (due and _just_looked(answer))
    return on_evidence and share >= NEEDED_SHARE


def _after_torque(answer: SlabAnswer, rule: HoldRule, met: bool) -> bool:
    """The re-check waits for the torque and a day; a service load for the torque as well."""
    torqued = torqued_h(answer.job, answer.record)
    if torqued is None:
        return False
    if rule.name == "re-check":
        return answer.now_h >= torqued + rule.least_age_h
    return met and answer.now_h >= torqued


def _looked(answer: SlabAnswer) -> bool:
    """Whether a reading or a look is logged after the last batch."""
    since = answer.origin_h + answer.placed_h
    looks = [d.at_h for d in answer.record.done if d.kind == "look"]
    looks += [s.at_h for s in answer.record.seen]
    return any(since <= at <= answer.now_h + _AHEAD_H for at in looks)


def _just_looked(answer: SlabAnswer) -> bool:
    """Whether somebody looked at it within the last half day."""
    looks = [d.at_h for d in answer.record.done if d.kind == "look"]
    return any(answer.now_h - _LOOK_H <= at <= answer.now_h + _AHEAD_H for at in looks)


def _maturity(answer: SlabAnswer, rule: HoldRule) -> _Maturity:
    """What the hold's worst place needs and has."""
    past, strengths = answer.past, answer.strengths
    if rule.strength_mpa is None:
        nothing = float("nan")
        return _Maturity(nothing, nothing, float(answer.evidence.vouched.any()), "")
    until = int(np.searchsorted(past.t_h, answer.age_h + 1e-9))
    z = np.array([np.quantile(strengths.z[1:], 0.1)])
    low = rule.both_ages or rule.strength_mpa <= BOTH_AGES_UP_TO * strengths.curve.f28_mpa
    found: list[_Maturity] = []
    for place in strengths.places(rule.place):
        anchor = rule.place == "anchor"
        factor = float(np.median(strengths.factor(past, place, anchor=anchor)))
        needed = float(age_needed_d(strengths.curve, rule.strength_mpa, z, factor)[0])
        if until == 0:
            found.append(_Maturity(needed, 0.0, 0.0, "equivalent age"))
            continue
        te_h = np.quantile(past.te20_h[:until, place, 1:], 0.1, axis=1)
        ttf_d = age_days_at_20_from_ttf(past.ttf_c_h[until - 1, place, 1:])
        reached, lags = float(te_h[-1]) / 24.0, "equivalent age"
        if low and float(np.quantile(ttf_d, 0.1)) < reached:
            reached, lags = float(np.quantile(ttf_d, 0.1)), "temperature-time factor"
        share = vouched_share(
            past.t_h[:until], te_h, answer.evidence.vouched[:until], 24.0 * needed
        )
        found.append(_Maturity(needed, reached, share, f"{lags}, {PLACE_NAMES[place]}"))
    return max(found, key=lambda m: (m.lacking_d, -m.share))


def _why(before: str, state: str, froze: str, proof: Proof) -> str:
    """Why a hold is barred or withdrawn; empty for the rest."""
    if state == "barred" and proof.failed is not None:
        return (
            f"a {proof.failed.kind} test showed {proof.failed.strength_mpa:.1f} MPa, less than it "
            "asks, after the model had it: only a later test lifts this"
        )
    if state == "barred":
        return "the concrete froze before it had 3.5 MPa: only a strength test lifts this"
    if state != "withdrawn":
        return ""
    if froze == "possible":
        return "it may have frozen before it had 3.5 MPa"
    if before == "withdrawn":
        return "still withdrawn"
    return "its criteria no longer hold on the evidence"
