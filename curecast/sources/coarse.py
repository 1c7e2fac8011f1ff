"""Hours between the six-hourly values with which some forecasts end."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from curecast.sources.instants import hour_text
from curecast.sources.samples import Samples

__all__ = ["COARSE_H", "fill_coarse_end"]

Array = NDArray[np.float64]

#: Step of the coarse end of MET Norway's forecasts. [h]
COARSE_H = 6.0
#: An hour is in the run of the day only if the hourly part holds a whole day. [h]
_DAY_H = 24


def fill_coarse_end(columns: Mapping[str, Samples]) -> tuple[str, ...]:
    """Add the hours between the six-hourly values at the end of a forecast, in place.

    Between two of them air goes over in a straight line, bent as the hourly part of the same
    forecast bends at that time of day: a straight line alone would cut off nights and noons.
    The other columns go over in a straight line.

    Parameters
    ----------
    columns : mapping of str to Samples
        Columns of a forecast whose last steps are six hours; rain is left alone.

    Returns
    -------
    tuple of str
        Empty, or a flag that says from when on.
    """
    times_h, air_c = _known(columns["air_c"])
    steps = np.diff(times_h)
    coarse = np.abs(steps - COARSE_H) < 1e-6
    count = len(steps) if coarse.all() else int(np.argmin(coarse[::-1]))
    if not count:
        return ()
    first_h = times_h[-count - 1]
    bend = _bend_k(times_h[: len(times_h) - count], air_c[: len(times_h) - count], first_h)
    for name, samples in columns.items():
        if name == "rain_mm":
            continue
        at, value = _known(samples)
        for left in range(len(at) - 1):
            if at[left] < first_h - 1e-6 or abs(at[left + 1] - at[left] - COARSE_H) > 1e-6:
                continue
            for step in range(1, int(COARSE_H)):
                hour = at[left] + step
                straight = value[left] + step / COARSE_H * (value[left + 1] - value[left])
                samples.add(hour, straight + (bend[int(hour) % 24] if name == "air_c" else 0.0))
    _keep_dew_below(columns, first_h)
    return (f"six-hourly from {hour_text(first_h)} on: the hours between are filled in",)


def _known(samples: Samples) -> tuple[Array, Array]:
    pairs = dict(zip(samples.times_h, samples.values, strict=True))
    known = sorted((t, v) for t, v in pairs.items() if math.isfinite(t) and math.isfinite(v))
    table = np.array(known, dtype=float).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def _bend_k(times_h: Array, air_c: Array, knot_h: float) -> Array:
    """What air lies off the straight lines between its own six-hourly values, by UTC hour."""
    bend = np.zeros(_DAY_H)
    if not len(times_h) or times_h[-1] - times_h[0] < _DAY_H:
        return bend
    knots = np.arange(times_h[0] + (knot_h - times_h[0]) % COARSE_H, times_h[-1] + 1e-6, COARSE_H)
    if len(knots) < 2:
        return bend
    hours = times_h[(times_h >= knots[0]) & (times_h <= knots[-1])]
    air = np.interp(hours, times_h, air_c)
    off = air - np.interp(hours, knots, np.interp(knots, times_h, air_c))
    for clock in range(_DAY_H):
        same = np.abs(hours % _DAY_H - clock) < 1e-6
        if same.any():
            bend[clock] = off[same].mean()
    return bend


def _keep_dew_below(columns: Mapping[str, Samples], first_h: float) -> None:
    """A dew point that was filled in does not lie above the air that was filled in."""
    air = dict(zip(columns["air_c"].times_h, columns["air_c"].values, strict=True))
    dew = columns["dew_point_c"]
    for i, time_h in enumerate(dew.times_h):
        if time_h > first_h and dew.values[i] > air.get(time_h, math.inf):
            dew.values[i] = air[time_h]
