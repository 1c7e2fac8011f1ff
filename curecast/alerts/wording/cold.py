"""How news about cold is worded: how soon, what to do, until when."""

from __future__ import annotations

import math

from curecast.alerts.findings.kinds import FreezeAhead, ProtectionFailing
from curecast.alerts.wording.phrases import (
    Words,
    above_and_below,
    degrees,
    how_soon,
    instant,
    last_reading,
    length,
    percent,
    short,
    source,
    to_log,
    to_see,
    where,
    who_decides,
)
from curecast.core.protection import LAP_M
from curecast.job.layout import Job

__all__ = ["failing", "freeze"]


def freeze(job: Job, found: FreezeAhead) -> Words:
    """A freeze ahead while the concrete is young."""
    when = instant(job, found.when_h)
    soon = how_soon(found.now_h, found.when_h)
    zero = degrees(job, 0.0)
    if found.of == "concrete":
        what = f"it may freeze from {short(job, found.when_h)}"
        head = (
            f"{percent(found.chance)} chance that the concrete at {job.name} reaches {zero} "
            f"before it can bear frost; from {when}, {soon}."
        )
    else:
        what = f"frost from {short(job, found.when_h)}"
        head = (
            f"{percent(found.chance)} chance that the air at {job.name} reaches {zero}; from "
            f"{when}, {soon}. The concrete itself: {percent(found.chance_concrete)}."
        )
    bears = (
        f"It can bear frost from {instant(job, found.safe_h)}."
        if math.isfinite(found.safe_h)
        else "When it can bear frost is not in sight."
    )
    lines = [
        head,
        _what_to_do(job, found),
        "Basis: ACI 306R, not below freezing in the first 24 h nor before 3.5 MPa (500 psi); "
        f"{source(job, found.source)}.",
        f"Margin: one in ten that the concrete goes below {degrees(job, found.coldest_c)}. {bears}",
        last_reading(job, found.last),
        who_decides(),
        f"To answer: curecast log {job.name} blanket on",
        to_see(job),
    ]
    return Words(f"{job.name}: {_deadline(job, found)}: {what}", "\n".join(lines))


def _deadline(job: Job, found: FreezeAhead) -> str:
    lap = f"edges lapped {length(job, LAP_M)}"
    if found.covered:
        return f"look to its cover, {lap}"
    if found.cover_by_h <= found.now_h:
        return f"cover it now, {lap}"
    return f"cover it by {short(job, found.cover_by_h)}, {lap}"


def _what_to_do(job: Job, found: FreezeAhead) -> str:
    lap = length(job, LAP_M)
    how = f"dry and weighted down, lapped {lap} over the edges and down"
    if found.covered:
        return (
            f"What to do: a cover is on it then, by the log or the plan. See that it lies {how}; "
            "add a layer, or heat under it with the fumes led outside."
        )
    by = (
        "now"
        if found.cover_by_h <= found.now_h
        else f"by {instant(job, found.cover_by_h)} ({how_soon(found.now_h, found.cover_by_h)})"
    )
    at_hand = job.protection
    cover = "dry blankets or straw under a sheet"
    if at_hand.blankets >= 1:
        cover = "a blanket" if at_hand.blankets == 1 else f"{at_hand.blankets} layers of blanket"
    elif at_hand.sheet:
        cover = "a sheet, and anything dry that keeps warm under it"
    return f"What to do: cover it {by} with {cover}, {how}."


def failing(job: Job, found: ProtectionFailing) -> Words:
    """A reading below the rule while the concrete is young."""
    seen = found.seen
    read = f"{degrees(job, seen.value_c)} {where(seen)}"
    if found.near_frost:
        title = f"{job.name}: {read}, close to freezing: cover or heat it now"
        do = (
            f"What to do: cover it now, dry and weighted down, lapped {length(job, LAP_M)} over "
            "the edges and down, or heat under the cover with the fumes led outside."
        )
    else:
        title = f"{job.name}: {read}: add cover, edges lapped {length(job, LAP_M)}"
        do = (
            f"What to do: cover it, lapped {length(job, LAP_M)} over the edges and down, or add a "
            "layer. Cold is slow, not unsafe, as long as it stays above freezing."
        )
    lines = [
        f"The concrete at {job.name} read {read}, {instant(job, seen.at_h)}, while it cannot bear "
        "frost yet.",
        do,
        f"Basis: {degrees(job, found.least_c)} is asked in cold weather ({found.rule}).",
        above_and_below(job, seen.value_c, found.least_c),
        last_reading(job, found.last),
        who_decides(),
        to_log(job),
        to_see(job),
    ]
    return Words(title, "\n".join(lines))
