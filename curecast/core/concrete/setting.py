"""Setting, finishing and saw-cutting. Set is not strength: it has clocks of its own."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.concrete.ages import _summed
from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

# Final set, °F and h: 70 to 100 °F read, 30 to 60 °F from memory (trade table of NRMCA / ACI).
_SET_F = np.array([30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0])
_SET_H = np.array([19.0, 14 + 2 / 3, 10 + 2 / 3, 8.0, 6.0, 4.0, 2 + 2 / 3, 1 + 2 / 3])
_SET_C = (_SET_F - 32.0) / 1.8
_LOG_SET_H = np.log(_SET_H)

# Start of power floating (footprint 1/4 in, no bleed water), °F and h: ASCC Position Statement 15.
_FINISH_C = (np.array([50.0, 70.0, 90.0]) - 32.0) / 1.8
_LOG_FINISH_H = np.log(np.array([4.25, 2.75, 1.75]))

INITIAL_SET = 0.75  # share of the way to final set; ASSUMED
NO_SET_BELOW_C = -1.0
SAW_CUT_CLOSES_H = 24.0
SAW_CUT_LEAST_H = 4.0  # ASSUMED, where set comes so late that 24 h leaves nothing


def _set_rate(temp_c: ArrayLike) -> Array:
    """Share of the way to final set that one hour at ``temp_c`` goes; 0 below -1 °C."""
    t = floats(temp_c)
    rate = np.exp(-np.interp(t, _SET_C, _LOG_SET_H).astype(t.dtype))
    return np.where(t < NO_SET_BELOW_C, 0.0, rate)


def final_set_h_at(temp_c: ArrayLike, set_factor: float = 1.0) -> Array:
    """Time to final set at one temperature.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete. [°C]
    set_factor : float
        The mix's time over the table's; 1 for a plain mix. [-]

    Returns
    -------
    ndarray
        Time; above 100 °F as at 100 °F, inf below -1 °C, where nothing sets. [h]

    References
    ----------
    NRMCA / ACI table of approximate set times, rows 30 to 100 °F; log t linear between.

    Examples
    --------
    >>> final_set_h_at([10.0, 21.111]).round(2).tolist()
    [10.67, 6.0]
    """
    t = np.asarray(temp_c, dtype=np.float64)
    hours = set_factor * np.exp(np.interp(t, _SET_C, _LOG_SET_H))
    return np.where(t < NO_SET_BELOW_C, np.inf, hours)


def set_progress(temp_c: ArrayLike, step_h: ArrayLike, set_factor: float = 1.0) -> Array:
    """How far setting has come at the end of each step; 0.75 is initial, 1 final set.

    Parameters
    ----------
    temp_c : array_like, shape (step, ...)
        Mean temperature of the concrete over each step. [°C]
    step_h : array_like, shape () or (step,)
        Length of the steps. [h]
    set_factor : float
        The mix's time over the table's, above 0. [-]

    Returns
    -------
    ndarray, shape (step, ...)
        Sum of dt / (time to final set). [-]

    Raises
    ------
    OutOfRange
        If ``set_factor`` is not positive.
    """
    _check_factor(set_factor)
    return _summed(_set_rate(temp_c) / set_factor, step_h)


def finishing_start_h_at(temp_c: ArrayLike) -> Array:
    """Time from placing to the start of power floating at one temperature.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete. [°C]

    Returns
    -------
    ndarray
        Time; inf below -1 °C. [h]

    Notes
    -----
    Rows at 50, 70 and 90 °F. Beyond them the last slope goes on (ASSUMED), on the warm side
    to 100 °F, since floating must begin before final set there.

    References
    ----------
    ASCC Position Statement 15.

    Examples
    --------
    >>> finishing_start_h_at([10.0, 21.111]).round(2).tolist()
    [4.25, 2.75]
    """
    t = floats(temp_c)
    return np.where(t < NO_SET_BELOW_C, np.inf, np.exp(_log_finish(t).astype(t.dtype)))


def finishing_progress(temp_c: ArrayLike, step_h: ArrayLike, set_factor: float = 1.0) -> Array:
    """How far the slab is on the way to the first float; floating may start at 1.

    Parameters
    ----------
    temp_c : array_like, shape (step, ...)
        Mean temperature of the surface over each step. [°C]
    step_h : array_like, shape () or (step,)
        Length of the steps. [h]
    set_factor : float
        The mix's time over the table's, above 0. [-]

    Returns
    -------
    ndarray, shape (step, ...)
        Sum of dt / (time to the first float). [-]

    Raises
    ------
    OutOfRange
        If ``set_factor`` is not positive.
    """
    _check_factor(set_factor)
    t = np.asarray(temp_c, dtype=np.float64)
    rate = np.where(t < NO_SET_BELOW_C, 0.0, np.exp(-_log_finish(t)))
    return _summed(rate / set_factor, step_h)


def reached_h(progress: ArrayLike, step_h: ArrayLike, level: float = 1.0) -> Array:
    """When a progress first reaches a level.

    Parameters
    ----------
    progress : array_like, shape (step, ...)
        Progress at the end of each step, never falling. [-]
    step_h : array_like, shape () or (step,)
        Length of the steps. [h]
    level : float
        1 for final set, ``INITIAL_SET`` for initial set. [-]

    Returns
    -------
    ndarray, shape (...)
        Time since the start, linear within a step; inf where it is not reached. [h]
    """
    p = np.asarray(progress, dtype=np.float64)
    step = np.broadcast_to(np.asarray(step_h, dtype=np.float64), p.shape[:1])
    ends = np.cumsum(step)
    there = p >= level
    first = np.argmax(there, axis=0)
    after = np.take_along_axis(p, first[None], axis=0)[0]
    before = np.where(
        first > 0, np.take_along_axis(p, np.maximum(first - 1, 0)[None], axis=0)[0], 0.0
    )
    part = (level - before) / np.where(after > before, after - before, 1.0)
    hours = ends[first] - step[first] * (1.0 - part)
    return np.where(there.any(axis=0), hours, np.inf)


def saw_cut_window_h(final_set_h: ArrayLike) -> tuple[Array, Array]:
    """From when to when joints can be sawn.

    Parameters
    ----------
    final_set_h : array_like
        Final set after placing. [h]

    Returns
    -------
    opens, closes : tuple of ndarray
        Final set, and twice that or 24 h after placing, whichever is first; where set comes
        so late that less than 4 h would be left, 4 h after it (ASSUMED). [h]

    References
    ----------
    ACI 302.1R-15: 4 to 12 h after placing for conventional saws.
    """
    opens = np.asarray(final_set_h, dtype=np.float64)
    latest = np.maximum(SAW_CUT_CLOSES_H, opens + SAW_CUT_LEAST_H)
    return opens, np.minimum(2.0 * opens, latest)


def _check_factor(set_factor: float) -> None:
    if not set_factor > 0.0:
        raise OutOfRange("a set factor must be above 0")


def _log_finish(t: Array) -> Array:
    """Log of the time to the first float, going on beyond its rows."""
    t = np.minimum(t, _SET_C[-1])
    per_k = np.diff(_LOG_FINISH_H) / np.diff(_FINISH_C)
    inside = np.interp(t, _FINISH_C, _LOG_FINISH_H)
    cold = np.minimum(t - _FINISH_C[0], 0.0) * per_k[0]
    warm = np.maximum(t - _FINISH_C[-1], 0.0) * per_k[-1]
    return np.asarray(inside + cold + warm)
