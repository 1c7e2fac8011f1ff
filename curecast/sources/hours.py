"""From loose values to a run of whole UTC hours: sorted, checked, small gaps filled in.

What is filled in or dropped is flagged; what cannot be trusted is refused by name.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.series import SPANS, HourlyWeather
from curecast.errors import WeatherUnusable
from curecast.sources.instants import hour_text
from curecast.sources.samples import COLUMNS, Samples, clean, refuse_if_spoilt

__all__ = ["LONGEST_SPACING_H", "whole_hours"]

Array = NDArray[np.float64]

#: Known values may stand this far apart: three whole hours are then filled in.
LONGEST_SPACING_H = 4.0
#: A change of air temperature within an hour that is told, and one that is not believed.
#: Largest in recorded forecasts 3.3, in a typical year of Greensboro 11.1 K/h.
_ODD_K_H, _ABSURD_K_H = 12.0, 20.0
#: Rounding to whole degrees Fahrenheit may put the dew point this far above the air.
_DEW_ROUNDING_K = 0.6


def whole_hours(
    columns: Mapping[str, Samples], what: str, span: str = "forecast"
) -> tuple[HourlyWeather, tuple[str, ...]]:
    """Hourly weather from loose values.

    Parameters
    ----------
    columns : mapping of str to Samples
        Keys of ``COLUMNS``; ``air_c`` decides which hours there are.
    what : str
        What was read, for messages.
    span : str
        Where the hours come from, one of ``SPANS``.

    Returns
    -------
    weather : HourlyWeather
        Whole hours between the first and the last known air temperature.
    flags : tuple of str
        What was dropped or filled in.

    Raises
    ------
    WeatherUnusable
        No air temperature, a gap of more than three hours, an absurd jump, or too many
        bad values.
    """
    samples = columns["air_c"]
    times_h, values = _without_spikes(*clean("air_c", samples), samples)
    flags = list(refuse_if_spoilt("air_c", samples, what))
    if not len(times_h):
        raise WeatherUnusable(f"{what} holds no air temperature")
    flags += _check_jumps(times_h, values, what)
    _refuse_gaps(times_h, what)
    start_h, end_h = int(np.ceil(times_h[0])), int(np.floor(times_h[-1]))
    if end_h < start_h:
        raise WeatherUnusable(f"{what} holds no whole hour")
    hours = np.arange(start_h, end_h + 1, dtype=np.float64)
    flags += _filled(times_h, hours)
    air_c = np.interp(hours, times_h, values)
    others = {}
    for name in COLUMNS:
        if name == "air_c":
            continue
        others[name] = _on_hours(name, columns.get(name, Samples()), hours)
    others["dew_point_c"] = _below_air(others["dew_point_c"], air_c, hours, columns)
    for name in others:
        flags += refuse_if_spoilt(name, columns.get(name, Samples()), what)
    code = np.full(len(hours), SPANS.index(span), dtype=np.int8)
    return HourlyWeather(start_h=start_h, air_c=air_c, span=code, **others), tuple(flags)


def _without_spikes(times_h: Array, values: Array, samples: Samples) -> tuple[Array, Array]:
    """Drop single values that both neighbours contradict (at an end: the only neighbour)."""
    if len(values) < 3:
        return times_h, values
    rate = np.diff(values) / np.maximum(np.diff(times_h), 1.0)
    up, down = rate > _ABSURD_K_H, rate < -_ABSURD_K_H
    spike = np.zeros(len(values), dtype=bool)
    spike[1:-1] = (up[:-1] & down[1:]) | (down[:-1] & up[1:])
    wild = up | down
    spike[0], spike[-1] = wild[0] and not wild[1], wild[-1] and not wild[-2]
    for i in np.flatnonzero(spike):
        samples.spoil(times_h[i], f"{values[i]:.1f} °C at {hour_text(times_h[i])} stands alone")
    return times_h[~spike], values[~spike]


def _check_jumps(times_h: Array, values: Array, what: str) -> list[str]:
    change_k = np.diff(values)
    rate = np.abs(change_k) / np.maximum(np.diff(times_h), 1.0)
    if not len(rate) or (worst := int(np.argmax(rate))) < 0 or rate[worst] <= _ODD_K_H:
        return []
    told = f"{abs(change_k[worst]):.0f} K between {hour_text(times_h[worst])} and the next value"
    if rate[worst] > _ABSURD_K_H:
        raise WeatherUnusable(
            f"{what}: the air temperature jumps by {told}, which no weather does",
            hint="fetch it again later, or use another source",
        )
    return [f"air temperature: it changes by {told}"]


def _refuse_gaps(times_h: Array, what: str) -> None:
    wide = np.flatnonzero(np.diff(times_h) > LONGEST_SPACING_H + 1e-6)
    if not len(wide):
        return
    spans = [
        f"{hour_text(np.floor(times_h[i]) + 1)} to {hour_text(np.ceil(times_h[i + 1]) - 1)}"
        for i in wide[:3]
    ]
    more = f" and {len(wide) - 3} more gaps" if len(wide) > 3 else ""
    raise WeatherUnusable(
        f"{what}: the air temperature is missing from {', '.join(spans)}{more}; "
        "more than three hours are not filled in",
        hint="fetch it again later, or use another source",
    )


def _filled(times_h: Array, hours: Array) -> list[str]:
    """A flag for the whole hours at which no value stood."""
    missing = hours[~np.isin(hours, times_h)]
    if not len(missing):
        return []
    if len(missing) > 6:
        return [
            f"air temperature: {len(missing)} of {len(hours)} hours had no value of their own "
            "and are filled in between their neighbours"
        ]
    named = ", ".join(hour_text(hour) for hour in missing)
    return [f"air temperature: missing and filled in between its neighbours: {named}"]


def _on_hours(name: str, samples: Samples, hours: Array) -> Array:
    """An optional column at whole hours; NaN beyond its ends and in long gaps."""
    times_h, values = clean(name, samples)
    if not len(times_h):
        return np.full(len(hours), np.nan)
    after = np.searchsorted(times_h, hours, side="left").clip(0, len(times_h) - 1)
    at_hour = times_h[after] == hours
    if name == "rain_mm":
        return np.where(at_hour, values[after], np.nan)
    before = (after - 1).clip(0)
    near = times_h[after] - times_h[before] <= LONGEST_SPACING_H + 1e-6
    inside = (times_h[before] <= hours) & (hours <= times_h[after])
    between = np.interp(hours, times_h, values)
    return np.where(at_hour | (near & inside), between, np.nan)


def _below_air(
    dew_point_c: Array, air_c: Array, hours: Array, columns: Mapping[str, Samples]
) -> Array:
    """Air holds no more than its own vapour: a dew point far above it is a bad value."""
    above = dew_point_c > air_c + _DEW_ROUNDING_K
    for i in np.flatnonzero(above):
        columns["dew_point_c"].spoil(
            hours[i],
            f"{dew_point_c[i]:.1f} °C at {hour_text(hours[i])} lies above the air's "
            f"{air_c[i]:.1f} °C",
        )
    return np.where(above, np.nan, np.minimum(dew_point_c, air_c))
