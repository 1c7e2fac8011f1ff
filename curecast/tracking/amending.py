"""Another text of a poured job: who decided it, why, and which holds it brought forward."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from curecast.clock import unix_h
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.case import rules_of
from curecast.prospect.slab import SlabAnswer, assess_slab
from curecast.store.connection import Store
from curecast.store.placements import amend_job, find_placement
from curecast.store.record import add_event, events
from curecast.store.rows import Placement
from curecast.tracking.record import governing_job, load_record

__all__ = ["AMENDED", "Amendment", "amend_placement", "amendments"]

#: The kind of event that keeps an amendment's consequences.
AMENDED = "amended"
#: A date that moves by less has not moved. [h]
_SAME_H = 2.0


@dataclass(frozen=True)
class Amendment:
    """One amendment; days by which holds came earlier or later, None: only by its criteria."""

    at: datetime
    by: str
    reason: str
    earlier_d: dict[str, float | None] = field(default_factory=dict)
    later_d: dict[str, float] = field(default_factory=dict)


def amend_placement(
    store: Store,
    placement: Placement,
    new: Job,
    by: str,
    reason: str,
    forecasts: Sequence[Forecast],
    now: datetime,
) -> Amendment:
    """Let another text govern a poured slab, and keep which holds that moved.

    Parameters
    ----------
    store : Store
    placement : Placement
        Poured.
    new : Job
        The text that shall govern.
    by, reason : str
        Who decides, and why; neither may be empty.
    forecasts : sequence of Forecast
        All that are known; without any only the holds' criteria are compared.
    now : datetime
        [aware]

    Returns
    -------
    Amendment
    """
    old = governing_job(placement)
    earlier = _eased(old, new)
    later: dict[str, float] = {}
    if forecasts:
        record = load_record(store, placement, now)
        before, after = (assess_slab(job, record, forecasts, unix_h(now)) for job in (old, new))
        moved, later = _moved(before, after)
        earlier = {**earlier, **moved}
    payload: dict[str, Any] = {"by": by, "reason": reason, "earlier_d": earlier, "later_d": later}
    with store.write():
        amend_job(store, placement.job, new.text, new.hash, by, reason, now)
        current = find_placement(store, placement.job)
        add_event(store, current or placement, AMENDED, now, payload)
    return Amendment(now, by, reason, earlier, later)


def amendments(store: Store, placement: Placement) -> tuple[Amendment, ...]:
    """The amendments of a placement, oldest first."""
    return tuple(
        Amendment(
            event.at,
            str(event.payload.get("by", "")),
            str(event.payload.get("reason", "")),
            dict(event.payload.get("earlier_d", {})),
            dict(event.payload.get("later_d", {})),
        )
        for event in events(store, placement)
        if event.kind == AMENDED
    )


def _eased(old: Job, new: Job) -> dict[str, float | None]:
    """Holds that ask for less strength, a lower age, or less evidence than before."""
    before, after = rules_of(old), rules_of(new)
    found: dict[str, float | None] = {}
    for name, rule in after.items():
        was = before[name]
        pairs = [
            (rule.strength_mpa or 0.0, was.strength_mpa or 0.0),
            (rule.least_age_h, was.least_age_h),
            (rule.least_te_d, was.least_te_d),
        ]
        if any(now < then for now, then in pairs):
            found[name] = None
    return found


def _moved(
    before: SlabAnswer, after: SlabAnswer
) -> tuple[dict[str, float | None], dict[str, float]]:
    """Holds whose dates came earlier, and later, in days; None where it was beyond the horizon."""
    earlier: dict[str, float | None] = {}
    later: dict[str, float] = {}
    for name, hold in after.holds.items():
        was_h, is_h = before.holds[name].count_on_h, hold.count_on_h
        if not math.isfinite(is_h):
            continue
        if not math.isfinite(was_h):
            earlier[name] = None
        elif was_h - is_h > _SAME_H:
            earlier[name] = (was_h - is_h) / 24.0
        elif is_h - was_h > _SAME_H:
            later[name] = (is_h - was_h) / 24.0
    return earlier, later
