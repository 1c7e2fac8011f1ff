"""Small sums at the anchor: what a torque pulls, force at the handle, where the drill stops."""

from __future__ import annotations

from curecast.errors import OutOfRange

#: Snug is at most this share of the full torque (ASSUMED).
SNUG_SHARE = 0.20
#: K of T = K D F for a nut as received or zinc plated; oiled 0.15, waxed 0.10 to 0.14.
NUT_FACTOR = 0.20
#: How far the pull of one torque lies to either side (fastener practice).
PULL_SPREAD = 0.30
#: More than a steady pull of one person at the handle (ASSUMED). [N]
STEADY_PULL_N = 400.0


def torque_pull_n(torque_nm: float, anchor_m: float, nut_factor: float = NUT_FACTOR) -> float:
    """Pull that a torque puts into an anchor: T = K D F.

    Parameters
    ----------
    torque_nm : float
        Torque on the nut, 0 or more. [N m]
    anchor_m : float
        Diameter of the thread, above 0. [m]
    nut_factor : float
        K, above 0. [-]

    Returns
    -------
    float
        Tension; the real one lies within 30 % to either side (`PULL_SPREAD`). [N]

    Raises
    ------
    OutOfRange
        For a diameter or a nut factor that is not above 0.

    Examples
    --------
    >>> round(torque_pull_n(160.0, 0.020))
    40000
    """
    if not (anchor_m > 0.0 and nut_factor > 0.0):
        raise OutOfRange("an anchor's diameter and its nut factor must be above 0")
    return torque_nm / (nut_factor * anchor_m)


def pull_torque_nm(pull_n: float, anchor_m: float, nut_factor: float = NUT_FACTOR) -> float:
    """Torque that puts a pull into an anchor; the other way about.

    Parameters
    ----------
    pull_n : float
        Tension. [N]
    anchor_m : float
        Diameter of the thread, above 0. [m]
    nut_factor : float
        K, above 0. [-]

    Returns
    -------
    float
        Torque on the nut. [N m]

    Examples
    --------
    >>> round(pull_torque_nm(10_000.0, 0.012), 1)
    24.0
    """
    return nut_factor * anchor_m * pull_n


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
