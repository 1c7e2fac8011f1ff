"""What if: the blanket off now, the heater on; which dates move, and whether it may come off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from curecast.clock import from_unix_h, local_hour
from curecast.core.heat.covers import cover_state
from curecast.core.histories import SURFACE
from curecast.core.rules.limits import limits_of
from curecast.core.weather.series import Forecast
from curecast.prospect.record import Done
from curecast.prospect.sentences import when
from curecast.prospect.slab import assess_slab
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity

__all__ = ["Shift", "WhatIf", "what_if"]

#: ACI 306R's limit for thin sections: the face may not fall faster than that a day. [K]
_FALL_K = 28.0
#: Dusk before a clear night: from this hour of the day, with less cloud (ASSUMED). [h, -]
_DUSK_H, _NIGHT_ENDS_H, _CLEAR = 15.0, 6.0, 0.4
#: How far ahead a better hour is looked for. [h]
_LOOK_H = 96


@dataclass(frozen=True)
class Shift:
    """One hold's dates before and after, hours since 1970; infinity beyond the horizon."""

    hold: str
    before_h: float
    after_h: float
    likely_before_h: float
    likely_after_h: float


@dataclass(frozen=True)
class WhatIf:
    """What a change does. ``against`` why a cover may not come off then; ``off_h`` when it may."""

    answer: SlabAnswer
    shifts: tuple[Shift, ...]
    uncovers: bool
    against: tuple[str, ...]
    off_h: float | None


def what_if(answer: SlabAnswer, forecasts: Sequence[Forecast], deeds: Sequence[Done]) -> WhatIf:
    """Judge a slab as if something were done to its covers; nothing is put on record.

    Parameters
    ----------
    answer : SlabAnswer
        The slab as it stands.
    forecasts : sequence of Forecast
        All that are known.
    deeds : sequence of Done
        Covers and heaters, now or later; what lies before now is left as it was.

    Returns
    -------
    WhatIf
    """
    record = answer.record
    done = sorted((*record.done, *deeds), key=lambda d: d.at_h)
    after = assess_slab(answer.job, replace(record, done=tuple(done)), forecasts, answer.now_h)
    shifts = tuple(
        Shift(
            name, hold.count_on_h, after.holds[name].count_on_h, hold.likely_h,
            after.holds[name].likely_h,
        )
        for name, hold in answer.holds.items()
        if hold.rule.name != "saw-cut"
    )  # fmt: skip
    off = _uncovered_at(answer, after, deeds)
    if off is None:
        return WhatIf(after, shifts, False, (), None)
    against = tuple(_against(answer, after, off))
    return WhatIf(after, shifts, True, against, _next_hour(answer, after, off) if against else None)


def _uncovered_at(before: SlabAnswer, after: SlabAnswer, deeds: Sequence[Done]) -> float | None:
    """When one of the deeds leaves the slab with less over it, hours since 1970."""
    for deed in sorted(deeds, key=lambda d: d.at_h):
        t = deed.at_h - before.origin_h + 1e-6
        was, now = cover_state(before.spells, t), cover_state(after.spells, t)
        cooler = was.heat_to_c is not None and now.heat_to_c is None
        if now.r_m2k_w < was.r_m2k_w - 1e-9 or cooler:
            return deed.at_h
    return None


def _against(before: SlabAnswer, after: SlabAnswer, at_h: float) -> list[str]:
    """What speaks against taking a cover off at an hour, the shock first."""
    job, found = before.job, []
    limit = _limit_k(before)

    def shown(difference_k: float) -> str:
        return show_quantity(difference_k, "temperature difference", job.units, 1)

    shock = _shock_k(before, after, at_h)
    if shock > limit:
        found.append(
            f"the face may be {shown(shock)} warmer than the air then; more than {shown(limit)} "
            "cracks a thin slab"
        )
    fall = _fall_k(after, at_h)
    if fall > _FALL_K:
        found.append(
            f"the face would fall by {shown(fall)} in a day; {shown(_FALL_K)} is the limit"
        )
    if _clear_dusk(before, at_h):
        found.append("it would be at dusk, before a clear night")
    safe = before.holds["end-protection"].count_on_h
    if at_h < safe:
        ends = when(job, safe) if math.isfinite(safe) else "beyond the horizon"
        found.append(f"its protection is not over: count on {ends}")
    return found


def _limit_k(answer: SlabAnswer) -> float:
    """How much warmer than the air the face may be when a cover comes off. [K]"""
    rules = answer.job.rules
    return limits_of(
        rules.set, answer.case.thickness_m, strict=rules.strict, own=rules.thresholds
    ).uncover_drop_k


def _shock_k(before: SlabAnswer, after: SlabAnswer, at_h: float) -> float:
    """How much warmer than the air the face is, nine of ten not more. [K]"""
    t = at_h - before.origin_h
    i = min(int(np.searchsorted(before.past.t_h, t)), len(before.past.t_h) - 1)
    k = min(int(np.searchsorted(after.past.t_h, t + 0.01)), len(after.past.t_h) - 1)
    face, air = before.past.temp_c[i, SURFACE, 1:], after.past.air_c[k, 1:]
    return float(np.quantile(face - air, 0.9))


def _fall_k(after: SlabAnswer, at_h: float) -> float:
    """The face's fall within a day of uncovering, nine of ten not more. [K]"""
    t = at_h - after.origin_h
    within = (after.past.t_h >= t - 0.5) & (after.past.t_h <= t + 24.0)
    if within.sum() < 2:
        return 0.0
    face = after.past.temp_c[within, SURFACE, 1:]
    return float(np.quantile(face[0] - face.min(axis=0), 0.9))


def _clear_dusk(answer: SlabAnswer, at_h: float) -> bool:
    hour = local_hour(from_unix_h(at_h), answer.job.site.zone)
    if _NIGHT_ENDS_H <= hour < _DUSK_H:
        return False
    first = round(at_h) - answer.weather.start_h
    cloud = answer.weather.cloud[max(first, 0) : first + 12]
    known = cloud[np.isfinite(cloud)]
    return not len(known) or float(known.mean()) < _CLEAR


def _next_hour(before: SlabAnswer, after: SlabAnswer, at_h: float) -> float | None:
    """The first later hour at which nothing speaks against it; None within four days."""
    for ahead in range(1, _LOOK_H + 1):
        hour = math.ceil(at_h) + ahead
        if hour - before.origin_h > before.past.t_h[-1]:
            return None
        # The fall after another hour is not run anew; it is least where the shock is least.
        shock = _shock_k(before, after, hour)
        over = hour >= before.holds["end-protection"].count_on_h
        if shock <= _limit_k(before) and over and not _clear_dusk(before, hour):
            return float(hour)
    return None
