"""Concrete from a truck: what has to be ordered, and how long the truck stands."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.build.bags import whole_up
from curecast.core.build.pace import truck_h
from curecast.errors import OutOfRange

CUBIC_YARD_M3 = 0.9144**3
#: Plants sell by quarters of a cubic yard, or of a cubic metre: common practice. [m3]
STEP_M3 = {"us": 0.25 * CUBIC_YARD_M3, "si": 0.25}


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
