"""What is left between readings and the learned model: drift, sun on the probe, single leaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: A drift is named from so many readings over so long, so far, so sure (ASSUMED). [-, h, K, -]
_DRIFT_COUNT, _DRIFT_SPAN_H, _DRIFT_K, _DRIFT_T = 8, 72.0, 2.0, 4.0
#: Sun on the probe: noon readings warmer than the rest by so much (ASSUMED). [h, h, K, -]
_NOON_FROM_H, _NOON_TO_H, _SUN_K, _SUN_COUNT = 9.5, 16.0, 3.0, 3
#: A leap: so many times the usual scatter, and at least so far (ASSUMED). [-, K]
_LEAP_TIMES, _LEAP_K = 4.0, 4.0
#: Scatter that every thermometer has (ASSUMED). [K]
_LEAST_SCATTER_K = 0.5


@dataclass(frozen=True)
class Misfits:
    """Readings of one thermometer minus the model that learned from all of them.

    Parameters
    ----------
    t_h : ndarray, shape (reading,)
        When. [h]
    left_k : ndarray, shape (reading,)
        Reading minus model. [K]
    hour : ndarray, shape (reading,)
        Hour of the local solar day, 0..24. [h]
    """

    t_h: Array
    left_k: Array
    hour: Array


def drift_k(misfits: Misfits) -> float:
    """How far a thermometer has drifted over its readings.

    Parameters
    ----------
    misfits : Misfits
        Of one thermometer. [various]

    Returns
    -------
    float
        By a straight line through its misfits; 0 where it is not beyond doubt: fewer than 8
        readings, less than 3 days, less than 2 K, or a slope below 4 standard errors. [K]
    """
    t, left = misfits.t_h, misfits.left_k
    if len(t) < _DRIFT_COUNT or float(np.ptp(t)) < _DRIFT_SPAN_H:
        return 0.0
    centred = t - t.mean()
    slope = float(centred @ (left - left.mean()) / (centred @ centred))
    rest = left - left.mean() - slope * centred
    scatter = max(float(np.sqrt(rest @ rest / (len(t) - 2))), _LEAST_SCATTER_K)
    over = slope * float(np.ptp(t))
    sure = abs(slope) >= _DRIFT_T * scatter / float(np.sqrt(centred @ centred))
    return over if sure and abs(over) >= _DRIFT_K else 0.0


def sun_k(misfits: Misfits) -> float:
    """How much warmer a probe reads about noon than it should.

    Parameters
    ----------
    misfits : Misfits
        Of one thermometer. [various]

    Returns
    -------
    float
        Median misfit from 9:30 to 16:00 solar time minus that of the other hours; 0 below 3 K
        or with fewer than 3 readings in either. [K]
    """
    noon = (misfits.hour >= _NOON_FROM_H) & (misfits.hour <= _NOON_TO_H)
    if noon.sum() < _SUN_COUNT or (~noon).sum() < _SUN_COUNT:
        return 0.0
    warmer = float(np.median(misfits.left_k[noon]) - np.median(misfits.left_k[~noon]))
    return warmer if warmer >= _SUN_K else 0.0


def leaps(misfits: Misfits) -> int:
    """How many single readings stand far off all others.

    Parameters
    ----------
    misfits : Misfits
        Of one thermometer. [various]

    Returns
    -------
    int
        Off the median by 4 K and by 4 times the usual scatter. [-]
    """
    off = np.abs(misfits.left_k - np.median(misfits.left_k))
    usual = max(1.4826 * float(np.median(off)), _LEAST_SCATTER_K)
    return int(np.sum(off > max(_LEAP_TIMES * usual, _LEAP_K)))


def doubtful(misfits: Misfits) -> list[str]:
    """What is wrong with a thermometer, in words that follow "the thermometer".

    Parameters
    ----------
    misfits : Misfits
        Of one thermometer. [various]

    Returns
    -------
    list of str
        Empty where nothing is. [-]
    """
    found = []
    sun, drift, far = sun_k(misfits), drift_k(misfits), leaps(misfits)
    if sun:
        found.append(f"reads {sun:.1f} K too warm about noon: is the probe in the sun?")
    if drift and not sun:
        days = float(np.ptp(misfits.t_h)) / 24.0
        way = "up" if drift > 0.0 else "down"
        found.append(
            f"has drifted {way} by {abs(drift):.1f} K in {days:.0f} days: check it in ice water"
        )
    if far and not sun and not drift:
        what = "reading stands" if far == 1 else "readings stand"
        found.append(f"leaps: {far} {what} far off the others; see curecast history")
    return found
