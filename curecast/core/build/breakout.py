"""The formulas of concrete breakout in tension, ACI 318-19 chapter 17, in both systems of units."""

from __future__ import annotations

import math

from curecast.errors import OutOfRange

#: Coefficient for cracked concrete, drilled and cast-in (17.6.2.2.1). [N, MPa, mm]
DRILLED, CAST_IN = 7.0, 10.0
#: The same in the other system. [lbf, psi, in]
DRILLED_US, CAST_IN_US = 17.0, 24.0
#: The models were made for concrete from here on. [MPa]
LEAST_MPA = 17.2
#: Stronger concrete counts as this: drilled 8000 psi, cast-in 10 000 psi (17.3.1). [MPa]
_MOST_MPA = {DRILLED: 55.0, CAST_IN: 69.0}


def basic_breakout_n(strength_mpa: float, embedment_m: float, k_c: float = DRILLED) -> float:
    """Breakout of one anchor far from every edge in cracked concrete, normal weight.

    Parameters
    ----------
    strength_mpa : float
        Compressive strength, above 0; what lies above 55 MPa (cast-in 69) does not count. [MPa]
    embedment_m : float
        Effective embedment, above 0. [m]
    k_c : float
        ``DRILLED``, ``CAST_IN``, or a product's own. [N, MPa, mm]

    Returns
    -------
    float
        Nominal strength, 17.6.2.2.1. [N]

    Raises
    ------
    OutOfRange
        For a strength or an embedment that is not above 0.

    Examples
    --------
    >>> round(basic_breakout_n(20.0, 0.075) / 1000.0, 2)
    20.33
    """
    _positive(strength_mpa, embedment_m)
    counted = min(strength_mpa, _MOST_MPA.get(k_c, _MOST_MPA[DRILLED]))
    return float(k_c * math.sqrt(counted) * (1000.0 * embedment_m) ** 1.5)


def basic_breakout_lbf(strength_psi: float, embedment_in: float, k_c: float = DRILLED_US) -> float:
    """The same in pounds and inches, as the code prints it there.

    Parameters
    ----------
    strength_psi : float
        Compressive strength, above 0. [psi]
    embedment_in : float
        Effective embedment, above 0. [in]
    k_c : float
        ``DRILLED_US``, ``CAST_IN_US``, or a product's own. [lbf, psi, in]

    Returns
    -------
    float
        Nominal strength; up to 2 % above the metric form, which is rounded. [lbf]

    Examples
    --------
    >>> round(basic_breakout_lbf(4500.0, 12.0))
    47405
    """
    _positive(strength_psi, embedment_in)
    return float(k_c * math.sqrt(strength_psi) * embedment_in**1.5)


def edge_factor(edge_m: float, embedment_m: float) -> float:
    """What a near edge leaves of the breakout strength, 17.6.2.4.

    Parameters
    ----------
    edge_m : float
        Least distance from an anchor to an edge. [m]
    embedment_m : float
        Effective embedment. [m]

    Returns
    -------
    float
        0.7 at the edge itself, 1 from 1.5 embedments on. [-]

    Examples
    --------
    >>> round(edge_factor(6.0, 12.0), 2)
    0.8
    """
    return min(1.0, 0.7 + 0.3 * edge_m / (1.5 * embedment_m))


def group_breakout(basic: float, area_ratio: float, edge: float, eccentric: float = 1.0) -> float:
    """Breakout of a group from its parts, 17.6.2.1; cracked concrete, in any unit of force.

    Parameters
    ----------
    basic : float
        One anchor far from every edge. [N or lbf]
    area_ratio : float
        ANc / ANc0. [-]
    edge, eccentric : float
        Factors for the nearest edge and for a load off the group's middle. [-]

    Returns
    -------
    float
        Nominal strength of the group. [N or lbf]

    Examples
    --------
    >>> round(group_breakout(47405.37, 3024 / 1296, 0.8), -1)
    88490.0
    """
    return area_ratio * edge * eccentric * basic


def _positive(*values: float) -> None:
    if not all(value > 0.0 for value in values):
        raise OutOfRange("a strength and an embedment must be above 0")
