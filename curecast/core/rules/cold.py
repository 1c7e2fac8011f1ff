"""Rules against the cold: frost in young concrete, warmth, frozen ground, uncovering."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from curecast.core.histories import BOTTOM, SURFACE, Histories
from curecast.core.openings import Strengths, count_on_h
from curecast.core.rules.finding import Finding, Start, share_of_members
from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT

#: The span in which fresh concrete must not freeze, after the last batch: ACI 306R. [h]
FIRST_DAY_H = 24.0


@dataclass(frozen=True)
class Frost:
    """The freeze rule on one start.

    Parameters
    ----------
    finding : Finding
        Against the limit with its margin. [-]
    chance_freeze : float
        Chance that any place reaches 0 °C in the span. [-]
    coldest_c : float
        One-in-ten coldest of the span. [°C]
    likely_coldest_c : float
        Coldest of the run without error. [°C]
    coldest_at_h : float
        When that is, since 1970-01-01T00:00 UTC. [h]
    safe_h : float
        When nine of ten have the frost strength everywhere, after the middle of placing;
        infinity beyond the run. [h]
    """

    finding: Finding
    chance_freeze: float
    coldest_c: float
    likely_coldest_c: float
    coldest_at_h: float
    safe_h: float


def judge_frost(start: Start, strengths: Strengths) -> Frost:
    """No place of the concrete freezes in its first day, nor before it can bear it.

    Parameters
    ----------
    start : Start
        One start. [various]
    strengths : Strengths
        How ages become strength. [various]

    Returns
    -------
    Frost
        Chance, hour and temperatures. [various]
    """
    past, limits = start.past, start.limits
    reached = strengths.reached_h(past, limits.freeze_strength_mpa, "coldest")
    safe = count_on_h(reached[1:])
    until = max(start.placed_h + FIRST_DAY_H, min(safe, float(past.t_h[-1])))
    within = past.t_h <= until
    lowest = past.coldest_c[within].min(axis=0)
    chance = share_of_members(~(lowest > limits.freeze_limit_c))
    when = start.origin_h + float(past.t_h[within][np.argmin(past.coldest_c[within, 0])])
    tenth = float(np.quantile(lowest[1:], 0.1))
    finding = Finding(
        "freeze", limits.verdict(chance), chance, when, tenth, limits.freeze_limit_c, False,
        f"{limits.frost_source}; not below freezing in the first 24 h",
    )  # fmt: skip
    return Frost(
        finding=finding,
        chance_freeze=share_of_members(~(lowest > 0.0)),
        coldest_c=tenth,
        likely_coldest_c=float(lowest[0]),
        coldest_at_h=when,
        safe_h=safe,
    )


def judge_warmth(start: Start, safe_h: float) -> Finding:
    """In cold air the concrete is kept at the rule set's temperature while it is protected.

    Parameters
    ----------
    start : Start
        One start. [various]
    safe_h : float
        When it can bear frost, after the middle of placing. [h]

    Returns
    -------
    Finding
        Advice, unless the job is strict. [°C]
    """
    past, limits = start.past, start.limits
    until = max(limits.protection_time_h, min(safe_h, float(past.t_h[-1])))
    first = max(0, int(np.floor(start.origin_h - start.outside_from_h)))
    cold = start.outside_c[first : first + int(until) + 1].min(axis=0) < limits.cold_air_c
    within = (past.t_h <= until) & (past.t_h >= 1.0)
    lowest = past.coldest_c[within].min(axis=0)
    chance = share_of_members(cold & ~(lowest >= limits.least_temperature_c))
    verdict = limits.verdict(chance)
    if verdict == BROKEN and not limits.strict:
        verdict = AT_RISK
    when = start.origin_h + float(past.t_h[within][np.argmin(past.coldest_c[within, 0])])
    return Finding(
        "temperature", verdict, chance, when, float(lowest[0]), limits.least_temperature_c,
        not limits.strict, f"{limits.least_source}; {limits.cold_source}",
    )  # fmt: skip


def judge_ground(start: Start) -> Finding:
    """The ground under the slab is not frozen, nor as good as.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        On the ground before the pour. [°C]
    """
    limits = start.limits
    chance = share_of_members(~(start.ground_c > limits.ground_limit_c))
    return Finding(
        "ground", limits.verdict(chance), chance, start.start_h, float(start.ground_c[0]),
        limits.ground_limit_c, False, "ACI 306R: never on frozen ground; 1 °C margin ASSUMED",
    )  # fmt: skip


def frost_under_h(past: Histories, from_h: float, until_h: float) -> float | None:
    """When the soil against the underside may freeze: frost there lifts a thin slab.

    Parameters
    ----------
    past : Histories
        Columns are members, the first without error. [various]
    from_h, until_h : float
        Which hours are looked at, on its clock. [h]

    Returns
    -------
    float or None
        The first hour at which the underside is at or below 0 °C without error or in one of
        ten members; None where that does not happen. [h]
    """
    within = (past.t_h >= from_h) & (past.t_h <= until_h)
    under_c = past.temp_c[within, BOTTOM]
    if not len(under_c):
        return None
    frozen = ~(under_c[:, 0] > 0.0)
    if under_c.shape[1] > 1:
        frozen |= ~(np.quantile(under_c[:, 1:], 0.1, axis=1) > 0.0)
    return float(past.t_h[within][int(np.argmax(frozen))]) if frozen.any() else None


def judge_uncovering(start: Start) -> Finding:
    """The face is not much warmer than the air when the last cover comes off.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        Advice; kept where nothing is taken off within the run. [K]
    """
    limits, past = start.limits, start.past
    none = Finding(
        "uncovering", KEPT, 0.0, None, None, limits.uncover_drop_k, True,
        "ACI 306R's 28 °C a day is the limit; 11 °C for thin slabs in wind ASSUMED",
    )  # fmt: skip
    ends = [c.to_h for c in start.spells if c.to_h <= past.t_h[-1]]
    hour = round(start.origin_h + max(ends) - start.outside_from_h) if ends else -1
    if not 0 <= hour < len(start.outside_c):
        return none
    off_h = max(ends)
    index = min(int(np.searchsorted(past.t_h, off_h)), len(past.t_h) - 1)
    above = past.temp_c[index, SURFACE] - start.outside_c[hour]
    chance = share_of_members(above > limits.uncover_drop_k)
    return replace(
        none,
        verdict=KEPT if chance <= limits.chance_kept else AT_RISK,
        chance=chance,
        at_h=start.origin_h + off_h,
        value=float(above[0]),
    )
