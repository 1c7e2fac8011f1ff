"""The weather that a week is judged by: one forecast or several, with their doubt, and the rain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.own_doubt import OwnDoubt
from curecast.core.weather.pooled import Spread, pooled, spread_of, told_by
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather
from curecast.job.layout import Job
from curecast.prospect.plain_words import degrees, difference, when

Array = NDArray[np.float64]

_AS_MEASURED = OwnDoubt()
#: Chance that stands for rain that a forecast gives in millimetres alone (ASSUMED). [-]
_RAIN_CHANCE, _RAIN_MM = 0.5, 0.2
#: How far ahead forecasts are compared. [h]
_AHEAD_H = 216.0


def lead_days(weather: HourlyWeather, issued_h: float | Array) -> Array:
    """Lead-day number of each hour: days since its issue plus a half."""
    hours = weather.start_h + np.arange(len(weather), dtype=np.float64)
    return np.asarray(np.maximum((hours - issued_h) / 24.0, 0.0) + 0.5)


def week_members(
    job: Job,
    forecast: Forecast,
    beside: Sequence[Forecast],
    until_h: int,
    count: int,
    seed: int,
    doubt: OwnDoubt = _AS_MEASURED,
) -> Members:
    """The forecast, and other sources beside it, with their doubt.

    Parameters
    ----------
    job : Job
        For its place and climate.
    forecast : Forecast
        The first source, carried on by the others where it ends.
    beside : sequence of Forecast
        Other sources of the same place; each gets an equal share of the members.
    until_h : int
        Last hour, since 1970. [h]
    count : int
        Members besides the run without error.
    seed : int
        Not negative.
    doubt : OwnDoubt
        What the place's own record says of its forecasts.
    """
    site = job.site
    first = _moved(forecast.weather, doubt.bias_k)
    base = extended(first, until_h, site.latitude, normals_c=job.climate.normals_c)
    issues = forecast.hour_issues_h(len(base))
    found = [(base, issues)]
    for other in beside:
        known = other.weather
        own = issues.copy()
        low, high = known.start_h - base.start_h, known.end_h + 1 - base.start_h
        own[max(low, 0) : max(high, 0)] = other.issued_h
        found.append((told_by(base, _moved(known, doubt.bias_k)), own))
    return pooled(
        [
            members(
                one,
                lead_days(one, at),
                count=count,
                seed=seed,
                latitude=site.latitude,
                error_scale=doubt.scale,
            )
            for one, at in found
        ]
    )


def _moved(weather: HourlyWeather, by_k: float) -> HourlyWeather:
    """The forecast's own hours moved by what it was off before; what was measured stays."""
    if by_k == 0.0:
        return weather
    shift = np.where(weather.span == SPANS.index("observed"), 0.0, by_k)
    return replace(weather, air_c=weather.air_c + shift, dew_point_c=weather.dew_point_c + shift)


def doubt_words(job: Job, doubt: OwnDoubt) -> str:
    """What the place's own record changed; empty where it is too short."""
    if not doubt.days:
        return ""
    moved = ""
    if abs(doubt.bias_k) >= 0.05:
        side = "warmer" if doubt.bias_k > 0.0 else "colder"
        moved = f", and they are taken {difference(job, abs(doubt.bias_k))} {side}"
    return (
        f"By {doubt.days} days of measured air here, forecasts err {doubt.scale:.1f} times as much "
        f"as elsewhere{moved}."
    )


def week_rain(forecast: Forecast, beside: Sequence[Forecast]) -> tuple[Array, Array]:
    """Hours since 1970, and the greatest chance of rain that any source gives. [h, -]"""
    hours = forecast.weather.start_h + np.arange(len(forecast.weather), dtype=float)
    chance = _chance_of(forecast.weather)
    for other in beside:
        theirs = np.interp(hours, _hours(other.weather), _chance_of(other.weather), np.nan, np.nan)
        chance = np.fmax(chance, theirs)
    return hours, chance


def _hours(weather: HourlyWeather) -> Array:
    return np.asarray(weather.start_h + np.arange(len(weather), dtype=float))


def _chance_of(weather: HourlyWeather) -> Array:
    rained = np.where(weather.rain_mm > _RAIN_MM, _RAIN_CHANCE, 0.0)
    return np.where(np.isfinite(weather.chance_rain), weather.chance_rain, rained)


def spreads(
    forecast: Forecast, beside: Sequence[Forecast], now_h: float
) -> list[tuple[Forecast, Spread]]:
    """Each other source against the first."""
    found = []
    for other in beside:
        spread = spread_of(forecast.weather, other.weather, now_h, now_h + _AHEAD_H)
        if spread is not None:
            found.append((other, spread))
    return found


def spread_words(job: Job, first: str, other: Forecast, spread: Spread) -> str:
    """How two sources differ, in one sentence.

    Parameters
    ----------
    job : Job
        For units and zone.
    first : str
        The first source by its name.
    other : Forecast
        The second.
    spread : Spread
        Between them.
    """
    colder = other.source if spread.second_c < spread.first_c else first
    return (
        f"Two forecasts are followed, half of the courses each: {first} and {other.source} differ "
        f"by {difference(job, spread.mean_k)} on average, most at {when(job, spread.at_h)} "
        f"({degrees(job, spread.first_c)} against {degrees(job, spread.second_c)}); the colder "
        f"then is {colder}."
    )
