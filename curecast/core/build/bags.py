"""Bags of dry mix: what one makes, how many, and how they are carried."""

from __future__ import annotations

import math

from curecast.core.concrete.presets import YIELD_M3_KG
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.errors import OutOfRange

_LB_KG = BAG_80_LB_KG / 80.0
#: Sizes that bags come in, by the units of the job. [kg]
SIZES_KG = {
    "us": (80.0 * _LB_KG, 60.0 * _LB_KG, 50.0 * _LB_KG),
    "si": (40.0, 25.0, 20.0),
}
PALLET_KG = 42 * BAG_80_LB_KG  # 42 bags of 80 lb a pallet: common practice

_FLOAT_SLACK = 1e-9  # 24 / 0.6 is 40 bags, not 41


def bag_yield_m3(bag_kg: float) -> float:
    """Concrete that one bag makes.

    Parameters
    ----------
    bag_kg : float
        Dry mass of the bag. [kg]

    Returns
    -------
    float
        Volume: 0.60 ft3 per 80 lb. [m3]

    Examples
    --------
    >>> round(bag_yield_m3(25.0), 4)
    0.0117
    """
    return bag_kg * YIELD_M3_KG


def bags_for(order_m3: float, bag_m3: float) -> int:
    """Whole bags for a volume, safe against the last digit of a division.

    Parameters
    ----------
    order_m3 : float
        Concrete, waste included. [m3]
    bag_m3 : float
        Concrete from one bag, above 0. [m3]

    Returns
    -------
    int
        Bags. [-]

    Examples
    --------
    >>> bags_for(24.0, 0.6)
    40
    """
    if not bag_m3 > 0.0:
        raise OutOfRange("what a bag makes must be above 0")
    return whole_up(order_m3 / bag_m3)


def pallets_for(bags: int, bag_kg: float) -> int:
    """Pallets that bags come on.

    Parameters
    ----------
    bags : int
        How many. [-]
    bag_kg : float
        Mass of one, above 0. [kg]

    Returns
    -------
    int
        Pallets of 1524 kg at most: 42 bags of 80 lb, common practice. [-]

    Examples
    --------
    >>> pallets_for(43, 36.287)
    2
    """
    return math.ceil(bags / max(1, whole_down(PALLET_KG / bag_kg)))


def trips_for(loads: int, load_kg: float, payload_kg: float) -> int:
    """Trips for whole loads, such as bags.

    Parameters
    ----------
    loads : int
        How many. [-]
    load_kg : float
        Mass of one, above 0. [kg]
    payload_kg : float
        What one trip carries. [kg]

    Returns
    -------
    int
        Trips. [-]

    Raises
    ------
    OutOfRange
        If one load alone is more than a trip carries.

    Examples
    --------
    >>> trips_for(42, 36.287, 450.0)
    4
    """
    if not load_kg > 0.0:
        raise OutOfRange("a bag's mass must be above 0")
    per_trip = whole_down(payload_kg / load_kg)
    if per_trip < 1:
        raise OutOfRange(
            f"one bag of {load_kg:.0f} kg is more than a trip carries ({payload_kg:.0f} kg)",
            "give a vehicle that carries it, or take smaller bags",
        )
    return math.ceil(loads / per_trip)


def mean_thickness_m(
    bags_used: float,
    bag_kg: float,
    length_m: float,
    width_m: float,
    *,
    extra_m3: float = 0.0,
    bag_m3: float | None = None,
) -> float:
    """How thick a slab came out, from the bags that went into it.

    Parameters
    ----------
    bags_used : float
        Bags mixed and placed. [-]
    bag_kg : float
        Dry mass of a bag. [kg]
    length_m, width_m : float
        Inside of the form. [m]
    extra_m3 : float
        Thickened edge and pads, which took their share. [m3]
    bag_m3 : float, optional
        Concrete from one bag; by mass where it is not known. [m3]

    Returns
    -------
    float
        Mean thickness; a shortfall beyond ``THICKNESS_TOLERANCE_M`` deserves a look. [m]
    """
    if not (length_m > 0.0 and width_m > 0.0):
        raise OutOfRange("a slab's length and width must be above 0")
    placed = bags_used * (bag_m3 or bag_yield_m3(bag_kg))
    return (placed - extra_m3) / (length_m * width_m)


def whole_up(count: float) -> int:
    """The next whole number up, for a count that a division may have left a hair above one.

    Parameters
    ----------
    count : float
        Anything. [-]

    Returns
    -------
    int
        Whole. [-]
    """
    return math.ceil(count * (1.0 - _FLOAT_SLACK))


def whole_down(count: float) -> int:
    """The next whole number down, the other way about.

    Parameters
    ----------
    count : float
        Anything. [-]

    Returns
    -------
    int
        Whole. [-]
    """
    return math.floor(count * (1.0 + _FLOAT_SLACK))
