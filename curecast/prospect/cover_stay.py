"""How long a cover stays, and the first hour at which it may come off without a shock."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from curecast.clock import from_unix_h, local_hour
from curecast.core.chunks import in_parallel, run_starts
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import SURFACE, Histories
from curecast.core.protection import Measure
from curecast.core.rules.finding import overall, share_of_members
from curecast.core.rules.limits import KEPT
from curecast.core.starts import Judged
from curecast.core.weather.ensemble import site_air_c
from curecast.core.weekly import Week, few_members

Array = NDArray[np.float64]

#: A cover comes off between these hours of the day: never towards a night (ASSUMED). [h]
OFF_FROM_H, OFF_TO_H = 9.0, 14.0
#: How long past its plan a cover is left on for a better hour (ASSUMED). [h]
WAITING_H = 48.0
#: Largest fall of the face in the day after: 50 °F, ACI 306R for thin sections (from memory). [K]
LARGEST_FALL_K = 28.0
#: Members that are asked.
_MEMBERS = 30


@dataclass(frozen=True)
class Stay:
    """When a cover lies on.

    Parameters
    ----------
    on_h : float
        From the last float on, since 1970-01-01T00:00 UTC. [h]
    off_h : float or None
        First hour from which it may go: planned time over, frost strength there in nine of
        ten, face near the air, forenoon; None where none is found. [h]
    above_k, fall_k : float or None
        Face over the air then, and over the coldest air of the day after: what the face can
        fall at most. Without error of the forecast. [K]
    """

    on_h: float
    off_h: float | None
    above_k: float | None = None
    fall_k: float | None = None


def cover_stays(week: Week, judged: Sequence[Judged], zone: str | None) -> dict[int, Stay]:
    """The stay of every start that is covered and works.

    Parameters
    ----------
    week : Week
        What they share.
    judged : sequence of Judged
        In any order.
    zone : str or None
        For the hours of the day; None: UTC.

    Returns
    -------
    dict of int to Stay
        By index; starts without a cover, or that do not work, are left out.
    """
    few = few_members(week, _MEMBERS)
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, one in enumerate(judged):
        if one.measure.spells and one.verdict != "do-not-pour":
            groups.setdefault((one.measure.spells, one.measure.warm_mix), []).append(i)
    found: dict[int, Stay] = {}
    for indices in groups.values():
        measure = judged[indices[0]].measure
        until_h = max(c.to_h for c in measure.spells) + WAITING_H
        longer = replace(measure, spells=_longer(measure))
        run = partial(run_starts, few, measure=longer, until_h=until_h, coarse=True)
        pasts = in_parallel(few, [judged[i].candidate for i in indices], run)
        for i, past in zip(indices, pasts, strict=True):
            found[i] = _stay(few, judged[i], past, lambda at: local_hour(from_unix_h(at), zone))
    return found


def with_stay(judged: Judged, stay: Stay | None) -> Judged:
    """The start judged by the hour at which its cover goes, where there is a good one."""
    if stay is None or stay.off_h is None:
        return judged
    findings = [
        replace(f, verdict=KEPT, at_h=stay.off_h, value=stay.above_k, chance=0.0)
        if f.rule == "uncovering"
        else f
        for f in judged.findings
    ]
    verdict = overall(findings, protected=judged.measure.level > 0)
    return replace(judged, findings=findings, verdict=verdict)


def _longer(measure: Measure) -> tuple[CoverSpell, ...]:
    """What ends last stays on while an hour is looked for."""
    end = max(c.to_h for c in measure.spells)
    return tuple(replace(c, to_h=end + WAITING_H) if c.to_h == end else c for c in measure.spells)


def _stay(week: Week, judged: Judged, past: Histories, hour_of: Callable[[float], float]) -> Stay:
    spells, limits = judged.measure.spells, week.limits
    on_h = judged.origin_h + min(c.from_h for c in spells)
    end = max(c.to_h for c in spells)
    ready = max(end, judged.frost.safe_h)
    if not math.isfinite(ready):
        return Stay(on_h, None)
    exposure, first_h = week.case.exposure, week.weather.start_h
    low = max(0, int(judged.origin_h) - first_h - 13)
    air = site_air_c(week.weather.air_c[low : low + 300], exposure.air_offset_k, exposure.swing)
    first = math.ceil(judged.origin_h + ready - 1e-6)
    last = int(judged.origin_h + min(end + WAITING_H, float(past.t_h[-1])))
    for at in range(first, last + 1):
        if not OFF_FROM_H <= hour_of(float(at)) <= OFF_TO_H:
            continue
        row = at - first_h - low
        if row + 24 >= len(air):
            break
        index = min(int(np.searchsorted(past.t_h, at - judged.origin_h)), len(past.t_h) - 1)
        face = past.temp_c[index, SURFACE]
        above, fall = face - air[row], face - air[row : row + 25].min(axis=0)
        shocked = ~((above <= limits.uncover_drop_k) & (fall <= LARGEST_FALL_K))
        if share_of_members(shocked) <= limits.chance_kept:
            return Stay(on_h, float(at), float(above[0]), float(fall[0]))
    return Stay(on_h, None)
