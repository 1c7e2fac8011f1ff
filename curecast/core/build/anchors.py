"""Concrete breakout of anchors in tension, after ACI 318-19 chapter 17: an advisory.

It says what the concrete cone holds, at whatever strength the concrete has that day. The
steel, the anchor's pull-out and its product tests are the maker's to say, and the models were
made for concrete of at least 17 MPa (2500 psi): below that they are a guide at best.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.build.breakout import (
    CAST_IN,
    DRILLED,
    LEAST_MPA,
    basic_breakout_n,
    edge_factor,
    group_breakout,
)
from curecast.errors import OutOfRange

__all__ = [
    "CAST_IN",
    "DRILLED",
    "LEAST_MPA",
    "Breakout",
    "breakout",
    "edge_distances_m",
    "projected_area_m2",
]

#: Concrete failure in tension, drilled anchor of category 1, no extra steel through the cone
#: (table 17.5.3(b)); cast-in 0.70. From memory.
PHI_DRILLED, PHI_CAST_IN = 0.65, 0.70
#: Load factor of a live load (table 5.3.1, from memory).
LIVE_LOAD = 1.6


@dataclass(frozen=True)
class Breakout:
    """What the concrete cone of a group holds.

    Parameters
    ----------
    basic_n : float
        One anchor far from every edge. [N]
    embedment_m : float
        Effective embedment that counts, less where three edges are near. [m]
    area_ratio : float
        Projected area of the group over that of one anchor, ANc / ANc0. [-]
    edge_factor : float
        For the nearest edge. [-]
    group_n : float
        The whole group, nominal. [N]
    share_n : float
        One anchor's share of it, nominal. [N]
    """

    basic_n: float
    embedment_m: float
    area_ratio: float
    edge_factor: float
    group_n: float
    share_n: float


def breakout(
    strength_mpa: float,
    embedment_m: float,
    points_m: ArrayLike,
    slab_m: tuple[float, float],
    k_c: float = DRILLED,
) -> Breakout:
    """Breakout of a group of anchors in a rectangular slab.

    Parameters
    ----------
    strength_mpa : float
        Strength of the day. [MPa]
    embedment_m : float
        Effective embedment. [m]
    points_m : array_like, shape (anchor, 2)
        Where the anchors stand, from one corner of the slab. [m]
    slab_m : tuple of float
        Length and width of the slab. [m]
    k_c : float
        ``DRILLED`` or ``CAST_IN``. [N, MPa, mm]

    Returns
    -------
    Breakout
        Of the group and of one anchor's share. [various]

    Raises
    ------
    OutOfRange
        For an anchor that stands outside the slab, besides what `basic_breakout_n` refuses.
    """
    points = np.atleast_2d(np.asarray(points_m, dtype=np.float64))
    edges = edge_distances_m(points, slab_m)
    if not np.all(edges > 0.0):
        raise OutOfRange("an anchor stands outside the slab", "check positions and spacing")
    counted = _counted_embedment_m(points, edges, embedment_m)
    basic = basic_breakout_n(strength_mpa, counted, k_c)
    ratio = projected_area_m2(points, slab_m, counted) / (9.0 * counted**2)
    factor = edge_factor(float(edges.min()), counted)
    group = group_breakout(basic, ratio, factor)
    return Breakout(basic, counted, ratio, factor, group, group / len(points))


def projected_area_m2(
    points_m: ArrayLike, slab_m: tuple[float, float], embedment_m: float
) -> float:
    """Area at the face of all cones together, ANc: 1.5 embedments around, cut off by the edges.

    Parameters
    ----------
    points_m : array_like, shape (anchor, 2)
        Where the anchors stand, from one corner of the slab. [m]
    slab_m : tuple of float
        Length and width of the slab. [m]
    embedment_m : float
        Effective embedment. [m]

    Returns
    -------
    float
        Overlaps counted once. [m2]

    Examples
    --------
    >>> round(projected_area_m2([(1.0, 1.0)], (2.0, 2.0), 0.1), 4)
    0.09
    """
    points = np.atleast_2d(np.asarray(points_m, dtype=np.float64))
    reach = 1.5 * embedment_m
    low = np.clip(points - reach, 0.0, slab_m)
    high = np.clip(points + reach, 0.0, slab_m)
    x = np.unique(np.concatenate([low[:, 0], high[:, 0]]))
    y = np.unique(np.concatenate([low[:, 1], high[:, 1]]))
    mid_x, mid_y = 0.5 * (x[1:] + x[:-1]), 0.5 * (y[1:] + y[:-1])
    in_x = (low[:, :1] < mid_x) & (mid_x < high[:, :1])
    in_y = (low[:, 1:] < mid_y) & (mid_y < high[:, 1:])
    covered = np.any(in_x[:, :, None] & in_y[:, None, :], axis=0)
    return float(np.sum(np.outer(np.diff(x), np.diff(y))[covered]))


def edge_distances_m(points_m: ArrayLike, slab_m: tuple[float, float]) -> NDArray[np.float64]:
    """From each anchor to the four edges.

    Parameters
    ----------
    points_m : array_like, shape (anchor, 2)
        Where the anchors stand, from one corner of the slab. [m]
    slab_m : tuple of float
        Length and width of the slab. [m]

    Returns
    -------
    ndarray, shape (anchor, 4)
        Negative outside the slab. [m]
    """
    points = np.atleast_2d(np.asarray(points_m, dtype=np.float64))
    return np.asarray(np.hstack([points, np.asarray(slab_m) - points]))


def _counted_embedment_m(
    points: NDArray[np.float64], edges: NDArray[np.float64], embedment_m: float
) -> float:
    """Embedment that counts where three or four edges lie within 1.5 of it (17.6.2.1.2)."""
    if not embedment_m > 0.0:
        raise OutOfRange("an embedment must be above 0")
    near = edges.min(axis=0)
    near = near[near < 1.5 * embedment_m]
    if len(near) < 3:
        return embedment_m
    apart = np.linalg.norm(points[:, None, :] - points[None, :, :], axis=2).max()
    return min(embedment_m, max(float(near.max()) / 1.5, float(apart) / 3.0))
