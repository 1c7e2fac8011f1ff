"""Warm or cool mixing water: how hot, how many litres from the kettle, how long a heater takes.

A batch is bags, their water, and the steel of the mixer and tools where that is cold; what
concrete loses later in barrows and to the ground is not in it.
"""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.concrete.fresh import FUSION_K, HOT_WATER_C, SOLIDS, mixed, water_for
from curecast.errors import OutOfRange

#: Specific heat of steel, water = 1.
STEEL = 0.11
#: A drum mixer, and a tub with its tools (ASSUMED). [kg]
DRUM_KG, TUB_KG = 60.0, 15.0
#: Water from a kettle as it reaches the bucket (ASSUMED). [°C]
KETTLE_C = 95.0
#: What of a heater's power reaches the water (ASSUMED).
HEATER_SHARE = 0.85
_WATER_J_KG_K = 4186.0


@dataclass(frozen=True)
class Batch:
    """What goes into one batch besides heat.

    Parameters
    ----------
    bags_kg, water_kg : float
        Dry mix and all its water, above 0. [kg]
    bags_c, tap_c : float
        Temperature of the bags, and of cold water. [°C]
    tools_kg : float
        Cold steel that the batch has to warm. [kg]
    tools_c : float
        Its temperature. [°C]
    """

    bags_kg: float
    water_kg: float
    bags_c: float
    tap_c: float
    tools_kg: float = 0.0
    tools_c: float = 0.0


@dataclass(frozen=True)
class WarmWater:
    """Water for concrete of a wanted temperature.

    Parameters
    ----------
    target_c : float
        Wanted of the concrete. [°C]
    cold_c : float
        What the concrete would be with water from the tap. [°C]
    water_c : float
        How warm the water must be; never below the tap's, never over 60 °C. [°C]
    reached_c : float
        What the concrete then is. [°C]
    enough : bool
        Whether that is what was wanted. [-]
    bags_c : float
        How warm the bags must be for water at 60 °C to be enough. [°C]
    kettle_l : float
        Of one batch's water, how much comes from the kettle; the rest from the tap. [l]
    """

    target_c: float
    cold_c: float
    water_c: float
    reached_c: float
    enough: bool
    bags_c: float
    kettle_l: float


def concrete_c(batch: Batch, water_c: float, ice_kg: float = 0.0) -> float:
    """Concrete from one batch.

    Parameters
    ----------
    batch : Batch
        What goes in. [various]
    water_c : float
        Temperature of the water. [°C]
    ice_kg : float
        Ice in place of as much of the water. [kg]

    Returns
    -------
    float
        Temperature. [°C]

    Examples
    --------
    >>> pound = 0.45359237
    >>> bag = Batch(80 * pound, 6.26 * pound, (35 - 32) / 1.8, 10.0)
    >>> round(1.8 * concrete_c(bag, 60.0) + 32.0, 2)
    62.55
    """
    return float(
        mixed(
            _as_solids_kg(batch), batch.tools_c, batch.bags_kg, batch.bags_c,
            batch.water_kg - ice_kg, water_c, ice_kg=ice_kg,
        ).temperature_c
    )  # fmt: skip


def warm_water(batch: Batch, target_c: float) -> WarmWater:
    """How hot the water must be.

    Parameters
    ----------
    batch : Batch
        What goes in. [various]
    target_c : float
        Wanted of the concrete. [°C]

    Returns
    -------
    WarmWater
        The water, and what comes of it. [various]

    Raises
    ------
    OutOfRange
        For a batch without bags or water.
    """
    if not (batch.bags_kg > 0.0 and batch.water_kg > 0.0):
        raise OutOfRange("a batch has bags and water")
    needed = float(
        water_for(
            target_c, _as_solids_kg(batch), batch.tools_c, batch.bags_kg, batch.bags_c,
            batch.water_kg,
        ).temperature_c
    )  # fmt: skip
    water_c = max(batch.tap_c, min(needed, HOT_WATER_C))
    reached = concrete_c(batch, water_c)
    return WarmWater(
        target_c=target_c,
        cold_c=concrete_c(batch, batch.tap_c),
        water_c=water_c,
        reached_c=reached,
        enough=reached >= target_c - 1e-6,
        bags_c=_bags_for_c(batch, target_c),
        kettle_l=kettle_l(batch.water_kg, water_c, batch.tap_c),
    )


def kettle_l(water_l: float, wanted_c: float, tap_c: float, kettle_c: float = KETTLE_C) -> float:
    """Hot water to be filled up with cold.

    Parameters
    ----------
    water_l : float
        All water. [l]
    wanted_c, tap_c, kettle_c : float
        Wanted, cold, and hot; the hot above the cold. [°C]

    Returns
    -------
    float
        From the kettle, 0 where cold water is warm enough, at most all of it. [l]

    Examples
    --------
    >>> kettle_l(10.0, 52.5, 10.0)
    5.0
    """
    if not kettle_c > tap_c:
        raise OutOfRange("the kettle must be hotter than the tap")
    return water_l * min(1.0, max(0.0, (wanted_c - tap_c) / (kettle_c - tap_c)))


def heating_h(water_l: float, from_c: float, to_c: float, power_w: float) -> float:
    """How long a heater takes.

    Parameters
    ----------
    water_l : float
        Water, 0 or more. [l]
    from_c, to_c : float
        Cold and hot. [°C]
    power_w : float
        Of the heater, above 0; 85 % of it reaches the water (ASSUMED). [W]

    Returns
    -------
    float
        Time, 0 where nothing has to be heated. [h]

    Raises
    ------
    OutOfRange
        For a heater without power.

    Examples
    --------
    >>> round(heating_h(100.0, 10.0, 50.0, 2000.0), 2)
    2.74
    """
    if not (power_w > 0.0 and water_l >= 0.0):
        raise OutOfRange("a heater's power must be above 0")
    return water_l * _WATER_J_KG_K * max(0.0, to_c - from_c) / (HEATER_SHARE * power_w) / 3600.0


def ice_kg(batch: Batch, target_c: float) -> float:
    """Ice in place of water, for concrete that would be too warm.

    Parameters
    ----------
    batch : Batch
        What goes in, its water from the tap. [various]
    target_c : float
        Wanted of the concrete. [°C]

    Returns
    -------
    float
        Ice at 0 °C, all of it melted in mixing; 0 where none is needed, NaN where all the
        water as ice would not do. [kg]

    Examples
    --------
    >>> pound = 0.45359237
    >>> hot = Batch(80 * pound, 6.26 * pound, 35.0, (40 - 32) / 1.8)
    >>> round(ice_kg(hot, (60.6 - 32) / 1.8) / (6.26 * pound), 2)
    0.5
    """
    plain = concrete_c(batch, batch.tap_c)
    if plain <= target_c:
        return 0.0
    total = SOLIDS * (batch.bags_kg + _as_solids_kg(batch)) + batch.water_kg
    ice = total * (plain - target_c) / (FUSION_K + batch.tap_c)
    return ice if ice <= batch.water_kg * (1.0 + 1e-9) else float("nan")


def _as_solids_kg(batch: Batch) -> float:
    """Steel as the mass of dry mix that takes as much heat."""
    return batch.tools_kg * STEEL / SOLIDS


def _bags_for_c(batch: Batch, target_c: float) -> float:
    """How warm bags must be where the water is at its hottest."""
    short = target_c - concrete_c(batch, HOT_WATER_C)
    total = SOLIDS * (batch.bags_kg + _as_solids_kg(batch)) + batch.water_kg
    return batch.bags_c + short * total / (SOLIDS * batch.bags_kg)
