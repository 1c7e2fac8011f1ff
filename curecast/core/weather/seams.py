"""Where one source of weather ends and the next begins: no step, and what came from where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.series import SPANS, Forecast, HourlyWeather, Origin

Array = NDArray[np.float64]

#: Hours that may be missing between two sources: they are filled in. [h]
LONGEST_GAP_H = 3
#: How fast a difference at a seam is forgotten. Observed to forecast: hourly errors correlate
#: 0.28 to 0.46 after six hours (measured, lead days 1 to 4). Between forecasts: ASSUMED. [h]
OBSERVED_FADE_H, SECOND_FADE_H = 6.0, 24.0
#: Bounds of the columns other than air and dew point. [m/s, -]
_LEAST, _MOST = {"wind_ms": 0.0, "cloud": 0.0}, {"cloud": 1.0}

Columns = dict[str, Array]


def followed(first: Forecast, second: Forecast) -> Forecast:
    """A forecast that another one carries on where it ends, and completes where it is silent.

    Parameters
    ----------
    first, second : Forecast
        Of one place, the better one first. [various]

    Returns
    -------
    Forecast
        The first, untouched where it speaks; after it the second, whose difference at the seam
        fades within 24 h. A second that begins more than three hours after the first ends is
        left out with a flag. [various]
    """
    one, two = first.weather, second.weather
    gap = two.start_h - one.end_h - 1
    if gap > LONGEST_GAP_H:
        flag = f"nothing is known {_hours_text(one.end_h + 1, two.start_h - 1)}: "
        flag += f"{second.source} is left out"
        return replace(first, flags=(*first.flags, flag))
    columns, completed = _completed(_columns(one), one.start_h, two)
    missing = two.end_h - one.end_h
    if missing <= 0 and not completed:
        return first
    origins = first.hour_origins()
    span = one.span
    if missing > 0:
        tail = _eased_tail(columns, one.end_h, two)
        columns = {name: np.concatenate([columns[name], tail[name]]) for name in columns}
        ahead = np.full(missing, SPANS.index("second forecast"), dtype=np.int8)
        span = np.concatenate([one.span, ahead])
        origins += (Origin(second.source, second.issued_h, one.end_h + 1, two.end_h),)
    return replace(
        first,
        source=first.source if missing <= 0 else f"{first.source}; then {second.source}",
        weather=HourlyWeather(start_h=one.start_h, span=span, **columns),
        zone=first.zone or second.zone,
        flags=first.flags
        + _filled_flag(one.end_h, gap)
        + tuple(f"{second.source}: {flag}" for flag in second.flags),
        credits=tuple(dict.fromkeys(first.credits + second.credits)),
        origins=origins,
    )


def preceded(forecast: Forecast, observed: HourlyWeather | None, station: str) -> Forecast:
    """A forecast that begins with what was measured, without a step where it takes over.

    Parameters
    ----------
    forecast : Forecast
        Its hours that were measured give way. [various]
    observed : HourlyWeather or None
        Hours as they were measured; left out where they end more than three hours before
        the forecast. [various]
    station : str
        Who measured.

    Returns
    -------
    Forecast
        Measured hours, then the forecast, whose difference from the last of them fades within
        six hours. [various]
    """
    weather = forecast.weather
    if observed is None or observed.end_h < weather.start_h - 1 - LONGEST_GAP_H:
        return forecast
    last = min(observed.end_h, weather.end_h - 1)
    if last < observed.start_h:
        return forecast
    seen = {name: values[: last + 1 - observed.start_h] for name, values in _items(observed)}
    tail = _eased_tail(seen, last, weather, fade_h=OBSERVED_FADE_H, only_air=True)
    columns = {name: np.concatenate([seen[name], tail[name]]) for name in seen}
    filled = max(0, weather.start_h - last - 1)
    span = np.concatenate(
        [
            np.full(len(seen["air_c"]), SPANS.index("observed"), dtype=np.int8),
            np.full(filled, weather.span[0], dtype=np.int8),
            weather.span[max(0, last + 1 - weather.start_h) :],
        ]
    )
    runs = [replace(o, from_h=max(o.from_h, last + 1)) for o in forecast.hour_origins()]
    first = Origin(station, float(last), observed.start_h, last)
    return replace(
        forecast,
        weather=HourlyWeather(start_h=observed.start_h, span=span, **columns),
        flags=forecast.flags + _filled_flag(last, filled),
        origins=(first, *(run for run in runs if run.to_h >= run.from_h)),
    )


def _hours_text(from_h: int, to_h: int) -> str:
    """Hours in words, in UTC.

    >>> _hours_text(24, 26)
    'from 1970-01-02 00:00 to 1970-01-02 02:00 UTC'
    """
    ends = [str(np.datetime64(hour, "h")).replace("T", " ") + ":00" for hour in (from_h, to_h)]
    return f"from {ends[0]} to {ends[1]} UTC"


def _filled_flag(end_h: int, gap: int) -> tuple[str, ...]:
    return (f"filled in {_hours_text(end_h + 1, end_h + gap)}",) if gap > 0 else ()


def _columns(weather: HourlyWeather) -> Columns:
    return dict(_items(weather))


def _items(weather: HourlyWeather) -> list[tuple[str, Array]]:
    names = ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain")
    return [(name, np.asarray(getattr(weather, name), dtype=float)) for name in names]


def _completed(columns: Columns, start_h: int, other: HourlyWeather) -> tuple[Columns, bool]:
    """Columns whose unknown hours are taken from another source; whether any were."""
    n = len(columns["air_c"])
    low, high = max(start_h, other.start_h), min(start_h + n - 1, other.end_h)
    if high < low:
        return columns, False
    mine, theirs = (
        slice(low - start_h, high + 1 - start_h),
        slice(low - other.start_h, high + 1 - other.start_h),
    )
    done, changed = dict(columns), False
    for name, values in _items(other):
        if name == "air_c":
            continue
        given = values[theirs]
        if name == "dew_point_c":
            given = columns["air_c"][mine] - (other.air_c[theirs] - given)
        wanted = ~np.isfinite(columns[name][mine]) & np.isfinite(given)
        if wanted.any():
            done[name] = columns[name].copy()
            done[name][mine] = np.where(wanted, given, columns[name][mine])
            changed = True
    return done, changed


def _eased_tail(
    known: Mapping[str, Array],
    end_h: int,
    follows: HourlyWeather,
    *,
    fade_h: float = SECOND_FADE_H,
    only_air: bool = False,
) -> Columns:
    """What follows the hour ``end_h``: the gap, if any, then the other source, eased in."""
    skip = end_h + 1 - follows.start_h
    after = {name: values[max(0, skip) :] for name, values in _items(follows)}
    tail: Columns = {}
    for name in after:
        if name == "dew_point_c":
            continue
        last, seam = known[name][-1], _at_seam(follows, name, end_h)
        eases = name == "air_c" or (name in _LEAST and not only_air)
        tail[name] = _joined(last, seam if eases else np.nan, after[name], -skip, fade_h)
        if name in _LEAST:
            tail[name] = np.clip(tail[name], _LEAST[name], _MOST.get(name, np.inf))
    seam = _at_seam(follows, "air_c", end_h) - _at_seam(follows, "dew_point_c", end_h)
    last = float(known["air_c"][-1] - known["dew_point_c"][-1])
    spread = _joined(last, seam, after["air_c"] - after["dew_point_c"], -skip, fade_h)
    tail["dew_point_c"] = tail["air_c"] - np.maximum(spread, 0.0)
    return {name: tail[name] for name, _ in _items(follows)}


def eased_k(hours: Array, known: NDArray[np.bool_], off_k: Array) -> Array:
    """What the hours after the last measured one have to be moved by to meet it.

    Parameters
    ----------
    hours : ndarray, shape (hour,)
        On any clock. [h]
    known : ndarray of bool, shape (hour,)
        Where something was measured. [-]
    off_k : ndarray, shape (hour,)
        Measured less forecast; only looked at where ``known``. [K]

    Returns
    -------
    ndarray, shape (hour,)
        As given where something was measured; after the last of these hours its difference,
        fading within six hours; else 0. [K]
    """
    shift = np.where(known, off_k, 0.0)
    at = np.flatnonzero(known)
    if len(at) and np.isfinite(off_k[at[-1]]):
        last = int(at[-1])
        shift[last:] = off_k[last] * np.exp(-(hours[last:] - hours[last]) / OBSERVED_FADE_H)
    return np.asarray(shift)


def _at_seam(weather: HourlyWeather, name: str, hour: int) -> float:
    """A column's value at the last hour of what it follows; NaN where it begins later."""
    index = hour - weather.start_h
    values = getattr(weather, name)
    return float(values[index]) if 0 <= index < len(values) else float("nan")


def _joined(last: float, seam: float, after: Array, gap: int, fade_h: float) -> Array:
    """``after``, moved to meet ``last``, with ``gap`` hours filled in before it.

    Where the other source does not reach back to the seam, its first hour is taken to lie as
    far off as the last known one: the gap is a straight line and nothing is moved.
    """
    if np.isfinite(last) and np.isfinite(seam) and gap <= 0:
        hours = np.arange(1, len(after) + 1)
        return np.asarray(after + (last - seam) * np.exp(-hours / fade_h))
    if gap <= 0:
        return after
    between = last + (after[0] - last) * np.arange(1, gap + 1) / (gap + 1.0)
    return np.concatenate([between, after])
