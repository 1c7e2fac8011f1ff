"""What a reading vouches for, and how much of a hold's maturity stands on evidence."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.histories import Histories, aged

Array = NDArray[np.float64]

#: How far a reading vouches, either side: until 3.5 MPa, until 7 d, after (ASSUMED). [h]
REACH_H = (12.0, 36.0, 96.0)
#: Share of the maturity a hold needs that must come from vouched hours (ASSUMED).
NEEDED_SHARE = 0.80
#: Kinds of evidence, best first.
KINDS = ("strength test", "slab reading", "air reading", "station, corrected", "none")
_WEEK_H = 168.0
#: A station's hour stands for itself. [h]
_STATION_H = 0.5
_NEIGHBOUR_H = 24.0
#: So cold that no age grows. [°C]
_NO_MATURITY_C = -20.0


@dataclass(frozen=True)
class Evidence:
    """What stands behind a pour so far.

    Parameters
    ----------
    vouched : ndarray of bool, shape (time,)
        Whether each instant of the history is vouched for. [-]
    kind : str
        Best kind that there is. [-]
    last_reading_h : float or None
        When the last reading was taken, on the history's clock. [h]
    next_by_h : float or None
        When the last reading ceases to vouch. [h]
    longest_gap_h : float
        Longest unvouched stretch up to now. [h]
    """

    vouched: NDArray[np.bool_]
    kind: str
    last_reading_h: float | None
    next_by_h: float | None
    longest_gap_h: float


def reach_h(t_h: Array, frost_safe_h: float) -> Array:
    """How far a reading at a time vouches, either side.

    Parameters
    ----------
    t_h : ndarray, any shape
        Age. [h]
    frost_safe_h : float
        Age at 3.5 MPa by nine of ten; infinity while it is not reached. [h]

    Returns
    -------
    ndarray, same shape
        Reach. [h]
    """
    young = np.where(t_h < _WEEK_H, REACH_H[1], REACH_H[2])
    return np.where(t_h >= frost_safe_h, young, REACH_H[0])


def gather(
    t_h: Array,
    now_h: float,
    slab_h: Array,
    air_h: Array,
    station_h: Array,
    frost_safe_h: float,
) -> Evidence:
    """Which instants are vouched for up to now.

    A reading vouches as far as its own age allows, and as far as the vouched hour's age does.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants of the history. [h]
    now_h : float
        Now, on the same clock. [h]
    slab_h, air_h : ndarray
        Times of readings of the slab, and of the air at the slab. [h]
    station_h : ndarray
        Hours of corrected station observations; they vouch for themselves alone. [h]
    frost_safe_h : float
        Age at 3.5 MPa by nine of ten. [h]

    Returns
    -------
    Evidence
        Up to now; nothing later is vouched for. [various]
    """
    read = np.sort(np.concatenate([slab_h, air_h]))
    read = read[read <= now_h]
    late = np.sort(station_h[(station_h >= frost_safe_h) & (station_h <= now_h)])
    vouched = _by_readings(t_h, read, frost_safe_h)
    vouched |= _away_h(t_h, late) <= _STATION_H
    vouched &= t_h <= now_h + 1e-9
    last = float(read[-1]) if len(read) else None
    by = None if last is None else last + float(reach_h(np.array(last), frost_safe_h))
    if np.any(slab_h <= now_h):
        kind = KINDS[1]
    elif np.any(air_h <= now_h):
        kind = KINDS[2]
    else:
        kind = KINDS[3] if len(late) else KINDS[4]
    return Evidence(vouched, kind, last, by, _longest_gap_h(t_h, vouched, now_h))


def _by_readings(t_h: Array, read_h: Array, frost_safe_h: float) -> NDArray[np.bool_]:
    """Instants within the reach of a reading: that of its own age and that of theirs."""
    vouched = np.zeros(len(t_h), dtype=bool)
    own, theirs = reach_h(read_h, frost_safe_h), reach_h(t_h, frost_safe_h)
    for reach in np.unique(own):
        vouched |= _away_h(t_h, read_h[own == reach]) <= np.minimum(reach, theirs)
    return vouched


def _away_h(t_h: Array, ordered_h: Array) -> Array:
    """How far each instant is from the nearest of some others; infinity where there is none."""
    if not len(ordered_h):
        return np.full(len(t_h), np.inf)
    after = np.clip(np.searchsorted(ordered_h, t_h), 0, len(ordered_h) - 1)
    before = np.maximum(after - 1, 0)
    away = np.minimum(np.abs(ordered_h[after] - t_h), np.abs(ordered_h[before] - t_h))
    return np.asarray(away)


def _longest_gap_h(t_h: Array, vouched: NDArray[np.bool_], now_h: float) -> float:
    past = t_h <= now_h
    known = np.concatenate([[0.0], t_h[past & vouched], [now_h]])
    return float(np.diff(known).max()) if len(known) > 1 else now_h


def pessimistic(past: Histories, evidence: Evidence, now_h: float) -> Histories:
    """The history with every unvouched hour as cold as its neighbours allow.

    Parameters
    ----------
    past : Histories
        Corrected. [various]
    evidence : Evidence
        What is vouched for. [-]
    now_h : float
        Now; later hours count nothing. [h]

    Returns
    -------
    Histories
        Cut at now. Every hour of an unvouched gap counts as the coldest hour of the gap and
        of a day either side, so that a reading less never makes it warmer; where nothing at
        all is vouched for, no hour gives maturity. [various]
    """
    keep = int(np.searchsorted(past.t_h, now_h + 1e-9))
    t, vouched = past.t_h[:keep], evidence.vouched[:keep]
    temps = past.temp_c[:keep].copy()
    if not vouched.any():
        temps[:] = _NO_MATURITY_C
    for begin, end in _gaps(vouched):
        near = slice(
            int(np.searchsorted(t, t[begin] - _NEIGHBOUR_H)),
            int(np.searchsorted(t, t[end] + _NEIGHBOUR_H, side="right")),
        )
        coldest = past.temp_c[:keep][near].min(axis=0)
        temps[begin : end + 1] = np.minimum(temps[begin : end + 1], coldest)
    cut = replace(
        past, t_h=t, temp_c=temps, coldest_c=past.coldest_c[:keep], air_c=past.air_c[:keep],
        te20_h=past.te20_h[:keep], ttf_c_h=past.ttf_c_h[:keep],
    )  # fmt: skip
    return aged(cut)


def _gaps(vouched: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of each unvouched run."""
    edges = np.diff(np.concatenate([[0], (~vouched).astype(int), [0]]))
    return list(zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1, strict=True))


def vouched_share(t_h: Array, te20_h: Array, vouched: NDArray[np.bool_], needed_h: float) -> float:
    """Share of the maturity a hold needs that came from vouched hours.

    Parameters
    ----------
    t_h, te20_h : ndarray, shape (time,)
        Instants up to now, and equivalent age at the hold's place. [h]
    vouched : ndarray of bool, shape (time,)
        Which instants are vouched for. [-]
    needed_h : float
        Equivalent age that the hold needs. [h]

    Returns
    -------
    float
        0..1; 0 where the need is unknown. [-]
    """
    if not needed_h > 0.0 or not np.isfinite(needed_h) or len(t_h) < 2:
        return 0.0
    both = vouched[1:] & vouched[:-1]
    came = float(np.sum(np.diff(te20_h) * both))
    return float(np.clip(came / needed_h, 0.0, 1.0))
