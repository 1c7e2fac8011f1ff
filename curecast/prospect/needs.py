"""What a hold still needs, in plain sentences, and what would bring it forward."""

from __future__ import annotations

import math

import numpy as np

from curecast.clock import from_unix_h, show_instant
from curecast.core.concrete.rates import _gamma
from curecast.core.evidence import NEEDED_SHARE
from curecast.core.holdpoints import TEST_MARGIN
from curecast.core.states import PERMISSION
from curecast.prospect.lap import lapped
from curecast.prospect.slab import HoldAnswer, SlabAnswer, hardly_met
from curecast.prospect.soundness import strength
from curecast.prospect.torqued import torqued_h

#: How warm a tent or a heated shed can keep a slab, for the shortest way out. [°C]
_WARM_C = 20.0
#: A gain of less is not worth a word. [h]
_WORTH_H = 12.0
#: Least age of full torque once a test has shown its need with the margin. [h]
_TESTED_AGE_H = 168.0


def _when(answer: SlabAnswer, unix_h: float) -> str:
    return show_instant(from_unix_h(unix_h), answer.job.site.zone)


def _days(days: float) -> str:
    if days < 1.0:
        return f"{24.0 * days:.0f} h"
    return f"{days:.0f} day" + ("" if round(days) == 1 else "s")


def next_reading(answer: SlabAnswer) -> str:
    """When the next reading is due, in words; empty where none is."""
    evidence = answer.evidence
    if evidence.next_by_h is None:
        return "one reading of the slab now: none is logged yet"
    by = answer.origin_h + evidence.next_by_h
    if by <= answer.now_h:
        return f"one reading of the slab now: the last one vouched until {_when(answer, by)}"
    return f"one reading before {_when(answer, by)}"


def needs_of(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    """What a hold still needs, the cheapest first.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    hold : HoldAnswer
        One of its holds.
    """
    if hold.state in ("released", "signed-off", "over"):
        return []
    rule, job = hold.rule, answer.job
    if hold.state == "barred":
        need = (
            "" if rule.strength_mpa is None else f" of {strength(job, rule.strength_mpa)} or more"
        )
        return [f"a strength test{need}: nothing else lifts a bar"]
    needs = [*_evidence_needs(answer, hold), *_time_needs(answer, hold)]
    if answer.frozen_early == "possible" and rule.strength_mpa is not None:
        needs.append(
            "it may have frozen early: a reading that shows it did not, or a strength test"
        )
    if hardly_met(answer, rule):
        needs.append("a strength test: nine of ten can hardly reach this by temperature alone")
    if not needs and math.isfinite(hold.count_on_h):
        needs.append(f"time: count on it {_when(answer, hold.count_on_h)}")
    return needs


def _evidence_needs(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    """Readings, a look, the torque: what somebody has to put down."""
    rule, record = hold.rule, answer.record
    needs: list[str] = []
    if rule.evidence == "reading" and hold.share < NEEDED_SHARE:
        needs.append(next_reading(answer))
        if hold.due:
            needs.append(
                f"{100.0 * hold.share:.0f} % of its maturity is vouched for, "
                f"{100.0 * NEEDED_SHARE:.0f} % is asked; readings vouch only for the hours around "
                "them"
            )
    placed_h = answer.origin_h + answer.placed_h
    looks = [d.at_h for d in record.done if d.kind == "look"] + [s.at_h for s in record.seen]
    if rule.evidence == "look" and (hold.due or not any(at_h >= placed_h for at_h in looks)):
        needs.append(f"a reading or a look{look_command(answer)}")
    if rule.name in ("re-check", "service-load"):
        needs += _torque_needs(answer)
    return needs


def look_command(answer: SlabAnswer) -> str:
    """How a need for a look ends where people type; what has a button leaves it out."""
    return f": curecast log {answer.job.name} looked"


def _torque_needs(answer: SlabAnswer) -> list[str]:
    """Full torque, permitted and put on."""
    torqued = torqued_h(answer.job, answer.record) is not None
    if answer.holds["full-torque"].state in PERMISSION:
        return [] if torqued else ["the torque logged"]
    if torqued:
        return ["full-torque first: the torque that is logged had no permission"]
    return ["full-torque, then the torque logged"]


def _time_needs(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    """Maturity and age that are still to come."""
    rule = hold.rule
    needs: list[str] = []
    if rule.strength_mpa is not None and hold.reached_d < hold.needed_d:
        lacking_d = hold.needed_d - max(hold.reached_d, 0.0)
        if math.isfinite(lacking_d):
            needs.append(
                f"{strength(answer.job, rule.strength_mpa)} by nine of ten: {_days(lacking_d)} of "
                f"curing at 20 °C (68 °F) still to come, held back by the {hold.lags}"
            )
    if not hold.age_met:
        at = answer.origin_h + answer.placed_h + rule.least_age_h
        needs.append(f"its least age of {_days(rule.least_age_h / 24.0)}: {_when(answer, at)}")
    return needs


def sooner(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    """What would bring a hold forward, and by how much.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    hold : HoldAnswer
        One of its holds.
    """
    over = hold.state in ("released", "signed-off", "over", "barred")
    if over or hold.rule.strength_mpa is None:
        return []
    return [*_by_warmth(answer, hold), *_by_test(answer, hold, hold.rule.strength_mpa)]


def _by_warmth(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    """What heat or blankets from now on would gain."""
    least_h = answer.origin_h + answer.placed_h + hold.rule.least_age_h
    lacking_h = 24.0 * max(hold.needed_d - hold.reached_d, 0.0)
    if not math.isfinite(lacking_h):
        return []
    warm_h = max(answer.now_h + lacking_h / float(_gamma(np.array(_WARM_C))), least_h)
    if not warm_h < hold.count_on_h - _WORTH_H:
        return []
    return [
        f"kept at {_WARM_C:.0f} °C (68 °F) from now, by heat or blankets {lapped(answer.job)}: "
        f"{_gain(hold, warm_h)} sooner, {_when(answer, warm_h)}"
    ]


def _by_test(answer: SlabAnswer, hold: HoldAnswer, need_mpa: float) -> list[str]:
    """What a strength test would gain; it may also shorten an age that no maker asks."""
    rule = hold.rule
    if not rule.needs_test and rule.name not in ("drill", "snug", "light-load"):
        return []
    shortened = rule.needs_test and answer.job.equipment.cure_h is None
    least_h = min(rule.least_age_h, _TESTED_AGE_H) if shortened else rule.least_age_h
    tested_h = max(answer.origin_h + answer.placed_h + least_h, answer.now_h)
    if not tested_h < hold.count_on_h - _WORTH_H:
        return []
    return [
        f"a strength test that shows {strength(answer.job, TEST_MARGIN * need_mpa)}: "
        f"up to {_gain(hold, tested_h)} sooner, from {_when(answer, tested_h)}"
    ]


def _gain(hold: HoldAnswer, at_h: float) -> str:
    """Days won against the date to count on, "months" where that lies beyond the horizon."""
    return _days((hold.count_on_h - at_h) / 24.0) if math.isfinite(hold.count_on_h) else "months"


def frozen_words(answer: SlabAnswer) -> str:
    """Whether it froze early, in words."""
    return {
        "no": "no sign that it froze early",
        "possible": f"it may have frozen early ({100.0 * answer.chance_frozen:.0f} % chance)",
        "yes": "it froze before it had 3.5 MPa (500 psi): only a strength test lifts the bar",
    }[answer.frozen_early]
