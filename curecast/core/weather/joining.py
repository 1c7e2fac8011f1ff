"""One run of weather out of several: observed where it was, forecast where it is ahead."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.climate import FORGETTING_H, seasonal_k
from curecast.core.weather.seams import eased_k
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather
from curecast.errors import WeatherUnusable

Array = NDArray[np.float64]

#: Lead-day number of an hour that nobody forecast or observed: the doubt is at its largest.
_UNKNOWN_LEAD_D = 8.0
#: Two observations further apart say nothing of the hours between (ASSUMED). [h]
_APART_H = 2.0
_COLUMNS = ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain")


def joined(
    forecasts: Sequence[Forecast],
    observed_h: Array,
    observed_c: Array,
    first_h: int,
    latitude: float | None,
) -> tuple[HourlyWeather, Array]:
    """Join forecasts, oldest issue first, and observations of the air.

    Parameters
    ----------
    forecasts : sequence of Forecast
        At least one. For an hour that has passed, the newest issue from before it counts;
        for one ahead, the newest of all. [various]
    observed_h, observed_c : ndarray, shape (observation,)
        Air observed, hours since 1970-01-01T00:00 UTC. [h, °C]
    first_h : int
        First hour wanted. [h]
    latitude : float or None
        Of the site, for hours that nobody knows. [deg]

    Returns
    -------
    weather : HourlyWeather
        From ``first_h`` to the last hour of any forecast; spans say what came from where.
        [various]
    lead_d : ndarray, shape (hour,)
        Lead-day number of each hour. [d]

    Raises
    ------
    WeatherUnusable
        Where there is no forecast at all.
    """
    if not forecasts:
        raise WeatherUnusable("no forecast is known for this place", "fetch or give one")
    last_h = max([f.weather.end_h for f in forecasts] + [first_h + 1])
    hours = np.arange(first_h, last_h + 1)
    table, span, lead_d = _latest(forecasts, hours)
    air, dew = table["air_c"], table["dew_point_c"]
    seen = _observed_at(hours, observed_h, observed_c)
    known = np.isfinite(seen)
    shift_k = eased_k(hours.astype(float), known, seen - air)
    table["dew_point_c"] = np.where(np.isfinite(air), dew + shift_k, dew)
    table["air_c"] = _filled(hours, np.where(known, seen, air + shift_k), latitude)
    spans = np.where(known, SPANS.index("observed"), span).astype(np.int8)
    return HourlyWeather(start_h=first_h, span=spans, **table), lead_d


def _latest(
    forecasts: Sequence[Forecast], hours: NDArray[np.int64]
) -> tuple[dict[str, Array], NDArray[np.int64], Array]:
    """Every hour from its newest forecast: columns, spans, lead days; NaN where nobody knows."""
    table = {name: np.full(len(hours), np.nan) for name in _COLUMNS}
    span = np.full(len(hours), SPANS.index("climatology"))
    lead_d = np.full(len(hours), _UNKNOWN_LEAD_D)
    for forecast in sorted(forecasts, key=lambda f: f.issued_h):
        weather = forecast.weather
        inside = (hours >= weather.start_h) & (hours <= weather.end_h)
        take = inside & ((hours >= np.floor(forecast.issued_h)) | np.isnan(table["air_c"]))
        index = hours[take] - weather.start_h
        for name, column in table.items():
            column[take] = getattr(weather, name)[index]
        span[take] = weather.span[index]
        issued_h = forecast.hour_issues_h()[index]
        lead_d[take] = np.maximum((hours[take] - issued_h) / 24.0, 0.0) + 0.5
    return table, span, lead_d


def _observed_at(hours: NDArray[np.int64], observed_h: Array, observed_c: Array) -> Array:
    """Observations at whole hours: linear between two at most two hours apart, else the
    nearest one within half an hour."""
    at, value = np.asarray(observed_h, dtype=float), np.asarray(observed_c, dtype=float)
    good = np.isfinite(at) & np.isfinite(value)
    order = np.argsort(at[good], kind="stable")
    at, value = at[good][order], value[good][order]
    if not len(at):
        return np.full(len(hours), np.nan)
    right = np.clip(np.searchsorted(at, hours), 0, len(at) - 1)
    left = np.maximum(right - 1, 0)
    since, until = np.abs(hours - at[left]), np.abs(at[right] - hours)
    between = (at[left] <= hours) & (hours <= at[right]) & (at[right] - at[left] <= _APART_H)
    nearest = np.where(until <= since, value[right], value[left])
    lone = np.where(np.minimum(since, until) < 0.5, nearest, np.nan)
    return np.where(between, np.interp(hours, at, value), lone)


def _filled(hours: NDArray[np.int64], air_c: Array, latitude: float | None) -> Array:
    """Hours that nobody knows: the mean day and the season, moved to meet the known hours.

    Between known hours what they lie off the mean day goes over in a straight line; before
    the first and after the last it fades as after a forecast.
    """
    known = np.isfinite(air_c)
    if known.all():
        return air_c
    if not known.any():
        raise WeatherUnusable("the forecast does not reach this pour", "give one that does")
    season = seasonal_k(hours, latitude)
    level = air_c - season
    day = _mean_day(hours, level)
    normal = float(np.mean(level[known])) + day[hours % 24] + season
    outside = np.maximum(hours[known][0] - hours, hours - hours[known][-1])
    fading = np.exp(-np.maximum(outside, 0) / FORGETTING_H)
    off = np.interp(hours, hours[known], (air_c - normal)[known])
    return np.where(known, air_c, normal + off * fading)


def _mean_day(hours: NDArray[np.int64], level_c: Array) -> Array:
    """What each hour of the UTC day lies above or below its own day's mean, NaN left out."""
    known = np.isfinite(level_c)
    day = np.ones(25)
    around = np.convolve(known, day, "same")
    mean = np.convolve(np.where(known, level_c, 0.0), day, "same") / np.maximum(around, 1.0)
    clock = hours[known] % 24
    count = np.bincount(clock, minlength=24)
    return np.asarray(np.bincount(clock, (level_c - mean)[known], 24) / np.maximum(count, 1))
