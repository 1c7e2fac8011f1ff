"""What to buy and carry for a slab."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from curecast.core.concrete.presets import YIELD_M3_KG
from curecast.core.concrete.water import BAG_80_LB_KG, BASIC_L_80, MOST_L_80
from curecast.errors import OutOfRange

WASTE = 0.05  # common practice
PALLET_KG = 42 * BAG_80_LB_KG  # 42 bags of 80 lb a pallet: common practice
PAYLOAD_KG = 450.0  # a light pick-up or trailer; ASSUMED
#: Slab on ground: the mean of all depths may fall 3/8 in short (ACI 117, from memory). [m]
THICKNESS_TOLERANCE_M = 0.375 * 0.0254

_FLOAT_SLACK = 1e-9  # 24 / 0.6 is 40 bags, not 41


@dataclass(frozen=True)
class TakeOff:
    """Concrete for one slab, and what it comes in.

    Parameters
    ----------
    volume_m3 : float
        Volume of the form. [m3]
    thickness_m : float
        Mean thickness. [m]
    thickness_tolerance_m : float
        How far the mean thickness may fall short before the slab counts as thin. [m]
    order_m3 : float
        Volume with waste. [m3]
    bag_kg : float or None
        Dry mass of a bag; None, as all that follows, for ready-mix. [kg]
    bags_exact : float or None
        Bags that fill the form, no waste. [-]
    bags : int or None
        Bags to buy, with waste. [-]
    bags_kg : float or None
        Mass of the bags to buy. [kg]
    water_l_per_bag, water_l_max_per_bag : float or None
        The first printed figure and the end of the printed range. [l]
    pallets, trips : int or None
        Pallets the bags come on, and trips to fetch them by whole bags. [-]
    """

    volume_m3: float
    thickness_m: float
    thickness_tolerance_m: float
    order_m3: float
    bag_kg: float | None = None
    bags_exact: float | None = None
    bags: int | None = None
    bags_kg: float | None = None
    water_l_per_bag: float | None = None
    water_l_max_per_bag: float | None = None
    pallets: int | None = None
    trips: int | None = None


def takeoff(
    length_m: float,
    width_m: float,
    thickness_m: float,
    bag_kg: float | None = None,
    *,
    corner_depths_m: Sequence[float] = (),
    waste: float = WASTE,
    payload_kg: float = PAYLOAD_KG,
) -> TakeOff:
    """Volume, bags, water, pallets and trips of a rectangular slab.

    Parameters
    ----------
    length_m, width_m, thickness_m : float
        Inside of the form. [m]
    bag_kg : float, optional
        Dry mass of a bag; None for ready-mix. [kg]
    corner_depths_m : sequence of float
        Four depths measured at the corners; their mean then replaces the thickness. [m]
    waste : float
        Share bought on top; 5 % is common practice. [-]
    payload_kg : float
        What one trip carries; ASSUMED. [kg]

    Returns
    -------
    TakeOff
        What to buy and carry. [-]

    Raises
    ------
    OutOfRange
        If a measure is not positive, waste is negative, the corners are not four, or one bag
        is more than a trip carries.

    Notes
    -----
    A bag yields 0.60 ft3 per 80 lb (0.15 ft3 per 20 lb), others by mass.

    Examples
    --------
    >>> takeoff(1.2192, 1.2192, 0.1524, 36.287).bags
    15
    """
    depth_m = _mean_depth(thickness_m, corner_depths_m)
    if not (length_m > 0.0 and width_m > 0.0 and depth_m > 0.0):
        raise OutOfRange("a slab's length, width and depth must be above 0")
    if not waste >= 0.0:
        raise OutOfRange("waste cannot be negative")
    volume = length_m * width_m * depth_m
    plain = TakeOff(volume, depth_m, THICKNESS_TOLERANCE_M, volume * (1.0 + waste))
    return plain if bag_kg is None else _in_bags(plain, bag_kg, payload_kg)


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


def mean_thickness_m(bags_used: float, bag_kg: float, length_m: float, width_m: float) -> float:
    """How thick a slab came out, from the bags that went into it.

    Parameters
    ----------
    bags_used : float
        Bags mixed and placed. [-]
    bag_kg : float
        Dry mass of a bag. [kg]
    length_m, width_m : float
        Inside of the form. [m]

    Returns
    -------
    float
        Mean thickness; a shortfall beyond ``THICKNESS_TOLERANCE_M`` deserves a look. [m]
    """
    if not (length_m > 0.0 and width_m > 0.0):
        raise OutOfRange("a slab's length and width must be above 0")
    return bags_used * bag_yield_m3(bag_kg) / (length_m * width_m)


def _in_bags(plain: TakeOff, bag_kg: float, payload_kg: float) -> TakeOff:
    if not bag_kg > 0.0:
        raise OutOfRange("a bag's mass must be above 0")
    per_trip = _whole_down(payload_kg / bag_kg)
    if per_trip < 1:
        raise OutOfRange(f"one bag of {bag_kg:.0f} kg is more than a trip carries")
    bags = _whole_up(plain.order_m3 / bag_yield_m3(bag_kg))
    per_pallet = max(1, _whole_down(PALLET_KG / bag_kg))
    scale = bag_kg / BAG_80_LB_KG
    return TakeOff(
        plain.volume_m3,
        plain.thickness_m,
        plain.thickness_tolerance_m,
        plain.order_m3,
        bag_kg=bag_kg,
        bags_exact=plain.volume_m3 / bag_yield_m3(bag_kg),
        bags=bags,
        bags_kg=bags * bag_kg,
        water_l_per_bag=BASIC_L_80 * scale,
        water_l_max_per_bag=MOST_L_80 * scale,
        pallets=math.ceil(bags / per_pallet),
        trips=math.ceil(bags / per_trip),
    )


def _mean_depth(thickness_m: float, corner_depths_m: Sequence[float]) -> float:
    if not corner_depths_m:
        return thickness_m
    if len(corner_depths_m) != 4 or not all(d > 0.0 for d in corner_depths_m):
        raise OutOfRange("a slab has four corner depths, each above 0")
    return sum(corner_depths_m) / 4.0


def _whole_up(count: float) -> int:
    return math.ceil(count * (1.0 - _FLOAT_SLACK))


def _whole_down(count: float) -> int:
    return math.floor(count * (1.0 + _FLOAT_SLACK))
