"""A job's concrete: a preset, and the job's own numbers over it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from curecast.core.concrete.allowances import OVER_THE_LEAST, f28_bag
from curecast.core.concrete.presets import PRESETS, REFERENCE_C, Preset, preset_heat
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.concrete.water import BAG_80_LB_KG, bag_w_c, water_advice
from curecast.core.heat.hydration import HeatOfHydration
from curecast.errors import OutOfRange

__all__ = ["PRESETS", "Allowance", "ConcreteMix", "Preset", "find_mix", "preset_heat"]


@dataclass(frozen=True)
class Allowance:
    """One step from the strength on paper to the strength on site.

    Parameters
    ----------
    name : str
        What it allows for. [-]
    factor : float
        What it leaves of the strength. [-]
    why : str
        Its reason, in a sentence. [-]
    """

    name: str
    factor: float
    why: str


@dataclass(frozen=True)
class ConcreteMix:
    """One job's concrete, with every number settled.

    Parameters
    ----------
    preset : Preset
        What stood in for missing numbers. [-]
    curve : StrengthCurve
        Strength against age. [-]
    heat : HeatOfHydration
        Heat against its own age. [-]
    w_c : float
        Water-cement ratio. [-]
    printed_mpa : float
        Strength printed or specified, before the allowances. [MPa]
    allowances : tuple of Allowance
        What was taken off it, each once. [-]
    """

    preset: Preset
    curve: StrengthCurve
    heat: HeatOfHydration
    w_c: float
    printed_mpa: float
    allowances: tuple[Allowance, ...]


def find_mix(
    preset: str = "bag",
    *,
    strength_mpa: float | None = None,
    bag_kg: float | None = None,
    water_l: float | None = None,
    cement_kg_m3: float | None = None,
    w_c: float | None = None,
    heat_j_kg: float | None = None,
    alpha_u: float | None = None,
    tau_h: float | None = None,
    beta: float | None = None,
    activation_j_mol: float | None = None,
    reference_temperature_c: float | None = None,
    shape: str | None = None,
    s: float | None = None,
) -> ConcreteMix:
    """Settle every number of a job's concrete.

    Parameters
    ----------
    preset : str
        A key of ``PRESETS``. [-]
    strength_mpa : float, optional
        Strength printed on the bag, or specified. [MPa]
    bag_kg, water_l : float, optional
        Dry mass of a bag, and the water that goes into it. [kg, l]
    cement_kg_m3, w_c : float, optional
        The mix's own cement and water-cement ratio. [kg/m3, -]
    heat_j_kg, alpha_u, tau_h, beta, activation_j_mol, reference_temperature_c : float, optional
        The mix's own heat, see `HeatOfHydration`; a tau without a temperature holds at
        23 °C. [J/kg, -, h, -, J/mol, °C]
    shape, s : str and float, optional
        The mix's own strength curve. [-]

    Returns
    -------
    ConcreteMix
        Curve, heat and the allowances with their reasons. [-]

    Raises
    ------
    OutOfRange
        For an unknown preset, a number out of its range, or more water than a bag bears
        (12 US pt to 80 lb); ask `water_advice` first for a gentler answer.

    Examples
    --------
    >>> find_mix("bag").curve.f28_mpa
    27.58
    """
    if preset not in PRESETS:
        raise OutOfRange(f"no concrete is called {preset!r}", "take one of " + ", ".join(PRESETS))
    base = PRESETS[preset]
    bag_kg = BAG_80_LB_KG if bag_kg is None else bag_kg
    if w_c is None and base.bagged and water_l is not None:
        w_c = bag_w_c(bag_kg, water_l)
    w_c = base.w_c if w_c is None else w_c
    own = {
        "heat_j_kg": heat_j_kg, "cement_kg_m3": cement_kg_m3, "alpha_u": alpha_u,
        "tau_h": tau_h, "beta": beta, "activation_j_mol": activation_j_mol,
    }  # fmt: skip
    reference_c = REFERENCE_C if reference_temperature_c is None else reference_temperature_c
    heat = preset_heat(base, w_c, reference_c)
    heat = replace(heat, **{k: v for k, v in own.items() if v is not None})
    printed = base.strength_mpa if strength_mpa is None else strength_mpa
    allowances = _allowances(base, printed, bag_kg, water_l)
    f28 = printed
    for allowance in allowances:
        f28 *= allowance.factor
    curve = StrengthCurve(f28, shape=shape or "eurocode", s=base.s if s is None else s)
    return ConcreteMix(base, curve, heat, w_c, printed, allowances)


def _allowances(
    base: Preset, printed_mpa: float, bag_kg: float, water_l: float | None
) -> tuple[Allowance, ...]:
    """Each step from the printed strength to the median on site."""
    found: list[Allowance] = []
    if base.standard_minimum_mpa is not None:
        f28 = f28_bag(printed_mpa, base.standard_minimum_mpa)
        if f28 < printed_mpa:
            why = (
                f"the print is a laboratory's figure; the bag's standard asks "
                f"{base.standard_minimum_mpa:.1f} MPa, and {OVER_THE_LEAST} times that counts"
            )
            found.append(Allowance("print", f28 / printed_mpa, why))
    if base.bagged and water_l is not None:
        advice = water_advice(bag_kg, water_l)
        if advice.kind == "refused":
            raise OutOfRange(
                f"{water_l:.1f} l of water a bag is more than any bag bears",
                f"stay within {advice.least_l:.1f} to {advice.most_l:.1f} l",
            )
        if advice.kind == "above":
            why = f"more water than the {advice.most_l:.1f} l that the bag allows (Abrams' law)"
            found.append(Allowance("water", advice.f28_factor, why))
    return tuple(found)
