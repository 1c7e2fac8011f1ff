"""One run of weather out of several: observed where it was, forecast where it is ahead."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.climate import seasonal_k
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather
from curecast.errors import WeatherUnusable

Array = NDArray[np.float64]

#: Lead-day number of an hour that nobody forecast or observed: the doubt is at its largest.
_UNKNOWN_LEAD_D = 8.0
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
    table = np.full((len(_COLUMNS), len(hours)), np.nan)
    lead = np.full(len(hours), _UNKNOWN_LEAD_D)
    for forecast in sorted(forecasts, key=lambda f: f.issued_h):
        weather = forecast.weather
        inside = (hours >= weather.start_h) & (hours <= weather.end_h)
        take = inside & ((hours >= np.floor(forecast.issued_h)) | np.isnan(table[0]))
        index = hours[take] - weather.start_h
        for row, name in enumerate(_COLUMNS):
            table[row, take] = getattr(weather, name)[index]
        lead[take] = np.maximum((hours[take] - forecast.issued_h) / 24.0, 0.0) + 0.5
    span = np.where(np.isnan(table[0]), SPANS.index("climatology"), SPANS.index("forecast"))
    seen = _observed_at(hours, observed_h, observed_c)
    known = np.isfinite(seen)
    shift = np.where(known, seen - table[0], 0.0)
    table[1] = np.where(known & np.isfinite(table[1]), table[1] + np.nan_to_num(shift), table[1])
    table[0] = np.where(known, seen, table[0])
    span = np.where(known, SPANS.index("observed"), span)
    table[0] = _filled(hours, table[0], latitude)
    return (
        HourlyWeather(first_h, *table, span.astype(np.int8)),
        lead,
    )


def _observed_at(hours: NDArray[np.int64], observed_h: Array, observed_c: Array) -> Array:
    """Observations at whole hours, linear between those at most two hours apart."""
    if len(observed_h) == 0:
        return np.full(len(hours), np.nan)
    order = np.argsort(observed_h)
    at, value = np.asarray(observed_h)[order], np.asarray(observed_c)[order]
    right = np.clip(np.searchsorted(at, hours), 0, len(at) - 1)
    left = np.maximum(right - 1, 0)
    between = np.interp(hours, at, value, left=np.nan, right=np.nan)
    near = (at[right] - at[left] <= 2.0) | (np.abs(at[right] - hours) < 0.5)
    near |= np.abs(at[left] - hours) < 0.5
    lone = np.where(np.abs(at[right] - hours) <= np.abs(at[left] - hours), value[right], value[left])
    edge = np.minimum(np.abs(at[right] - hours), np.abs(at[left] - hours)) < 0.5
    return np.where(near, np.where(np.isnan(between), np.where(edge, lone, np.nan), between), np.nan)


def _filled(hours: NDArray[np.int64], air_c: Array, latitude: float | None) -> Array:
    """Hours that nobody knows: straight over three hours, else the mean day and the season."""
    missing = np.isnan(air_c)
    if not missing.any():
        return air_c
    known = ~missing
    if not known.any():
        raise WeatherUnusable("the forecast does not reach this pour", "give one that does")
    straight = np.interp(hours, hours[known], air_c[known])
    day = np.array(
        [
            np.mean(air_c[known & (hours % 24 == h)]) if np.any(known & (hours % 24 == h)) else np.nan
            for h in range(24)
        ]
    )
    day = np.where(np.isnan(day), np.nanmean(air_c[known]), day)
    season = seasonal_k(hours, latitude)
    guess = day[hours % 24] + season - season[known].mean()
    nearest = np.min(
        np.abs(hours[:, None] - hours[known][None, :]), axis=1
    ) if known.sum() < 2000 else np.zeros(len(hours))
    return np.where(missing, np.where(nearest <= 2, straight, guess), air_c)
