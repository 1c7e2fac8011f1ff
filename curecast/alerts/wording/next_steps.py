"""How the end of a wait is worded: uncovering, a strength test, a bar that is lifted."""

from __future__ import annotations

from curecast.alerts.findings.kinds_ahead import BarLifted, CoverMayGo, TestDue
from curecast.alerts.wording.phrases import (
    Words,
    degrees,
    difference,
    last_reading,
    listed,
    margin,
    needs,
    to_see,
    who_decides,
)
from curecast.job.layout import Job
from curecast.quantities import show_quantity

__all__ = ["lifted", "test", "uncover"]


def uncover(job: Job, found: CoverMayGo) -> Words:
    """Protection may end, slowly."""
    apart_k = found.slab_c - found.air_c
    if apart_k > found.drop_k:
        how = (
            "Not at once: lift an edge, then half, then all, over two days or more, or wait for "
            "milder air."
        )
    else:
        how = "Lift an edge first, in the warm of the day, and the rest some hours later."
    lines = [
        f"The blanket at {job.name} may come off. {how}",
        f"The slab is about {degrees(job, found.slab_c)}, the coldest air of the next day "
        f"{degrees(job, found.air_c)}.",
        f"Basis: protection may end ({found.stands.rule.basis}); cool it by no more "
        f"than {difference(job, found.drop_k)} in 24 h ({found.rule}).",
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        f"To answer: curecast log {job.name} blanket off",
        to_see(job, found.hold),
    ]
    return Words(f"{job.name}: the blanket may come off, slowly", "\n".join(lines))


def test(job: Job, found: TestDue) -> Words:
    """A strength test would tell more than waiting."""
    need = show_quantity(found.stands.rule.strength_mpa or 0.0, "strength", job.units)
    lines = [
        f"A strength test at {job.name} would tell now: {need} is likely there, but nine of ten "
        "cannot be counted on.",
        f"These holds wait for it: {listed(found.holds)}. Until then none of them is a go-ahead.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        f"To answer: curecast test {job.name} --strength VALUE --by NAME (cylinders or pull-out)",
    ]
    return Words(f"{job.name}: a strength test is due", "\n".join(lines))


def lifted(job: Job, found: BarLifted) -> Words:
    """A bar that is gone; the hold is not open by that."""
    lines = [
        f"{found.hold} at {job.name} is not barred any more. That is no go-ahead: {found.why}.",
        needs(job, found.stands),
        margin(found.stands),
        last_reading(job, found.last),
        who_decides(),
        to_see(job, found.hold),
    ]
    return Words(f"{job.name}: {found.hold} is not barred any more, and not open", "\n".join(lines))
