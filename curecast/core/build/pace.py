"""How long placing takes: two people, by hand, one bag at a time, and what changes that."""

from __future__ import annotations

from curecast.core.build.bags import whole_up
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.errors import OutOfRange

#: Work of mixing and placing one 80 lb bag by hand: two people place 38 bags in about two
#: and a half hours (common practice). [person-min]
MINUTES_80_LB = 2 * 150.0 / 38.0
#: A drum mixer against mixing by hand (ASSUMED). [-]
DRUM = 0.6
#: More people than this get in each other's way (ASSUMED). [-]
_USEFUL_PEOPLE = 6
#: What one truck brings: 8 yd3, common practice. [m3]
LOAD_M3 = 8.0 * 0.9144**3
#: Ready-mix: each truck and the tail of its chute (ASSUMED). [h, h/m3]
_TRUCK_H, _TRUCK_H_PER_M3 = 0.5, 0.25


def placing_h(bags: float, bag_kg: float, people: int, *, drum: bool = False) -> float:
    """From the first batch to the last, for bagged concrete.

    Parameters
    ----------
    bags : float
        Bags to place, 0..2000. [-]
    bag_kg : float
        Dry mass of a bag. [kg]
    people : int
        Crew, at least 1; beyond six nothing is gained. [-]
    drum : bool
        Whether a drum mixer is used. [-]

    Returns
    -------
    float
        Time. [h]

    Raises
    ------
    OutOfRange
        For a crew of none.

    Examples
    --------
    >>> round(placing_h(38, 36.287, 2), 1)
    2.5
    """
    if people < 1:
        raise OutOfRange("a crew of none places no concrete", "give at least one person")
    minutes = bags * MINUTES_80_LB * bag_kg / BAG_80_LB_KG / min(people, _USEFUL_PEOPLE)
    return minutes * (DRUM if drum else 1.0) / 60.0


def load_volumes_m3(volume_m3: float) -> list[float]:
    """What each truck brings, in equal parts.

    Parameters
    ----------
    volume_m3 : float
        Concrete. [m3]

    Returns
    -------
    list of float
        Their sum is the volume; none is above 8 yd3 (common practice). [m3]

    Examples
    --------
    >>> load_volumes_m3(1.2), load_volumes_m3(9.0)
    ([1.2], [4.5, 4.5])
    """
    count = max(1, whole_up(volume_m3 / LOAD_M3))
    return [volume_m3 / count] * count


def truck_h(volume_m3: float) -> float:
    """From the first chute to the last, for ready-mix (ASSUMED).

    Parameters
    ----------
    volume_m3 : float
        Concrete. [m3]

    Returns
    -------
    float
        Time, one truck after the other. [h]
    """
    return sum(_TRUCK_H + _TRUCK_H_PER_M3 * part for part in load_volumes_m3(volume_m3))
