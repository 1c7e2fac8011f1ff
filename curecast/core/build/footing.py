"""The slab as a small footing under a machine: overturning, sliding, soil pressure; an advisory.

Loads are service loads with the maker's shock factor; the load stands square to the side that
is looked at. Bending of the slab itself is not reckoned here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from curecast.errors import OutOfRange

#: Least factor of safety against overturning and sliding (IBC 1807.2.3 asks it of retaining
#: walls, from memory).
LEAST_FACTOR = 1.5
#: Concrete on gravel or sand (IBC table 1806.2: 0.25 to 0.35, from memory), and on a plastic
#: sheet (ASSUMED).
FRICTION, FRICTION_ON_SHEET = 0.35, 0.25
#: What soft clay or silt bears, the least of IBC table 1806.2 (1500 psf, from memory). [kPa]
SOFT_GROUND_KPA = 72.0


@dataclass(frozen=True)
class Footing:
    """How a footing stands along one side.

    Parameters
    ----------
    down_n, moment_nm : float
        All that presses down, and the moment about the middle of the underside. [N, N m]
    eccentricity_m : float
        Where the whole load acts, from the middle. [m]
    overturning : float
        Factor of safety about the edge; infinite without moment. [-]
    pressure_kpa : float
        Highest pressure on the soil; infinite where it tips. [kPa]
    contact : float
        Share of the side that stays pressed down. [-]
    """

    down_n: float
    moment_nm: float
    eccentricity_m: float
    overturning: float
    pressure_kpa: float
    contact: float


def footing(side_m: float, across_m: float, down_n: float, moment_nm: float) -> Footing:
    """A rectangular footing under a vertical load and a moment along one side.

    Parameters
    ----------
    side_m : float
        Side along which the moment acts, above 0. [m]
    across_m : float
        The other side, above 0. [m]
    down_n : float
        Weight of slab, machine and load, above 0. [N]
    moment_nm : float
        About the middle of the underside, 0 or more. [N m]

    Returns
    -------
    Footing
        Overturning N B/2 / M; soil pressure N/A (1 + 6 e/B) while all of it is pressed down,
        2 N / (3 L (B/2 - e)) beyond the middle third. [various]

    Raises
    ------
    OutOfRange
        For a side or a weight that is not above 0, or a negative moment.

    Examples
    --------
    >>> round(footing(2.0, 2.0, 40_000.0, 8_000.0).pressure_kpa, 1)
    16.0
    """
    if not (side_m > 0.0 and across_m > 0.0 and down_n > 0.0 and moment_nm >= 0.0):
        raise OutOfRange("a footing needs sides and a weight above 0")
    e = moment_nm / down_n
    factor = math.inf if moment_nm == 0.0 else down_n * side_m / 2.0 / moment_nm
    if e <= side_m / 6.0:
        pressure, contact = down_n / (side_m * across_m) * (1.0 + 6.0 * e / side_m), 1.0
    elif e < side_m / 2.0:
        pressed = 3.0 * (side_m / 2.0 - e)
        pressure, contact = 2.0 * down_n / (across_m * pressed), pressed / side_m
    else:
        pressure, contact = math.inf, 0.0
    return Footing(down_n, moment_nm, e, factor, pressure / 1000.0, contact)


def sliding_factor(down_n: float, sideways_n: float, friction: float = FRICTION) -> float:
    """Factor of safety against sliding, friction alone.

    Parameters
    ----------
    down_n : float
        Weight that is always there: slab and machine, no load. [N]
    sideways_n : float
        Horizontal pull, 0 or more. [N]
    friction : float
        Of the underside. [-]

    Returns
    -------
    float
        Infinite without a pull; soil in front of the slab is left out. [-]

    Examples
    --------
    >>> sliding_factor(20_000.0, 3_500.0)
    2.0
    """
    if not (down_n > 0.0 and sideways_n >= 0.0):
        raise OutOfRange("a footing needs a weight above 0 and a pull of 0 or more")
    return math.inf if sideways_n == 0.0 else friction * down_n / sideways_n
