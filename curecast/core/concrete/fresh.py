"""Temperature of fresh concrete from what goes into the mixer, and the other way about.

References
----------
ACI 306R and ACI 305R (mixture temperature); the same in Neville and in TM 5-852-4, eq. 16.
The 0.22 is the specific heat of solids over that of water and never applies to water.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.errors import OutOfRange

Array = NDArray[np.float64]

SOLIDS = 0.22  # specific heat of cement and aggregate, water = 1
ICE = 0.50  # specific heat of ice, water = 1
FUSION_K = 80.0  # heat of melting ice over the specific heat of water
HOT_WATER_C = 60.0  # 140 °F: hotter water meets the aggregate before the cement


class Fresh(NamedTuple):
    """Fresh concrete, or the water for it.

    Parameters
    ----------
    temperature_c : ndarray
        Of the concrete (`mixed`, `mixed_bag`) or of the water (`water_for`, ...). [°C]
    hot_water : ndarray of bool
        The water is above 60 °C: it must meet the aggregate before the cement. [-]
    possible : ndarray of bool
        False where the answer is no temperature of liquid water, or the concrete would be
        at or below 0 °C. [-]
    """

    temperature_c: Array
    hot_water: NDArray[np.bool_]
    possible: NDArray[np.bool_]


def mixed(
    aggregate_kg: ArrayLike,
    aggregate_c: ArrayLike,
    cement_kg: ArrayLike,
    cement_c: ArrayLike,
    water_kg: ArrayLike,
    water_c: ArrayLike,
    free_water_kg: ArrayLike = 0.0,
    ice_kg: ArrayLike = 0.0,
) -> Fresh:
    """Temperature to expect of a batch.

    Parameters
    ----------
    aggregate_kg, cement_kg, water_kg : array_like
        Dry aggregate, cement and added water; any one unit of mass. [kg]
    aggregate_c, cement_c, water_c : array_like
        Their temperatures. [°C]
    free_water_kg : array_like
        Water on the aggregate, at its temperature: ice where that is below 0 °C. [kg]
    ice_kg : array_like
        Ice at 0 °C that replaces added water. [kg]

    Returns
    -------
    Fresh
        Temperature of the concrete; losses to mixer and barrow are not in it. [°C]

    Raises
    ------
    OutOfRange
        If a mass is negative.

    Examples
    --------
    >>> round(float(mixed(1850, 2, 320, 5, 135, 60, free_water_kg=40).temperature_c), 2)
    14.33
    """
    capacity, heat = _solids(aggregate_kg, aggregate_c, cement_kg, cement_c, free_water_kg)
    return _mixture(capacity, heat, water_kg, water_c, ice_kg)


def water_for(
    target_c: ArrayLike,
    aggregate_kg: ArrayLike,
    aggregate_c: ArrayLike,
    cement_kg: ArrayLike,
    cement_c: ArrayLike,
    water_kg: ArrayLike,
    free_water_kg: ArrayLike = 0.0,
    ice_kg: ArrayLike = 0.0,
) -> Fresh:
    """How warm the added water must be for a wanted concrete temperature.

    Parameters
    ----------
    target_c : array_like
        Concrete temperature wanted. [°C]
    aggregate_kg, cement_kg, water_kg : array_like
        As in `mixed`; the water must be above 0. [kg]
    aggregate_c, cement_c : array_like
        Their temperatures. [°C]
    free_water_kg, ice_kg : array_like
        As in `mixed`. [kg]

    Returns
    -------
    Fresh
        Temperature of the water; ``possible`` is False outside 0 to 100 °C. [°C]

    Raises
    ------
    OutOfRange
        If a mass is negative or there is no water.
    """
    capacity, heat = _solids(aggregate_kg, aggregate_c, cement_kg, cement_c, free_water_kg)
    return _water(capacity, heat, target_c, water_kg, ice_kg)


def mixed_bag(
    bag_kg: ArrayLike,
    bag_c: ArrayLike,
    water_kg: ArrayLike,
    water_c: ArrayLike,
    ice_kg: ArrayLike = 0.0,
) -> Fresh:
    """Temperature to expect of a bagged mix: all solids dry and at one temperature.

    Parameters
    ----------
    bag_kg, water_kg, ice_kg : array_like
        Dry mix, added water, and ice at 0 °C that replaces water. [kg]
    bag_c, water_c : array_like
        Temperature of the bag and of the water. [°C]

    Returns
    -------
    Fresh
        Temperature of the concrete. [°C]

    Raises
    ------
    OutOfRange
        If a mass is negative.
    """
    bag = _masses(bag_kg)[0]
    capacity = SOLIDS * bag
    return _mixture(capacity, capacity * np.asarray(bag_c), water_kg, water_c, ice_kg)


def water_for_bag(
    target_c: ArrayLike,
    bag_kg: ArrayLike,
    bag_c: ArrayLike,
    water_kg: ArrayLike,
    ice_kg: ArrayLike = 0.0,
) -> Fresh:
    """How warm the water must be for a wanted temperature of a bagged mix.

    Parameters
    ----------
    target_c : array_like
        Concrete temperature wanted. [°C]
    bag_kg, water_kg, ice_kg : array_like
        As in `mixed_bag`; the water must be above 0. [kg]
    bag_c : array_like
        Temperature of the bag. [°C]

    Returns
    -------
    Fresh
        Temperature of the water; ``possible`` is False outside 0 to 100 °C. [°C]

    Raises
    ------
    OutOfRange
        If a mass is negative or there is no water.

    Examples
    --------
    >>> round(float(water_for_bag(12.78, 80, 1.67, 6.26).temperature_c), 0)
    44.0
    """
    bag = _masses(bag_kg)[0]
    capacity = SOLIDS * bag
    return _water(capacity, capacity * np.asarray(bag_c), target_c, water_kg, ice_kg)


def _solids(
    aggregate_kg: ArrayLike,
    aggregate_c: ArrayLike,
    cement_kg: ArrayLike,
    cement_c: ArrayLike,
    free_kg: ArrayLike,
) -> tuple[Array, Array]:
    """Heat capacity as liquid mix, and heat over 0 °C, of all but water and ice added."""
    aggregate, cement, free = _masses(aggregate_kg, cement_kg, free_kg)
    t_a = np.asarray(aggregate_c, dtype=np.float64)
    free_heat = np.where(t_a < 0.0, ICE * t_a - FUSION_K, t_a)
    heat = SOLIDS * (aggregate * t_a + cement * np.asarray(cement_c)) + free * free_heat
    return np.asarray(SOLIDS * (aggregate + cement) + free), np.asarray(heat)


def _mixture(
    capacity: Array, heat: Array, water_kg: ArrayLike, water_c: ArrayLike, ice_kg: ArrayLike
) -> Fresh:
    water, ice = _masses(water_kg, ice_kg)
    t_w = np.asarray(water_c, dtype=np.float64)
    total = capacity + water + ice
    if np.any(total <= 0.0):
        raise OutOfRange("a batch must have a mass")
    t = np.asarray((heat + water * t_w - FUSION_K * ice) / total)
    return Fresh(t, t_w > HOT_WATER_C, np.asarray(t > 0.0))


def _water(
    capacity: Array, heat: Array, target_c: ArrayLike, water_kg: ArrayLike, ice_kg: ArrayLike
) -> Fresh:
    water, ice = _masses(water_kg, ice_kg)
    if np.any(water <= 0.0):
        raise OutOfRange("without added water the concrete's temperature cannot be set by water")
    target = np.asarray(target_c, dtype=np.float64)
    t_w = np.asarray((target * (capacity + water + ice) - heat + FUSION_K * ice) / water)
    return Fresh(t_w, t_w > HOT_WATER_C, (t_w >= 0.0) & (t_w <= 100.0))


def _masses(*kg: ArrayLike) -> tuple[Array, ...]:
    masses = tuple(np.asarray(m, dtype=np.float64) for m in kg)
    if any(np.any(m < 0.0) for m in masses):
        raise OutOfRange("a mass cannot be negative")
    return masses
