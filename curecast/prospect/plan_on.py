"""Plan on: one date a hold, said in one line, and what would bring the last ones forward."""

from __future__ import annotations

import math

import numpy as np

from curecast.clock import from_unix_h, show_day
from curecast.core.holdpoints import HoldRule
from curecast.core.openings import Opening, age_needed_d, count_on_h, likely_h
from curecast.core.starts import HORIZON_H, Judged
from curecast.job.layout import Job
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.cover_stay import Stay
from curecast.quantities import show_quantity

#: A window, and what follows another hold by a day.
_LEFT_OUT = ("saw-cut", "re-check")
#: A test that shows this much more than is asked carries a hold (physics of the hold table).
_TEST_SHARE = 1.1
#: Constant temperature that heat or a warm room keeps, for comparison. [°C]
_WARM_C = 20.0


def plan_on_lines(job: Job, judged: Judged, stay: Stay | None = None) -> list[str]:
    """The dates of one start, in one line, and under it what is sooner.

    Parameters
    ----------
    job : Job
        For its zone, units and rules.
    judged : Judged
        The start.
    stay : Stay or None
        How long its cover lies: protection does not end before that.
    """
    plan = {
        name: judged.origin_h + count_on_h(opening.at_h[1:])
        for name, opening in judged.openings.items()
        if name not in _LEFT_OUT
    }
    if stay is not None and "end-protection" in plan:
        planned = judged.origin_h + max((c.to_h for c in judged.measure.spells), default=0.0)
        plan["end-protection"] = max(plan["end-protection"], stay.off_h or planned)
    beyond = [_spaced(name) for name, at_h in plan.items() if not math.isfinite(at_h)]
    dates: dict[str, list[str]] = {}
    for name, at_h in sorted(plan.items(), key=lambda item: item[1]):
        if math.isfinite(at_h):
            dates.setdefault(show_day(from_unix_h(at_h), job.site.zone), []).append(_spaced(name))
    said = "; ".join(f"{' and '.join(names)} {day}" for day, names in dates.items())
    lines = [f"Plan on: {said}."]
    if beyond:
        lines.append(
            f"{' and '.join(beyond).capitalize()}: not within {HORIZON_H / 24.0:.0f} days on these "
            f"temperatures. {_way_out(job, judged)}"
        )
        return lines
    sooner = _sooner(job, judged)
    return [*lines, f"Sooner: {sooner}."] if sooner else lines


def _spaced(name: str) -> str:
    return name.replace("-", " ")


def _rule(job: Job, *, tested: bool = False) -> HoldRule:
    plain = rules_of(job)["full-torque"]
    if not tested or plain.strength_mpa is None:
        return plain
    return rules_of(job, _TEST_SHARE * plain.strength_mpa)["full-torque"]


def _sooner(job: Job, judged: Judged) -> str:
    """Ways to full torque that save a day or more."""
    opening = judged.openings["full-torque"]
    planned_h = count_on_h(opening.at_h[1:])
    ways = [
        (_warm_h(job), f"kept at {_warm(job)} by heat, full torque"),
        (_test_h(job, opening), f"a test that shows {_needed(job)}, full torque about"),
    ]
    return "; ".join(
        f"{what} {show_day(from_unix_h(judged.origin_h + at_h), job.site.zone)}"
        for at_h, what in ways
        if at_h < planned_h - 24.0
    )


def _way_out(job: Job, judged: Judged) -> str:
    """The shortest way where no date can be counted on."""
    test = _test_h(job, judged.openings["full-torque"])
    said = f"The shortest way out is a strength test that shows {_needed(job)}"
    if math.isfinite(test):
        day = show_day(from_unix_h(judged.origin_h + test), job.site.zone)
        said += f", about {day}"
    return f"{said}: cast test cylinders with the slab."


def _needed(job: Job) -> str:
    asked = _rule(job).strength_mpa or 0.0
    return show_quantity(_TEST_SHARE * asked, "strength", job.units)


def _warm(job: Job) -> str:
    return show_quantity(_WARM_C, "temperature", job.units, 0)


def _test_h(job: Job, opening: Opening) -> float:
    """When half of the courses have the strength, and a tested slab its age. [h]"""
    age_h = _placed_h(job) + _rule(job, tested=True).least_age_h
    return max(likely_h(opening.at_h[1:]), age_h)


def _warm_h(job: Job) -> float:
    """When nine of ten have it at a constant 20 °C from placing on. [h]"""
    rule, case = _rule(job), case_of(job)
    if rule.strength_mpa is None:
        return _placed_h(job) + rule.least_age_h
    z = np.array([-1.2816])  # the weakest tenth of a standard normal
    days = float(age_needed_d(case.curve, rule.strength_mpa, z, case.top_factor)[0])
    return _placed_h(job) + max(24.0 * days, rule.least_age_h)


def _placed_h(job: Job) -> float:
    """Last batch, after the middle of placing. [h]"""
    return case_of(job).middle_h
