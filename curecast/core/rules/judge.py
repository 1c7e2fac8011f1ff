"""The rules that judge a start: each gives its chance of breaking and the hour that decides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import FINISHING_H, Case
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import SURFACE, Histories
from curecast.core.holdpoints import FREEZE_MPA
from curecast.core.openings import Strengths, count_on_h

Array = NDArray[np.float64]

KEPT, AT_RISK, BROKEN = "kept", "at-risk", "broken"
#: Chance of breaking up to which a rule counts as kept, and as at risk.
KEPT_CHANCE, RISK_CHANCE = 0.05, 0.20
#: 0 °C and a margin. [°C]
FREEZE_C = 0.5
#: The air that makes cold weather: ACI 306R, 40 °F. [°C]
COLD_AIR_C = 4.4
#: Face above the air when a cover comes off a thin slab in wind (ASSUMED, CSA A23.1's order). [K]
UNCOVER_K = 11.0
#: As placed: warn, and stop: ACI 301-20, 305.1-14, 95 °F. [°C]
HOT_C, TOO_HOT_C = 32.0, 35.0
#: Plastic cracking: warn, and act: 0.1 and 0.2 lb/ft2/h. [kg/m2/h]
DRIES, DRIES_FAST = 0.5, 0.976
#: Ground that is as good as frozen. [°C]
GROUND_C = 1.0


@dataclass(frozen=True)
class Finding:
    """One rule on one start.

    Parameters
    ----------
    rule : str
        Its name. [-]
    verdict : str
        ``kept``, ``at-risk`` or ``broken``. [-]
    chance : float or None
        Chance of breaking, 0..1. [-]
    at_h : float or None
        The hour that decides, since 1970-01-01T00:00 UTC. [h]
    value, limit : float or None
        What was found against what is asked. [the rule's unit]
    advice : bool
        Advice lowers a start to at-risk at most. [-]
    source : str
        Where the rule comes from. [-]
    """

    rule: str
    verdict: str
    chance: float | None
    at_h: float | None
    value: float | None
    limit: float | None
    advice: bool
    source: str


@dataclass(frozen=True)
class Start:
    """One start with everything that judges it; ``past`` has one column a member, 0 without error.

    ``outside_c`` is the site's air at whole hours from ``outside_from_h`` on, (hour, member).
    """

    start_h: float
    origin_h: float
    past: Histories
    ground_c: Array
    placed_c: float
    outside_c: Array
    outside_from_h: float
    crew_until_h: float
    dark_h: float | None
    rain_from: Array
    rain_chance: Array
    spells: tuple[CoverSpell, ...]


def verdict_of(chance: float) -> str:
    """``kept`` up to 5 %, ``at-risk`` up to 20 %, ``broken`` above; NaN is broken."""
    if chance <= KEPT_CHANCE:
        return KEPT
    return AT_RISK if chance <= RISK_CHANCE else BROKEN


@dataclass(frozen=True)
class Frost:
    """The freeze rule's figures for one start."""

    finding: Finding
    chance_freeze: float
    coldest_c: float
    coldest_at_h: float
    likely_coldest_c: float
    safe_at_h: float


def judge_frost(case: Case, start: Start, strengths: Strengths) -> Frost:
    """No place of the concrete at or below 0.5 °C in its first day, nor before 3.5 MPa.

    Parameters
    ----------
    case : Case
        The slab. [various]
    start : Start
        One start. [various]
    strengths : Strengths
        How ages become strength. [various]

    Returns
    -------
    Frost
        Chance, hour and temperatures. [various]
    """
    past = start.past
    safe = count_on_h(strengths.reached_h(past, FREEZE_MPA, "coldest")[1:])
    until = max(case.middle_h + 24.0, min(safe, float(past.t_h[-1])))
    within = past.t_h <= until
    lowest = past.coldest_c[within].min(axis=0)
    chance = float(np.mean(~(lowest[1:] > FREEZE_C)))
    tenth = float(np.quantile(lowest[1:], 0.1))
    when = past.t_h[within][np.argmin(past.coldest_c[within, 0])]
    finding = Finding(
        "freeze", verdict_of(chance), chance, start.origin_h + float(when), tenth, FREEZE_C, False,
        "ACI 306R: not below freezing in the first 24 h, nor before 3.5 MPa (500 psi)",
    )  # fmt: skip
    return Frost(
        finding=finding,
        chance_freeze=float(np.mean(~(lowest[1:] > 0.0))),
        coldest_c=tenth,
        coldest_at_h=start.origin_h + float(when),
        likely_coldest_c=float(lowest[0]),
        safe_at_h=safe,
    )


def judge_warmth(start: Start, safe_at_h: float, least_c: float, strict: bool, source: str) -> Finding:
    """ACI's (or EN's, CSA's) least temperature over the protection period, in cold air only."""
    past = start.past
    until = max(72.0, min(safe_at_h, float(past.t_h[-1])))
    first = max(0, int(np.floor(start.origin_h - start.outside_from_h)))
    air = start.outside_c[first : first + int(until) + 1]
    cold = air.min(axis=0) < COLD_AIR_C
    within = (past.t_h <= until) & (past.t_h >= 1.0)
    lowest = past.coldest_c[within].min(axis=0)
    chance = float(np.mean(cold[1:] & ~(lowest[1:] >= least_c)))
    when = past.t_h[within][np.argmin(past.coldest_c[within, 0])]
    verdict = verdict_of(chance)
    if verdict == BROKEN and not strict:
        verdict = AT_RISK
    return Finding(
        "temperature", verdict, chance, start.origin_h + float(when), float(lowest[0]), least_c,
        not strict, source,
    )  # fmt: skip


def judge_ground(start: Start) -> Finding:
    """The ground under the slab is not frozen, nor as good as."""
    chance = float(np.mean(~(start.ground_c[1:] > GROUND_C)))
    return Finding(
        "ground", verdict_of(chance), chance, start.start_h, float(start.ground_c[0]), GROUND_C,
        False, "ACI 306R: never on frozen ground; 1 °C margin ASSUMED",
    )  # fmt: skip


def judge_rain(start: Start, exposed: bool, sheet: bool) -> Finding:
    """No rain on the face before final set; a sheet at hand makes it a matter of watching."""
    final = start.past.final_set_h
    until = start.origin_h + (float(final[0]) if np.isfinite(final[0]) else 24.0)
    within = (start.rain_from >= start.start_h - 1.0) & (start.rain_from < until)
    chances = np.where(np.isfinite(start.rain_chance), start.rain_chance, 0.0)[within]
    chance = float(chances.max()) if exposed and len(chances) else 0.0
    at = float(start.rain_from[within][int(np.argmax(chances))]) if chance > 0.0 else None
    verdict = verdict_of(chance)
    if verdict == BROKEN and sheet:
        verdict = AT_RISK
    return Finding(
        "rain", verdict, chance, at, chance, KEPT_CHANCE, sheet,
        "common practice: no rain on the face before final set",
    )  # fmt: skip


def judge_drying(start: Start) -> Finding:
    """The face does not dry faster than it bleeds (a guide, +/- 40 %)."""
    rate = start.past.evaporation_kg_m2_h
    chance = float(np.mean(rate[1:] > DRIES_FAST))
    verdict = KEPT if rate[0] <= DRIES and chance <= KEPT_CHANCE else AT_RISK
    return Finding(
        "evaporation", verdict, chance, None, float(rate[0]), DRIES_FAST, True,
        "ACI 305R: 0.2 lb/ft2/h (0.976 kg/m2/h); a guide, +/- 40 %",
    )  # fmt: skip


def judge_heat(start: Start) -> Finding:
    """The concrete is not placed too hot."""
    verdict = BROKEN if start.placed_c >= TOO_HOT_C else AT_RISK if start.placed_c >= HOT_C else KEPT
    return Finding(
        "heat", verdict, None, start.start_h, start.placed_c, TOO_HOT_C, False,
        "ACI 301-20, 305.1-14: 95 °F (35 °C) at discharge",
    )  # fmt: skip


def judge_hours(case: Case, start: Start) -> Finding:
    """Finishing ends by daylight and within the crew's hours."""
    end = start.origin_h + case.middle_h + start.past.finishing_h - case.middle_h + FINISHING_H
    end = np.where(np.isfinite(end), end, np.inf)
    limit = start.crew_until_h if start.dark_h is None else min(start.crew_until_h, start.dark_h)
    chance = float(np.mean(~(end[1:] <= limit)))
    at = float(end[0]) if np.isfinite(end[0]) else None
    return Finding(
        "daylight and crew hours", verdict_of(chance), chance, at, at, limit, False,
        "common practice; finishing times after ASCC Position Statement 15",
    )  # fmt: skip


def judge_uncovering(case: Case, start: Start) -> Finding | None:
    """The face is not much warmer than the air when the cover comes off."""
    ends = [c.to_h for c in start.spells if c.to_h <= start.past.t_h[-1]]
    if not ends:
        return None
    off_h = max(ends)
    index = int(np.searchsorted(start.past.t_h, off_h))
    index = min(index, len(start.past.t_h) - 1)
    hour = int(round(start.origin_h + off_h - start.outside_from_h))
    if not 0 <= hour < len(start.outside_c):
        return None
    above = start.past.temp_c[index, SURFACE] - start.outside_c[hour]
    chance = float(np.mean(above[1:] > UNCOVER_K))
    return Finding(
        "uncovering", KEPT if chance <= KEPT_CHANCE else AT_RISK, chance, start.origin_h + off_h,
        float(above[0]), UNCOVER_K, True,
        "ACI 306R's 28 °C a day is the limit; 11 °C for thin slabs in wind ASSUMED",
    )  # fmt: skip


def overall(findings: list[Finding], *, protected: bool) -> str:
    """The verdict of a start: its worst deciding rule; advice lowers it to at-risk at most."""
    deciding = [f.verdict for f in findings if not f.advice]
    if BROKEN in deciding:
        return "do-not-pour"
    if any(f.verdict != KEPT for f in findings):
        return "at-risk"
    return "pour-with-protection" if protected else "pour"
