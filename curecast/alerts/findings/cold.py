"""News about cold while the concrete is young: a freeze ahead, protection that fails."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from curecast.alerts.findings.holds import last_seen
from curecast.alerts.findings.kinds import (
    Finding,
    FreezeAhead,
    ProtectionFailing,
    Source,
    key_of,
)
from curecast.clock import from_unix_h, local_hour, to_local
from curecast.core.heat.covers import cover_state
from curecast.core.holdpoints import FREEZE_MPA
from curecast.core.openings import count_on_h
from curecast.core.rules.tables import least_maintained_c, rule_set
from curecast.core.weather.series import Forecast
from curecast.prospect.standing import SlabAnswer

__all__ = ["failing", "freeze_ahead", "frost_safe_h"]

Array = NDArray[np.float64]

#: Chances from which people are warned of frozen concrete, and warned again (ASSUMED).
WARN_CHANCE, LIKELY_CHANCE = 0.10, 0.50
#: How far ahead a freeze is told: three nights (ASSUMED). [h]
_AHEAD_H = 72.0
#: A cover lies this long before the first frost (ASSUMED). [h]
_COVER_BEFORE_H = 2.0
#: An old reading is no news. [h]
_NEWS_H = 24.0
#: Concrete this cold is close to freezing (ASSUMED). [°C]
_NEAR_FROST_C = 2.0


def frost_safe_h(answer: SlabAnswer) -> float:
    """When every place has 3.5 MPa by nine of ten, on the history's clock. [h]"""
    return count_on_h(answer.strengths.reached_h(answer.past, FREEZE_MPA, "coldest")[1:])


def freeze_ahead(
    answer: SlabAnswer, placement_id: str, newest: Forecast | None = None
) -> list[Finding]:
    """The first freeze within three nights, while the concrete is not frost-safe.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    newest : Forecast or None
        The newest forecast known, to be named.
    """
    past, age_h, safe_h = answer.past, answer.age_h, frost_safe_h(answer)
    ahead = (past.t_h > max(age_h, 0.0)) & (past.t_h <= min(age_h + _AHEAD_H, safe_h))
    if not ahead.any():
        return []
    t_h = past.t_h[ahead]
    concrete, concrete_at_h = _first_frost(t_h, past.coldest_c[ahead, 1:])
    air, air_at_h = _first_frost(t_h, past.air_c[ahead, 1:])
    if max(concrete, air) < WARN_CHANCE:
        return []
    of = "concrete" if concrete >= WARN_CHANCE else "air"
    at_h = min(concrete_at_h, air_at_h)
    zone = answer.job.site.zone
    when_h = _whole(answer.origin_h + (concrete_at_h if of == "concrete" else air_at_h), zone)
    # A night runs from noon to noon, so that midnight does not make two of it.
    night = to_local(from_unix_h(when_h - 12.0), zone).date().isoformat()
    words = f"{of}-likely" if concrete >= LIKELY_CHANCE else of
    return [
        FreezeAhead(
            key=key_of(answer.job.name, placement_id, "freeze", None, f"{words}-{night}"),
            kind="freeze",
            at_h=answer.now_h,
            can_wait=False,
            of=of,
            when_h=when_h,
            chance=concrete if of == "concrete" else air,
            chance_concrete=concrete,
            coldest_c=float(np.quantile(past.coldest_c[ahead, 1:].min(axis=0), 0.1)),
            safe_h=answer.origin_h + safe_h,
            cover_by_h=_whole(answer.origin_h + at_h - _COVER_BEFORE_H, zone),
            covered=cover_state(answer.spells, at_h).covered,
            source=None if newest is None else Source(newest.source, newest.issued_h),
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def _whole(unix_h: float, zone: str | None) -> float:
    """The whole hour of the local clock before an instant."""
    return round(unix_h - local_hour(from_unix_h(unix_h), zone) % 1.0, 3)


def _first_frost(t_h: Array, temps_c: Array) -> tuple[float, float]:
    """The chance of reaching 0 °C, and when one in ten has."""
    so_far = np.minimum.accumulate(temps_c, axis=0)
    share = np.mean(~(so_far > 0.0), axis=1)
    chance = float(share[-1])
    if chance < WARN_CHANCE:
        return chance, math.inf
    return chance, float(t_h[int(np.argmax(share >= WARN_CHANCE))])


def failing(answer: SlabAnswer, placement_id: str) -> list[Finding]:
    """The coldest fresh reading of the concrete, where it lies below the rule in cold weather.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    """
    job = answer.job
    safe_h = frost_safe_h(answer)
    fresh = [
        s
        for s in answer.record.seen
        if s.where in ("surface", "inside", "under-cover")
        and answer.now_h - _NEWS_H <= s.at_h <= answer.now_h + 0.1
        and 0.0 < s.at_h - answer.origin_h < safe_h
    ]
    if not fresh or not _cold_weather(answer):
        return []
    usual_c, rule = least_maintained_c(job.rules.set, answer.case.thickness_m)
    least_c = max(usual_c, job.rules.thresholds.get("least_temperature_c", usual_c))
    coldest = min(fresh, key=lambda s: s.value_c)
    if coldest.value_c >= least_c:
        return []
    near_frost = coldest.value_c <= _NEAR_FROST_C
    day = to_local(from_unix_h(coldest.at_h), job.site.zone).date().isoformat()
    words = f"{'near-frost' if near_frost else 'low'}-{day}"
    return [
        ProtectionFailing(
            key=key_of(job.name, placement_id, "failing", None, words),
            kind="failing",
            at_h=coldest.at_h,
            can_wait=not near_frost,
            seen=coldest,
            least_c=least_c,
            rule=rule,
            near_frost=near_frost,
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def _cold_weather(answer: SlabAnswer) -> bool:
    """Whether the air falls below what the rule set calls cold, a day either way of now."""
    weather = answer.weather
    hours = weather.start_h + np.arange(len(weather))
    near = np.abs(hours - answer.now_h) <= 24.0
    air_c = weather.air_c[near] + answer.job.site.air_offset_k
    return bool(len(air_c)) and float(air_c.min()) < rule_set(answer.job.rules.set).cold_air_c
