"""What a hold still needs, in plain sentences, and what would bring it forward."""

from __future__ import annotations

import math

import numpy as np

from curecast.clock import from_unix_h, show_instant
from curecast.core.concrete.rates import _gamma
from curecast.core.evidence import NEEDED_SHARE
from curecast.core.holdpoints import TEST_MARGIN
from curecast.prospect.slab import HoldAnswer, SlabAnswer, hardly_met
from curecast.prospect.soundness import strength

#: How warm a tent or a heated shed can keep a slab, for the shortest way out. [°C]
_WARM_C = 20.0


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
    needs: list[str] = []
    if hold.state == "barred":
        need = (
            "" if rule.strength_mpa is None else f" of {strength(job, rule.strength_mpa)} or more"
        )
        return [f"a strength test{need}: nothing else lifts a bar"]
    if rule.evidence == "reading" and hold.share < NEEDED_SHARE:
        needs.append(next_reading(answer))
        if hold.due:
            needs.append(
                f"{100.0 * hold.share:.0f} % of its maturity is vouched for, "
                f"{100.0 * NEEDED_SHARE:.0f} % is asked; readings vouch only for the hours around "
                "them"
            )
    if rule.evidence == "look" and not hold.met:
        needs.append(f"a reading or a look: curecast log {job.name} looked")
    if rule.name in ("re-check", "service-load") and not any(
        d.kind == "torque" for d in answer.record.done
    ):
        needs.append("the torque logged")
    if rule.strength_mpa is not None and hold.reached_d < hold.needed_d:
        lacking = (hold.needed_d - max(hold.reached_d, 0.0)) * 24.0
        if math.isfinite(lacking):
            needs.append(
                f"{strength(job, rule.strength_mpa)} by nine of ten: {_days(lacking / 24.0)} of "
                f"curing at 20 °C (68 °F) still to come, held back by the {hold.lags}"
            )
    if not hold.age_met:
        at = answer.origin_h + answer.placed_h + rule.least_age_h
        needs.append(f"its least age of {_days(rule.least_age_h / 24.0)}: {_when(answer, at)}")
    if answer.frozen_early == "possible" and rule.strength_mpa is not None:
        needs.append(
            "it may have frozen early: a reading that shows it did not, or a strength test"
        )
    if hardly_met(answer, rule):
        needs.append("a strength test: nine of ten can hardly reach this by temperature alone")
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
    rule = hold.rule
    if hold.state in ("released", "signed-off", "over", "barred") or rule.strength_mpa is None:
        return []
    said: list[str] = []
    now_h, on_h = answer.now_h, hold.count_on_h
    least_h = answer.origin_h + answer.placed_h + rule.least_age_h
    lacking_h = 24.0 * max(hold.needed_d - hold.reached_d, 0.0)
    pace = float(_gamma(np.array(_WARM_C)))
    if math.isfinite(lacking_h):
        warm_h = max(now_h + lacking_h / pace, least_h)
        if warm_h < on_h - 12.0:
            gain = "many days" if not math.isfinite(on_h) else _days((on_h - warm_h) / 24.0)
            said.append(
                f"kept at {_WARM_C:.0f} °C (68 °F) from now, by heat or blankets: {gain} sooner, "
                f"{_when(answer, warm_h)}"
            )
    if rule.needs_test or rule.name in ("drill", "snug", "light-load"):
        tested_h = (
            answer.origin_h
            + answer.placed_h
            + (min(rule.least_age_h, 168.0) if rule.needs_test else rule.least_age_h)
        )
        tested_h = max(tested_h, now_h)
        if tested_h < on_h - 12.0:
            gain = (
                "weeks" if not math.isfinite(on_h) else "up to " + _days((on_h - tested_h) / 24.0)
            )
            need = strength(answer.job, TEST_MARGIN * rule.strength_mpa)
            said.append(
                f"a strength test that shows {need}: {gain} sooner, from {_when(answer, tested_h)}"
            )
    return said


def frozen_words(answer: SlabAnswer) -> str:
    """Whether it froze early, in words."""
    return {
        "no": "no sign that it froze early",
        "possible": f"it may have frozen early ({100.0 * answer.chance_frozen:.0f} % chance)",
        "yes": "it froze before it had 3.5 MPa (500 psi): only a strength test lifts the bar",
    }[answer.frozen_early]
