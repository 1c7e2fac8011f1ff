"""Under a base plate: where its anchors stand, and how hard the worst of them is pulled."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: Standard gravity. [m/s2]
G_M_S2 = 9.80665


def square_pattern_m(
    along_m: float, across_m: float, centre_m: tuple[float, float] = (0.0, 0.0)
) -> Array:
    """Four anchors at the corners of a rectangle.

    Parameters
    ----------
    along_m, across_m : float
        Centre to centre, along the slab's length and its width. [m]
    centre_m : tuple of float
        Middle of the pattern. [m]

    Returns
    -------
    ndarray, shape (4, 2)
        Their places. [m]
    """
    signs = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)], dtype=np.float64)
    return np.asarray(np.asarray(centre_m) + 0.5 * signs * (along_m, across_m))


def least_apart_m(points_m: ArrayLike) -> float:
    """Smallest distance between two anchors.

    Parameters
    ----------
    points_m : array_like, shape (anchor, 2)
        Their places. [m]

    Returns
    -------
    float
        Centre to centre; infinite for one anchor. [m]
    """
    points = np.atleast_2d(np.asarray(points_m, dtype=np.float64))
    apart = np.linalg.norm(points[:, None, :] - points[None, :, :], axis=2)
    return float(np.min(apart[~np.eye(len(points), dtype=bool)], initial=np.inf))


def worst_pull_n(points_m: ArrayLike, moment_nm: float, down_n: float = 0.0) -> float:
    """Pull on the worst anchor of a stiff plate, whichever way the moment turns.

    Parameters
    ----------
    points_m : array_like, shape (anchor, 2)
        Places of the anchors. [m]
    moment_nm : float
        Overturning moment at the plate, 0 or more. [N m]
    down_n : float
        Weight that presses the plate down. [N]

    Returns
    -------
    float
        Largest tension, never below 0. Each anchor carries in proportion to its distance from
        the group's middle, as bolts of one stiffness do; a plate that turns about its pressed
        edge pulls less. [N]

    Raises
    ------
    OutOfRange
        Where the anchors stand in one line: they hold no moment across it.

    Examples
    --------
    Four anchors in a square of 0.45 m and a moment along a diagonal:

    >>> round(worst_pull_n(square_pattern_m(0.45, 0.45), 7661.0))
    12038
    """
    points = np.atleast_2d(np.asarray(points_m, dtype=np.float64))
    if moment_nm <= 0.0:
        return 0.0
    off = points - points.mean(axis=0)
    spread = off.T @ off
    if np.linalg.matrix_rank(spread, tol=1e-6) < 2:
        raise OutOfRange("anchors in one line hold no moment across it", "give their positions")
    lever = np.linalg.norm(off @ np.linalg.inv(spread), axis=1)
    return max(0.0, float(moment_nm * lever.max() - down_n / len(points)))


def load_moment_nm(weight_kg: float, reach_m: float, shock: float = 1.0) -> float:
    """Overturning moment of a weight out on an arm.

    Parameters
    ----------
    weight_kg : float
        What hangs there. [kg]
    reach_m : float
        How far from the middle of the base. [m]
    shock : float
        Factor for a load that is picked up with a jerk, at least 1. [-]

    Returns
    -------
    float
        Moment at the base. [N m]

    Examples
    --------
    >>> round(load_moment_nm(250.0, 2.5, 1.25))
    7661
    """
    if not shock >= 1.0:
        raise OutOfRange("a shock factor is at least 1")
    return weight_kg * G_M_S2 * reach_m * shock
