"""Small sums at the anchor: force at the handle, and where the drill stops."""

from __future__ import annotations

from curecast.errors import OutOfRange

#: Snug is at most this share of the full torque (ASSUMED).
SNUG_SHARE = 0.20


def handle_force_n(torque_nm: float, handle_m: float) -> float:
    """Force at the end of a handle that gives a torque.

    Parameters
    ----------
    torque_nm : float
        Torque, 0 or more. [N m]
    handle_m : float
        Length of the handle, above 0. [m]

    Returns
    -------
    float
        Force at right angles to the handle. [N]

    Raises
    ------
    OutOfRange
        For a handle without length.

    Examples
    --------
    >>> handle_force_n(160.0, 0.5)
    320.0
    """
    if not handle_m > 0.0:
        raise OutOfRange("a handle without length gives no torque", "give its length")
    return torque_nm / handle_m


def drill_stop_m(hole_depth_m: float, base_plate_m: float, shims_m: float = 0.0) -> float:
    """Where the drill stop sits when the hole is drilled through the base plate.

    Parameters
    ----------
    hole_depth_m : float
        Depth of the hole in the concrete. [m]
    base_plate_m : float
        Thickness of the base plate. [m]
    shims_m : float
        Shims and grout under it. [m]

    Returns
    -------
    float
        From the bit's tip to the stop. [m]

    Examples
    --------
    >>> round(drill_stop_m(0.120, 0.020), 3)
    0.14
    """
    return hole_depth_m + base_plate_m + shims_m
