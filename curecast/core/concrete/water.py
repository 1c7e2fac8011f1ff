"""Water for a bagged mix: what the bag allows, and what more water costs."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.concrete.allowances import water_factor
from curecast.errors import OutOfRange

LITRE_PER_US_PINT = 0.473176473
BAG_80_LB_KG = 80.0 * 0.45359237

# A general-purpose bag of 80 lb; other sizes by mass.
BASIC_L_80 = 6.0 * LITRE_PER_US_PINT  # the figure printed first, 2.84 l
LEAST_L_80 = 2.8
MOST_L_80 = 4.4  # widest printed range, 9.3 US pt (7 US pt to 60 lb)
ROUNDING_L_80 = 0.05  # half of the last printed digit: 9.3 US pt is within
REFUSED_L_80 = 12.0 * LITRE_PER_US_PINT  # 5.68 l: above it nobody prints a figure

#: Cement over the dry mass of a bag; makers do not print it. ASSUMED.
CEMENT_SHARE = 0.16


@dataclass(frozen=True)
class WaterAdvice:
    """Whether a bag's water will do.

    Parameters
    ----------
    kind : str
        ``below``, ``within``, ``above`` or ``refused``. [-]
    water_l : float
        The water asked about, a bag. [l]
    basic_l, least_l, most_l, refused_l : float
        The first printed figure, the printed range, and where the tool refuses. [l]
    w_c : float
        Water-cement ratio, with a cement share of 16 % (ASSUMED). [-]
    most_w_c : float
        The same at ``most_l``. [-]
    f28_factor : float
        What is left of the 28-day strength. [-]
    """

    kind: str
    water_l: float
    basic_l: float
    least_l: float
    most_l: float
    refused_l: float
    w_c: float
    most_w_c: float
    f28_factor: float


def water_advice(bag_kg: float, water_l: float) -> WaterAdvice:
    """Judge the water that goes into one bag.

    Parameters
    ----------
    bag_kg : float
        Dry mass of the bag. [kg]
    water_l : float
        Water a bag. [l]

    Returns
    -------
    WaterAdvice
        Kind, printed range, water-cement ratio and what is left of the strength. [-]

    Raises
    ------
    OutOfRange
        If the bag's mass or the water is not positive.

    Notes
    -----
    Water within the printed range leaves the strength alone; above it Abrams' law counts
    (`allowances.water_factor`).

    Examples
    --------
    >>> water_advice(36.3, 3.8).kind
    'within'
    """
    _check(bag_kg, water_l)
    scale = bag_kg / BAG_80_LB_KG
    least, most, refused = LEAST_L_80 * scale, MOST_L_80 * scale, REFUSED_L_80 * scale
    slack = ROUNDING_L_80 * scale
    w_c, most_w_c = bag_w_c(bag_kg, water_l), bag_w_c(bag_kg, most)
    if water_l > refused * (1.0 + 1e-9):
        kind = "refused"
    elif water_l > most + slack:
        kind = "above"
    else:
        kind = "within" if water_l >= least - slack else "below"
    too_much = kind in ("above", "refused")
    return WaterAdvice(
        kind=kind,
        water_l=water_l,
        basic_l=BASIC_L_80 * scale,
        least_l=least,
        most_l=most,
        refused_l=refused,
        w_c=w_c,
        most_w_c=most_w_c,
        f28_factor=float(water_factor(w_c, most_w_c)) if too_much else 1.0,
    )


def bag_w_c(bag_kg: float, water_l: float) -> float:
    """Water-cement ratio of a bagged mix.

    Parameters
    ----------
    bag_kg : float
        Dry mass of the bag. [kg]
    water_l : float
        Water a bag. [l]

    Returns
    -------
    float
        Mass of water over mass of cement, cement 16 % of the bag (ASSUMED). [-]

    Raises
    ------
    OutOfRange
        If the bag's mass or the water is not positive.

    Examples
    --------
    >>> round(bag_w_c(36.287, 2.839), 3)
    0.489
    """
    _check(bag_kg, water_l)
    return water_l / (CEMENT_SHARE * bag_kg)


def _check(bag_kg: float, water_l: float) -> None:
    if not (bag_kg > 0.0 and water_l > 0.0):
        raise OutOfRange("a bag's mass and its water must be above 0")
