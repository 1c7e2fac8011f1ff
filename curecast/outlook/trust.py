"""Whether a forecast that has just come is believed: by its age, and by the one before it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.outlook.memory import Memory
from curecast.sources.freshness import check_fresh
from curecast.sources.merge import mean_difference_k
from curecast.sources.names import service_of, shown_name
from curecast.tracking import OLDEST_H

__all__ = ["check_trust"]

#: A service's clock may be so far ahead of this one. ASSUMED [h]
_AHEAD_H = 1.0
#: Two issues within a day that lie further apart on average, over at least a day, are not
#: about the same weather: the error of a whole day's mean is 2.6 K (rms) on the seventh day
#: ahead (measured). ASSUMED [K, h]
_CONTRADICT_K, _SHARED_H = 9.0, 24


def check_trust(forecast: Forecast, kept: Forecast | None, memory: Memory) -> Forecast:
    """The forecast, if it may serve.

    Parameters
    ----------
    forecast : Forecast
        As it has just come from its service.
    kept : Forecast or None
        The newest one of the same service that is kept.
    memory : Memory
        Of its place. One that contradicts the kept one is believed once the service has
        said the same for an hour.

    Returns
    -------
    Forecast
        Not issued after it came: a service's clock may be a little ahead.

    Raises
    ------
    WeatherUnavailable
        It is more than a day old: a cache on the way, or a service that has stopped.
    WeatherUnusable
        It is of a time to come, or contradicts the one before.
    """
    now_h, name = memory.now_h, shown_name(service_of(forecast.source))
    ahead_h = forecast.issued_h - now_h
    if ahead_h > _AHEAD_H:
        raise WeatherUnusable(
            f"the forecast of {name} says it was made {ahead_h:.0f} h after the time that is "
            "taken as now",
            "look whether this computer's clock is right",
        )
    if check_fresh(forecast, now_h)[0]:
        raise WeatherUnavailable(
            f"{name} has nothing newer than a forecast of {_span(-ahead_h)} ago",
            "try again later, or give a saved forecast with --forecast",
        )
    if kept is not None and now_h - kept.issued_h <= OLDEST_H:
        _check_agreement(forecast, kept, memory, name)
    return replace(forecast, issued_h=min(forecast.issued_h, now_h))


def _check_agreement(forecast: Forecast, kept: Forecast, memory: Memory, name: str) -> None:
    one, other = forecast.weather, kept.weather
    shared = min(one.end_h, other.end_h) - max(one.start_h, other.start_h) + 1
    apart_k = mean_difference_k(one, other)
    if shared < _SHARED_H or apart_k <= _CONTRADICT_K:
        return
    service = service_of(forecast.source)
    odd = memory.last(service, "odd")
    if odd is not None and 1.0 <= memory.now_h - odd.at_h <= OLDEST_H:
        return
    if odd is None or memory.now_h - odd.at_h > OLDEST_H:
        memory.note(service, "odd", "failed", {"apart_k": float(np.round(apart_k, 1))})
    raise WeatherUnusable(
        f"the forecast of {name} contradicts its own of {memory.now_h - kept.issued_h:.0f} h ago "
        f"by {apart_k:.0f} K on average: it is not believed unless it says so for an hour",
        "look at another forecast; give one with --forecast",
    )


def _span(hours: float) -> str:
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"
