"""News from the sky: rain on a soft face, and a forecast that has grown too old."""

from __future__ import annotations

import math

import numpy as np

from curecast.alerts.findings.holds import last_seen
from curecast.alerts.findings.kinds import Finding, Source, key_of, stamp
from curecast.alerts.findings.kinds_ahead import RainAhead, WeatherLost
from curecast.core.weather.series import Forecast
from curecast.prospect.standing import SlabAnswer

__all__ = ["rain_ahead", "weather_lost"]

#: Chance from which rain on a face that has not set is told (ASSUMED).
WARN_CHANCE = 0.3
#: An older forecast is no forecast any more (ASSUMED). [h]
_LOST_H = 24.0
#: States of a hold whose date still rests on the weather ahead.
_OPEN_STATES = ("projected", "unproven", "withdrawn")


def rain_ahead(
    answer: SlabAnswer, placement_id: str, newest: Forecast | None = None
) -> list[Finding]:
    """Rain from now to final set, by the median's set.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    newest : Forecast or None
        The newest forecast known, to be named.
    """
    set_h = float(answer.past.final_set_h[0])
    set_h = answer.origin_h + (set_h if math.isfinite(set_h) else 24.0)
    exposed = answer.job.site.exposure not in ("roofed", "shed")
    if not exposed or answer.now_h >= set_h:
        return []
    weather = answer.weather
    hours = weather.start_h + np.arange(len(weather))
    ahead = (hours > answer.now_h - 1.0) & (hours < set_h)
    chances = np.where(np.isfinite(weather.chance_rain), weather.chance_rain, 0.0)[ahead]
    likely = chances >= WARN_CHANCE
    if not likely.any():
        return []
    words = "likely" if float(chances.max()) >= 0.5 else "chance"
    return [
        RainAhead(
            key=key_of(answer.job.name, placement_id, "rain", None, words),
            kind="rain",
            at_h=answer.now_h,
            can_wait=False,
            when_h=max(float(hours[ahead][int(np.argmax(likely))]), answer.now_h),
            set_h=set_h,
            chance=float(chances.max()),
            source=None if newest is None else Source(newest.source, newest.issued_h),
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def weather_lost(
    answer: SlabAnswer, placement_id: str, newest: Forecast | None = None
) -> list[Finding]:
    """No forecast for so long that dates rest on an old one, or on the climate.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    newest : Forecast or None
        The newest forecast known.
    """
    waiting = tuple(n for n, h in answer.holds.items() if h.state in _OPEN_STATES)
    if newest is None or not waiting or answer.now_h - newest.issued_h <= _LOST_H:
        return []
    return [
        WeatherLost(
            key=key_of(answer.job.name, placement_id, "weather-lost", None, stamp(newest.issued_h)),
            kind="weather-lost",
            at_h=answer.now_h,
            source=Source(newest.source, newest.issued_h),
            ends_h=float(newest.weather.end_h),
            waiting=waiting,
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]
