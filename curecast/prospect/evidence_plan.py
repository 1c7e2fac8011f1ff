"""A plan of evidence for people without a laboratory: what to cast, to rent, to pay for."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from curecast.core.holdpoints import TEST_MARGIN
from curecast.job.layout import Job
from curecast.prospect.case import takeoff_of
from curecast.prospect.needs import next_reading
from curecast.prospect.sentences import when
from curecast.prospect.slab import HoldAnswer, SlabAnswer
from curecast.prospect.soundness import strength

__all__ = ["Way", "casting_plan", "evidence_plan"]

#: Two pairs and a spare of 100 x 200 mm (4 x 8 in): one bag fills them (an 80 lb bag, 17 l).
_CYLINDERS, _CYLINDER_L = 5, 1.57
#: A pull-out or break-off test wants a body at least so wide and thick (ASSUMED). [mm]
_PAD_MM = "300 x 300 x 150 mm (12 x 12 x 6 in)"
#: A gain below this pays for no test. [d]
_WORTH_D = 3.0
#: A pull-out test of the pour itself may come from this age on. [h]
_TEST_FROM_H = 168.0


@dataclass(frozen=True)
class Way:
    """One way to evidence: what to do, and what it saves of each hold's wait, in days (infinity
    where the hold is beyond the horizon without it)."""

    title: str
    steps: tuple[str, ...]
    saves_d: dict[str, float] = field(default_factory=dict)
    saves: dict[str, str] = field(default_factory=dict)


def evidence_plan(answer: SlabAnswer) -> list[Way]:
    """The ways to evidence that are open to a slab, the cheapest first.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.

    Returns
    -------
    list of Way
    """
    young = answer.age_h < 3.0
    saves = _by_test(answer)
    most = max(saves.values(), default=0.0)
    words = {name: _words(days) for name, days in saves.items()}
    waiting = ", ".join(saves) or "no hold"
    cast = casting_plan(answer.job)
    if not young:
        late = "only while the concrete is fresh: if it was not done, see the next way"
        cast = replace(cast, steps=(late, *cast.steps))
    ways = [_by_thermometer(answer), replace(cast, saves_d=saves, saves=words) if young else cast]
    pays = "it pays" if most >= _WORTH_D else "it saves too little to pay for"
    ways.append(
        Way(
            "A paid test",
            (
                f"{pays}: it would open {waiting}",
                "two cylinders crushed together, or a pull-out on the slab away from the anchors, "
                f"on {when(answer.job, _test_h(answer))} or later",
                *_asked(answer, saves),
                f"put it down: curecast test {answer.job.name} --strength ... --kind cylinder "
                "--by NAME",
            ),
            saves,
            words,
        )
    )
    ways.append(
        Way(
            "A rented hammer",
            (
                "a rebound number alone proves no strength: it needs its own correlation, read on "
                "the spare pad or the cylinders before they are crushed",
                "with three pairs of hammer and cylinder it tells whether the slab's corners are "
                "as good as its middle; it pays where a corner was cold or watered"
                + ("" if answer.frozen_early == "no" else ", as here"),
            ),
        )
    )
    return ways


def _by_thermometer(answer: SlabAnswer) -> Way:
    unproven = [n for n, h in answer.holds.items() if h.state == "unproven"]
    steps = [next_reading(answer), "two readings a day of the slab's top, until the holds are open"]
    if unproven:
        steps.append(f"readings alone would settle: {', '.join(unproven)}")
    return Way("A thermometer, for nothing", tuple(steps))


def casting_plan(job: Job) -> Way:
    """What to cast beside the slab, from which bags, and where to keep it.

    Parameters
    ----------
    job : Job
        Poured or not.
    """
    order = takeoff_of(job)
    if order.bag_kg is None:
        source = "from the middle third of the truck"
    else:
        bags = math.ceil(order.bags_exact or 1)
        third, rest = max(1, round(bags / 3)), max(1, round(2 * bags / 3))
        source = f"from bag {third} and from bag {rest} of {bags}, mixed with the slab's own water"
    need = f"{_CYLINDERS} cylinders of 100 x 200 mm (4 x 8 in), {_CYLINDERS * _CYLINDER_L:.0f} l"
    steps = (
        f"cast {need}, {source}; or a spare pad of {_PAD_MM} for a pull-out or a hammer",
        "keep them beside the slab, at its coldest corner, under the same blanket, out of the "
        "wind; strip them when the slab is stripped, and do not carry them indoors",
        "one reading of a cylinder with every reading of the slab: it shows that they went the "
        "same way",
    )
    return Way("Cylinders or a spare pad", steps)


def _test_h(answer: SlabAnswer) -> float:
    return max(answer.now_h, answer.origin_h + answer.placed_h + _TEST_FROM_H)


def _by_test(answer: SlabAnswer) -> dict[str, float]:
    """Days that a test of the asked strength would save of each hold."""
    found: dict[str, float] = {}
    for name, hold in answer.holds.items():
        if hold.rule.strength_mpa is None or hold.rule.evidence != "reading":
            continue
        if hold.state in ("released", "signed-off", "over"):
            continue
        days = (hold.count_on_h - _opened_h(answer, hold)) / 24.0
        if days >= 1.0 or hold.state == "barred":
            found[name] = days
    return found


def _opened_h(answer: SlabAnswer, hold: HoldAnswer) -> float:
    """When a test could open a hold: not before its least age, or 7 days where a test may
    shorten that."""
    age_h = hold.rule.least_age_h
    if hold.rule.needs_test:
        age_h = min(age_h, _TEST_FROM_H)
    return max(answer.now_h, answer.origin_h + answer.placed_h + age_h)


def _asked(answer: SlabAnswer, saves: dict[str, float]) -> list[str]:
    """What the test has to show, by hold; the same strength is said once."""
    by_strength: dict[float, list[str]] = {}
    for name in saves:
        need = answer.holds[name].rule.strength_mpa or 0.0
        by_strength.setdefault(need, []).append(name)
    return [
        f"it has to show {strength(answer.job, TEST_MARGIN * need)} for {' and '.join(names)}"
        for need, names in sorted(by_strength.items())
    ]


def _words(days: float) -> str:
    if not math.isfinite(days):
        return "weeks: without it not within 180 days"
    return f"up to {days:.0f} days" if days >= 1.5 else "a day"
