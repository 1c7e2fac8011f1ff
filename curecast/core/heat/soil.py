"""The vertical grid: graded cells through the slab and the soil, and where soil starts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: Depth of soil below the slab's underside, ending on the deep temperature. [m]
SOIL_DEPTH_M = 2.0


@dataclass(frozen=True)
class Material:
    """What a layer is made of.

    Parameters
    ----------
    conductivity_w_mk : float
        Thermal conductivity. [W/m/K]
    density_kg_m3 : float
        Density. [kg/m3]
    specific_heat_j_kgk : float
        Specific heat. [J/kg/K]

    Raises
    ------
    OutOfRange
        If one of them is not above 0.
    """

    conductivity_w_mk: float
    density_kg_m3: float
    specific_heat_j_kgk: float

    def __post_init__(self) -> None:
        if not min(self.conductivity_w_mk, self.density_kg_m3, self.specific_heat_j_kgk) > 0.0:
            raise OutOfRange("conductivity, density and specific heat must be above 0")

    @property
    def capacity_j_m3k(self) -> float:
        """Volumetric heat capacity. [J/m3/K]"""
        return self.density_kg_m3 * self.specific_heat_j_kgk


#: ASSUMED, inside the range of ISO 10456 and the IEA's moist-concrete values.
CONCRETE = Material(2.0, 2350.0, 960.0)
#: ASSUMED, moist soil; wet soil conducts more.
SOIL = Material(1.3, 1800.0, 1100.0)
WET_SOIL = Material(2.0, 1800.0, 1100.0)


def graded_widths(length_m: float, cells: int, first_m: float) -> Array:
    """Cell widths that grow by one ratio from ``first_m`` and fill ``length_m``.

    Parameters
    ----------
    length_m : float
        Length to fill. [m]
    cells : int
        Number of cells. [-]
    first_m : float
        Width of the first cell; evenly wide cells if it is too wide to grow from. [m]

    Returns
    -------
    ndarray, shape (cells,)
        Widths, which add up to ``length_m``. [m]

    Examples
    --------
    >>> graded_widths(1.0, 4, 0.25).tolist()
    [0.25, 0.25, 0.25, 0.25]
    """
    if first_m * cells >= length_m:
        return np.full(cells, length_m / cells)
    low, high = 1.0 + 1e-9, 4.0
    for _ in range(80):
        ratio = 0.5 * (low + high)
        total = first_m * (ratio**cells - 1.0) / (ratio - 1.0)
        low, high = (ratio, high) if total < length_m else (low, ratio)
    widths = first_m * ratio ** np.arange(cells)
    return np.asarray(widths * (length_m / widths.sum()))


def slab_widths(thickness_m: float, cells: int, grading: float = 2.5) -> Array:
    """Cell widths through a slab: symmetric, ``grading`` times wider in the middle.

    Parameters
    ----------
    thickness_m : float
        Thickness of the slab. [m]
    cells : int
        Number of cells, even so that a face lies at mid-depth. [-]
    grading : float
        Width of the middle cell over that of the outer one. [-]

    Returns
    -------
    ndarray, shape (cells,)
        Widths, top first. [m]
    """
    half = grading ** (np.arange(cells // 2) / max(1, cells // 2 - 1))
    widths = np.concatenate([half, half[::-1]])
    return np.asarray(widths * (thickness_m / widths.sum()))


def start_profile_c(depth_m: Array, ground_c: float, deep_c: float) -> Array:
    """Soil temperature before the pour.

    Parameters
    ----------
    depth_m : ndarray
        Depth below the slab's underside. [m]
    ground_c, deep_c : float
        At the surface of the ground, and far down. [°C]

    Returns
    -------
    ndarray, same shape
        deep + (ground - deep) exp(-depth / 0.5 m), ASSUMED. [°C]
    """
    return deep_c + (ground_c - deep_c) * np.exp(-depth_m / 0.5)
