"""The weather ahead, a row a day, as far as a forecast reaches."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from curecast.clock import from_unix_h, show_day
from curecast.core.weather.series import SPANS, HourlyWeather
from curecast.quantities import show_quantity
from curecast.report.pictures.axes import midnights

_DAYS = 8
_CLIMATE = SPANS.index("climatology")
#: A day of which fewer hours are known is left out. [h]
_LEAST_H = 3


@dataclass(frozen=True)
class DayAhead:
    """One day: lowest and highest air, rain, wind; a dash where a source says nothing."""

    day: str
    lowest: str
    highest: str
    freezes: bool
    rain: str
    wind: str


def days_ahead(
    weather: HourlyWeather, now_h: float, zone: str | None, units: str
) -> list[DayAhead]:
    """The days from now to the forecast's end.

    Parameters
    ----------
    weather : HourlyWeather
        Its hours; those of the climate are no forecast and are left out.
    now_h : float
        Since 1970. [h]
    zone : str or None
        Whose days.
    units : {"us", "si"}
        Whose units.
    """
    hours = weather.start_h + np.arange(len(weather))
    ahead = (hours >= now_h - 1.0) & (weather.span != _CLIMATE)
    if not ahead.any():
        return []
    last_h = float(hours[ahead][-1])
    edges = [now_h - 1.0, *midnights(now_h, last_h, zone), last_h + 0.5]
    rows = []
    for begin, end in list(pairwise(edges))[:_DAYS]:
        day = ahead & (hours >= begin) & (hours < end)
        if day.sum() >= _LEAST_H:
            middle = from_unix_h(0.5 * (max(begin, now_h) + end))
            rows.append(_row(show_day(middle, zone), weather, day, units))
    return rows


def _row(day: str, weather: HourlyWeather, hours: np.ndarray, units: str) -> DayAhead:
    air, wind = weather.air_c[hours], weather.wind_ms[hours]
    return DayAhead(
        day,
        show_quantity(float(air.min()), "temperature", units),
        show_quantity(float(air.max()), "temperature", units),
        bool(air.min() <= 0.0),
        _rain_words(weather.rain_mm[hours], weather.chance_rain[hours], units),
        show_quantity(float(np.nanmax(wind)), "speed", units) if np.isfinite(wind).any() else "–",
    )


def _rain_words(rain_mm: np.ndarray, chance: np.ndarray, units: str) -> str:
    said = []
    if np.isfinite(chance).any():
        said.append(f"{100.0 * float(np.nanmax(chance)):.0f} %")
    if np.isfinite(rain_mm).any() and float(np.nansum(rain_mm)) >= 0.1:
        said.append(show_quantity(float(np.nansum(rain_mm)), "rain", units))
    return ", ".join(said) or "–"
