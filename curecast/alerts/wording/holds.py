"""How news about holds is worded: permission and its end never sound alike."""

from __future__ import annotations

import math

from curecast.alerts.findings.kinds import BarredTogether, DateMoved, HoldChanged, ReadingWanted
from curecast.alerts.wording.phrases import (
    STOP,
    Words,
    days,
    how_soon,
    instant,
    last_reading,
    listed,
    margin,
    needs,
    to_log,
    to_see,
    who_decides,
)
from curecast.job.layout import Job
from curecast.quantities import show_quantity

__all__ = ["barred_together", "hold_changed", "moved", "reading"]


def hold_changed(job: Job, found: HoldChanged) -> Words:
    """A hold released, signed off, withdrawn or barred."""
    word = {
        "released": _released,
        "signed-off": _signed_off,
        "withdrawn": _withdrawn,
        "barred": _barred,
    }[found.kind]
    return word(job, found)


def _released(job: Job, found: HoldChanged) -> Words:
    since = instant(job, found.at_h)
    on = {
        "reading": f"on evidence ({found.evidence})",
        "look": "on a look or a reading that is logged",
        "none": "by its rule, which asks for no reading",
    }[found.stands.rule.evidence]
    tested = _tested(job, found)
    if tested:
        on = "on a strength test"
    lines = [f"{found.hold} at {job.name} is released {on}, since {since}."]
    if found.stands.closes_h is not None and math.isfinite(found.stands.closes_h):
        lines.append(f"Its window closes at {instant(job, found.stands.closes_h)}.")
    lines += [
        needs(job, found.stands),
        margin(found.stands, tested),
        last_reading(job, found.last),
        "Should something speak against it later, a message will say so.",
        who_decides(),
        to_see(job, found.hold),
    ]
    return Words(f"{job.name}: {found.hold} is released", "\n".join(lines))


def _signed_off(job: Job, found: HoldChanged) -> Words:
    who = found.by or "somebody"
    lines = [
        f"{who} has signed off {found.hold} at {job.name}, {instant(job, found.at_h)}.",
        f"Reason given: {_reason(found.why)}.",
        "This rests on a person's word; the evidence alone does not carry it.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        to_see(job, found.hold),
    ]
    return Words(f"{job.name}: {found.hold} is signed off by {who}", "\n".join(lines))


def _withdrawn(job: Job, found: HoldChanged) -> Words:
    by, why = "The go-ahead is withdrawn", found.why
    if found.by:
        by, why = f"{found.by} has withdrawn it", _reason(found.why)
    lines = [
        f"Do not start {found.hold} at {job.name}. If it has begun, stop and make it safe.",
        f"{by}, {instant(job, found.at_h)}: {why}.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        to_see(job, found.hold),
        to_log(job),
    ]
    return Words(f"{STOP}, {job.name}: {found.hold} is withdrawn", "\n".join(lines))


def _barred(job: Job, found: HoldChanged) -> Words:
    lines = [
        f"Do not start {found.hold} at {job.name}. If it has begun, stop and make it safe.",
        f"It is barred since {instant(job, found.at_h)}: {found.why}.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        to_see(job, found.hold),
        _to_test(job),
    ]
    return Words(f"{STOP}, {job.name}: {found.hold} is barred", "\n".join(lines))


def barred_together(job: Job, found: BarredTogether) -> Words:
    """Holds that were not open yet and are barred now."""
    lines = [
        f"Barred at {job.name} since {instant(job, found.at_h)}: {listed(found.holds)}.",
        f"Why: {found.why}.",
        "Basis: concrete that froze before 3.5 MPa (500 psi) can have lost strength for good.",
        "Margin: none until a strength test.",
        last_reading(job, found.last),
        who_decides(),
        to_see(job),
        _to_test(job),
        "If a reading was wrong, log it again as it should be.",
    ]
    return Words(f"{STOP}, {job.name}: holds are barred", "\n".join(lines))


def moved(job: Job, found: DateMoved) -> Words:
    """A date that moved."""
    on_h, was_h = found.stands.count_on_h, found.was_h
    now, was = instant(job, on_h), instant(job, was_h)
    if not math.isfinite(on_h):
        head = f"{found.hold} at {job.name} has {now} any more; it was {was}."
        title = f"{job.name}: {found.hold} has {now}"
    else:
        way = "later" if on_h > was_h else "earlier"
        by = f"{days(abs(on_h - was_h) / 24.0)} {way}: " if math.isfinite(was_h) else ""
        head = f"Count on {found.hold} at {job.name} from {now} ({by}it was {was})."
        title = f"{job.name}: {found.hold} moves to {now}"
    lines = [
        head,
        f"Likely from {instant(job, found.stands.likely_h)}.",
        "This is a date by the model, not a go-ahead.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        f"What would bring it forward: curecast holds {job.name} {found.hold}",
    ]
    return Words(title, "\n".join(lines))


def reading(job: Job, found: ReadingWanted) -> Words:
    """A reading that is wanted."""
    by = instant(job, found.by_h)
    lapsed = found.by_h <= found.now_h
    if lapsed:
        title = f"{job.name}: a reading is wanted now"
        head = f"Take a reading of the slab at {job.name} now: nothing vouches for it since {by}."
        left = "Margin: none left; the hours since then do not count as vouched for."
    else:
        title = f"{job.name}: a reading is wanted before {by}"
        head = f"Take a reading of the slab at {job.name} before {by}."
        left = f"Margin: the evidence lapses {how_soon(found.now_h, found.by_h)}."
    lines = [
        head,
        f"These holds wait for it: {listed(found.holds)}. Without it they open later, or not.",
        "Basis: a reading vouches 12 h either side until 3.5 MPa (500 psi), 36 h until 7 days, "
        "96 h after (ASSUMED).",
        left,
        last_reading(job, found.last),
        who_decides(),
        to_log(job),
    ]
    return Words(title, "\n".join(lines))


def _reason(why: str) -> str:
    """A person's own words out of "signed off by NAME: REASON"."""
    return (why.partition(": ")[2] or why).rstrip(".")


def _tested(job: Job, found: HoldChanged) -> str:
    """What a test has shown, where it carries the hold."""
    if not found.stands.by_test or found.tested_mpa is None:
        return ""
    return show_quantity(found.tested_mpa, "strength", job.units)


def _to_test(job: Job) -> str:
    return (
        f"To answer: curecast test {job.name} --strength STRENGTH --by NAME "
        "(only a strength test lifts a bar)"
    )
