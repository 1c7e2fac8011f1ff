"""What the levels taken on a finished slab say: fall, flatness, shims, low corner."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from curecast.errors import OutOfRange

#: Four corners in the order round, where no places are given.
_SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


@dataclass(frozen=True)
class Levels:
    """A face from its levels.

    Parameters
    ----------
    fall_m : float
        From the highest point to the lowest. [m]
    flatness_m : float
        Farthest that a point lies off the plane that fits best. [m]
    shims_m : tuple of float
        Shim at each point that brings all to the highest. [m]
    highest_shim_m : float
        The largest of them. [m]
    low_point : int
        Which point is lowest, counted from 0; the first of equals. [-]
    """

    fall_m: float
    flatness_m: float
    shims_m: tuple[float, ...]
    highest_shim_m: float
    low_point: int


def read_face(heights_m: ArrayLike, points_m: ArrayLike | None = None) -> Levels:
    """Judge a face by its levels.

    Parameters
    ----------
    heights_m : array_like, shape (point,)
        Height of each point over any mark, more is higher; three or more. [m]
    points_m : array_like, shape (point, 2), optional
        Where they were taken; without it four corners of a rectangle in the order round. [m]

    Returns
    -------
    Levels
        Fall, flatness and shims. [m]

    Raises
    ------
    OutOfRange
        For fewer than three levels, places that do not match, places in one line, or other than
        four levels without places.

    Examples
    --------
    >>> face = read_face([0.000, 0.004, 0.002, -0.003])
    >>> round(1000 * face.highest_shim_m, 1), face.low_point, round(1000 * face.flatness_m, 2)
    (7.0, 3, 0.25)
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    if points_m is None and heights.shape != (4,):
        raise OutOfRange("levels without places are those of four corners", "give four, in order")
    points = np.asarray(_SQUARE if points_m is None else points_m, dtype=np.float64)
    if heights.ndim != 1 or len(heights) < 3 or points.shape != (len(heights), 2):
        raise OutOfRange("levels need three points or more, and a place for each")
    plane = np.column_stack([points - points.mean(axis=0), np.ones(len(heights))])
    if np.linalg.matrix_rank(plane) < 3:
        raise OutOfRange("levels in one line say nothing of the face", "take them at the corners")
    fit = plane @ np.linalg.lstsq(plane, heights, rcond=None)[0]
    shims = heights.max() - heights
    return Levels(
        fall_m=float(np.ptp(heights)),
        flatness_m=float(np.abs(heights - fit).max()),
        shims_m=tuple(float(s) for s in shims),
        highest_shim_m=float(shims.max()),
        low_point=int(heights.argmin()),
    )
