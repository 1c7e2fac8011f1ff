"""What to buy and carry for a slab."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from curecast.core.build.bags import (
    bag_yield_m3,
    bags_for,
    mean_thickness_m,
    pallets_for,
    trips_for,
)
from curecast.core.concrete.water import BAG_80_LB_KG, BASIC_L_80, MOST_L_80
from curecast.errors import OutOfRange

__all__ = ["TakeOff", "bag_yield_m3", "mean_thickness_m", "takeoff"]

WASTE = 0.05  # common practice
PAYLOAD_KG = 450.0  # a light pick-up or trailer; ASSUMED
#: Slab on ground: the mean of all depths may fall 3/8 in short (ACI 117, from memory). [m]
THICKNESS_TOLERANCE_M = 0.375 * 0.0254


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
    extra_m3 : float
        What of the volume is thickened edge or pads below the slab. [m3]
    bag_m3 : float or None
        Concrete from one bag. [m3]
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
    extra_m3: float = 0.0
    bag_m3: float | None = None


def takeoff(
    length_m: float,
    width_m: float,
    thickness_m: float,
    bag_kg: float | None = None,
    *,
    corner_depths_m: Sequence[float] = (),
    extra_m3: float = 0.0,
    bag_m3: float | None = None,
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
    extra_m3 : float
        Thickened edge and pads below the slab. [m3]
    bag_m3 : float, optional
        Concrete from one bag, as it prints; by mass where it is not known. [m3]
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
    A bag yields 0.60 ft3 per 80 lb (0.15 ft3 per 20 lb), others by mass. Pads and thickened
    edges are counted from the mean depth down.

    Examples
    --------
    >>> takeoff(1.2192, 1.2192, 0.1524, 36.287).bags
    15
    """
    depth_m = _mean_depth(thickness_m, corner_depths_m)
    if not (length_m > 0.0 and width_m > 0.0 and depth_m > 0.0):
        raise OutOfRange("a slab's length, width and depth must be above 0")
    if not (waste >= 0.0 and extra_m3 >= 0.0):
        raise OutOfRange("waste and what is thickened cannot be negative")
    volume = length_m * width_m * depth_m + extra_m3
    plain = TakeOff(
        volume, depth_m, THICKNESS_TOLERANCE_M, volume * (1.0 + waste), extra_m3=extra_m3
    )
    if bag_kg is None:
        return plain
    return _in_bags(plain, bag_kg, bag_m3 or bag_yield_m3(bag_kg), payload_kg)


def _in_bags(plain: TakeOff, bag_kg: float, bag_m3: float, payload_kg: float) -> TakeOff:
    if not bag_kg > 0.0:
        raise OutOfRange("a bag's mass must be above 0")
    bags = bags_for(plain.order_m3, bag_m3)
    scale = bag_kg / BAG_80_LB_KG
    return replace(
        plain,
        bag_kg=bag_kg,
        bags_exact=plain.volume_m3 / bag_m3,
        bags=bags,
        bags_kg=bags * bag_kg,
        water_l_per_bag=BASIC_L_80 * scale,
        water_l_max_per_bag=MOST_L_80 * scale,
        pallets=pallets_for(bags, bag_kg),
        trips=trips_for(bags, bag_kg, payload_kg),
        bag_m3=bag_m3,
    )


def _mean_depth(thickness_m: float, corner_depths_m: Sequence[float]) -> float:
    if not corner_depths_m:
        return thickness_m
    if len(corner_depths_m) != 4 or not all(d > 0.0 for d in corner_depths_m):
        raise OutOfRange("a slab has four corner depths, each above 0")
    return sum(corner_depths_m) / 4.0
