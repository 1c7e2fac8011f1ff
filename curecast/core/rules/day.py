"""Rules of the day itself: hours and daylight, rain, drying, heat."""

from __future__ import annotations

import numpy as np

from curecast.core.case import FINISHING_H
from curecast.core.rules.finding import Finding, Start, share_of_members
from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT


def judge_hours(start: Start) -> Finding:
    """Finishing ends by daylight and within the crew's hours.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        ``value`` and ``limit`` are instants since 1970; None where it would not set. [h]
    """
    end = start.origin_h + start.past.finishing_h + FINISHING_H
    end = np.where(np.isfinite(end), end, np.inf)
    limit = start.crew_until_h if start.dark_h is None else min(start.crew_until_h, start.dark_h)
    chance = share_of_members(~(end <= limit))
    at = float(end[0]) if np.isfinite(end[0]) else None
    return Finding(
        "daylight and crew hours", start.limits.verdict(chance), chance, at, at, limit, False,
        "common practice; finishing times after ASCC Position Statement 15",
    )  # fmt: skip


def judge_rain(start: Start) -> Finding:
    """No rain on the face before final set; a sheet at hand makes it a matter of watching.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        Advice where a sheet is at hand. [-]
    """
    final = float(start.past.final_set_h[0])
    until = start.origin_h + (final if np.isfinite(final) else 24.0)
    within = (start.rain_from >= start.start_h - 1.0) & (start.rain_from < until)
    chances = np.where(np.isfinite(start.rain_chance), start.rain_chance, 0.0)[within]
    chance = float(chances.max()) if start.rained_on and len(chances) else 0.0
    at = float(start.rain_from[within][int(np.argmax(chances))]) if chance > 0.0 else None
    verdict = start.limits.verdict(chance)
    if verdict == BROKEN and start.sheet:
        verdict = AT_RISK
    return Finding(
        "rain", verdict, chance, at, chance, start.limits.chance_kept, start.sheet,
        "common practice: no rain on the face before final set",
    )  # fmt: skip


def judge_drying(start: Start) -> Finding:
    """The face does not dry faster than it bleeds.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        Advice, a guide within +/- 40 %. [kg/m2/h]
    """
    limits, rate = start.limits, start.past.evaporation_kg_m2_h
    chance = share_of_members(rate > limits.evaporation_limit_kg_m2_h)
    calm = rate[0] <= limits.evaporation_warn_kg_m2_h and chance <= limits.chance_kept
    return Finding(
        "evaporation", KEPT if calm else AT_RISK, chance, None, float(rate[0]),
        limits.evaporation_limit_kg_m2_h, True,
        "ACI 305R: 0.2 lb/ft2/h (0.976 kg/m2/h); a guide, +/- 40 %",
    )  # fmt: skip


def judge_heat(start: Start) -> Finding:
    """The concrete is not placed too hot.

    Parameters
    ----------
    start : Start
        One start. [various]

    Returns
    -------
    Finding
        On the concrete as placed. [°C]
    """
    limits, placed = start.limits, start.placed_c
    verdict = AT_RISK if placed >= limits.warm_limit_c else KEPT
    if not placed < limits.hot_limit_c:
        verdict = BROKEN
    return Finding(
        "heat", verdict, None, start.start_h, placed, limits.hot_limit_c, False,
        limits.hot_source,
    )  # fmt: skip
