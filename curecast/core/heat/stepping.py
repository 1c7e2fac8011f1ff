"""Which instants the solver steps on: short after every change, longer as things calm down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: (until t_h, longest step in minutes). For one history that people check by hand.
FINE = ((12.0, 4.0), (72.0, 6.0), (168.0, 10.0), (672.0, 15.0), (1e9, 30.0))
#: For ensembles of one slab.
NORMAL = ((24.0, 10.0), (72.0, 15.0), (168.0, 30.0), (1e9, 60.0))
#: For ensembles of many starts.
COARSE = ((24.0, 15.0), (72.0, 30.0), (672.0, 60.0), (1e9, 120.0))

#: Steps in minutes right after the start or a switch, before the plan's own step.
AFTER_SWITCH = (1.0, 2.0, 3.0, 4.0, 5.0)

#: Instants are whole multiples of this, so that none comes twice by rounding. [h]
_DIGITS = 9
#: Two instants lie at least so far apart (half a minute, less its rounding), switches
#: excepted. [h]
_LEAST_H = 0.5 / 60.0 - 1e-6


def step_times_h(
    horizon_h: float,
    switches_h: Iterable[float] = (),
    plan: Sequence[tuple[float, float]] = NORMAL,
    after_switch: Sequence[float] = AFTER_SWITCH,
    weather_hour_h: float = 0.0,
) -> Array:
    """The instants of a march, from 0 to the horizon.

    Parameters
    ----------
    horizon_h : float
        End of the march, above 0. [h]
    switches_h : iterable of float
        Times of covers, heaters, form: always instants of their own. [h]
    plan : sequence of (float, float)
        Longest step by time: (until in h, step in min), the last one open. [h, min]
    after_switch : sequence of float
        First steps after the start and after each switch. [min]
    weather_hour_h : float
        When the clock strikes a whole UTC hour, where the weather's lines bend. [h]

    Returns
    -------
    ndarray, shape (instant,)
        Rising instants; up to a step of one hour the weather's hours are among them, unless
        they fall within half a minute of another. [h]

    Examples
    --------
    >>> step_times_h(1.0, plan=((9.0, 30.0),), after_switch=()).tolist()
    [0.0, 0.5, 1.0]
    >>> step_times_h(1.0, plan=((9.0, 30.0),), after_switch=(), weather_hour_h=0.25).tolist()
    [0.0, 0.25, 0.75, 1.0]
    """
    end_h = round(float(horizon_h), _DIGITS)
    inside = {round(float(s), _DIGITS) for s in switches_h}
    marks = [0.0, *sorted(s for s in inside if 0.0 < s < end_h), end_h]
    grid = np.concatenate([[], *_regular(end_h, plan, weather_hour_h % 1.0)])
    times = [0.0]
    for begin, end in pairwise(marks):
        early = begin + np.cumsum(np.asarray(after_switch, dtype=float)) / 60.0
        within = np.concatenate([early, grid[(grid > begin) & (grid < end)]])
        times.extend(_spaced(begin, np.round(np.sort(within), _DIGITS), end))
        times.append(end)
    return np.array(times)


def _regular(end_h: float, plan: Sequence[tuple[float, float]], offset_h: float) -> Iterator[Array]:
    """Every plan's own even steps, counted from the weather's hours."""
    begin = 0.0
    for until_h, step_min in plan:
        until, step = min(until_h, end_h), step_min / 60.0
        if until > begin:
            first = np.ceil((begin - offset_h) / step - 1e-9)
            last = np.floor((until - offset_h) / step + 1e-9)
            yield offset_h + np.arange(first, last + 1.0) * step
        begin = max(begin, until)


def _spaced(begin_h: float, within_h: Array, end_h: float) -> Iterator[float]:
    """Those instants that are not too close to the one before or to the end."""
    last = begin_h
    for t in within_h.tolist():
        if t - last >= _LEAST_H and end_h - t >= _LEAST_H:
            last = t
            yield t
