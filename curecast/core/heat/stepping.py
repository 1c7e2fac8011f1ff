"""Which instants the solver steps on: short after every change, longer as things calm down."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

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


def step_times_h(
    horizon_h: float,
    switches_h: Iterable[float] = (),
    plan: Sequence[tuple[float, float]] = NORMAL,
    after_switch: Sequence[float] = AFTER_SWITCH,
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

    Returns
    -------
    ndarray, shape (instant,)
        Rising instants; every whole hour is among them up to a step of one hour. [h]

    Examples
    --------
    >>> step_times_h(1.0, plan=((9.0, 30.0),), after_switch=()).tolist()
    [0.0, 0.5, 1.0]
    """
    switches = sorted({0.0, *(s for s in switches_h if 0.0 < s < horizon_h)})
    times = {0.0, float(horizon_h)}
    begin = 0.0
    for until_h, step_min in plan:
        end = min(until_h, horizon_h)
        step = step_min / 60.0
        if end > begin:
            count = int(np.ceil((end - begin) / step - 1e-9))
            times.update(min(begin + i * step, end) for i in range(1, count + 1))
        begin = max(begin, end)
    for switch in switches:
        times.add(switch)
        t = switch
        for minutes in after_switch:
            t += minutes / 60.0
            times.add(t)
    ordered = np.array(sorted(t for t in times if t <= horizon_h))
    fixed = np.isin(np.round(ordered, 9), np.round([*switches, horizon_h], 9))
    return ordered[_keep(ordered, fixed)]


def _keep(times_h: Array, fixed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Drop instants less than half a minute after another, never a switch."""
    keep = np.ones(len(times_h), dtype=bool)
    last = 0
    for i in range(1, len(times_h)):
        if times_h[i] - times_h[last] < 0.5 / 60.0:
            if fixed[i]:
                keep[last] = bool(fixed[last])
                last = i
            else:
                keep[i] = False
        else:
            last = i
    return keep
