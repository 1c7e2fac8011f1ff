"""Concrete from a truck: what has to be ordered, its loads, and how long a truck stands."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.build.bags import whole_up
from curecast.core.build.pace import load_volumes_m3, truck_h
from curecast.errors import OutOfRange

CUBIC_YARD_M3 = 0.9144**3
#: Plants sell by quarters of a cubic yard, or of a cubic metre: common practice. [m3]
STEP_M3 = {"us": 0.25 * CUBIC_YARD_M3, "si": 0.25}
#: From the plant's water to the chute (ASSUMED). [h]
HAUL_H = 0.5
#: A truck is empty so long after the water met the cement: the limit of ASTM C94 until its
#: edition of 2021, which left it to the order; still common practice. [h]
DISCHARGE_H = 1.5


@dataclass(frozen=True)
class Load:
    """One truck, in hours after the first chute.

    Parameters
    ----------
    volume_m3 : float
        What it brings. [m3]
    mix_h : float
        Water met cement at the plant. [h]
    chute_h, placed_h : float
        Its first concrete runs, and its last lies in the form. [h]
    empty_by_h : float
        It has to be empty. [h]
    """

    volume_m3: float
    mix_h: float
    chute_h: float
    placed_h: float
    empty_by_h: float


def truck_loads(volume_m3: float) -> tuple[Load, ...]:
    """The trucks of a day, one after the other.

    Parameters
    ----------
    volume_m3 : float
        Concrete that fills the form. [m3]

    Returns
    -------
    tuple of Load
        Their volumes add up to it. [various]

    Examples
    --------
    >>> [round(load.placed_h, 2) for load in truck_loads(2.0)]
    [1.0]
    """
    loads: list[Load] = []
    at = 0.0
    for part in load_volumes_m3(volume_m3):
        done, mix = at + truck_h(part), at - HAUL_H
        loads.append(Load(part, mix, at, done, mix + DISCHARGE_H))
        at = done
    return tuple(loads)


@dataclass(frozen=True)
class Truck:
    """An order of ready-mix.

    Parameters
    ----------
    order_m3 : float
        What is ordered, in whole steps and at least the plant's least load. [m3]
    spare_m3 : float
        What of it the slab does not need. [m3]
    least_m3 : float or None
        The plant's least load, where it is known. [m3]
    stands_h : float
        How long the truck stands. [h]
    over_h : float
        How much of that is beyond the wait that is free; 0 where that is not known. [h]
    """

    order_m3: float
    spare_m3: float
    least_m3: float | None
    stands_h: float
    over_h: float


def truck(
    need_m3: float,
    *,
    step_m3: float = STEP_M3["si"],
    least_m3: float | None = None,
    wait_h: float | None = None,
) -> Truck:
    """Order ready-mix.

    Parameters
    ----------
    need_m3 : float
        Concrete with waste, above 0. [m3]
    step_m3 : float
        What the plant sells it by, above 0. [m3]
    least_m3 : float, optional
        The plant's least load. [m3]
    wait_h : float, optional
        How long the truck waits free of charge. [h]

    Returns
    -------
    Truck
        The order. [various]

    Raises
    ------
    OutOfRange
        For a volume or a step that is not above 0.

    Examples
    --------
    >>> truck(1.21, least_m3=2.0).order_m3
    2.0
    """
    if not (need_m3 > 0.0 and step_m3 > 0.0):
        raise OutOfRange("an order of ready-mix and its steps must be above 0")
    order = max(whole_up(need_m3 / step_m3) * step_m3, least_m3 or 0.0)
    stands = truck_h(need_m3)
    over = 0.0 if wait_h is None else max(0.0, stands - wait_h)
    return Truck(order, order - need_m3, least_m3, stands, over)
