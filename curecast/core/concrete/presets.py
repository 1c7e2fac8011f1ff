"""The kinds of concrete that people meet, each number with its reason."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.concrete.allowances import LEAST_HIGH_EARLY_MPA, LEAST_NORMAL_MPA
from curecast.core.concrete.water import BAG_80_LB_KG, BASIC_L_80, CEMENT_SHARE, bag_w_c
from curecast.core.heat.cements import (
    SCHINDLER_REFERENCE_C,
    TYPE_I,
    TYPE_III,
    Cement,
    heat_from_composition,
    schindler_activation,
    schindler_beta,
    schindler_tau,
)
from curecast.core.heat.hydration import HeatOfHydration, tau_at_reference, ultimate_degree

REFERENCE_C = 23.0
CUBIC_FOOT_M3 = 0.3048**3
YIELD_M3_KG = 0.60 * CUBIC_FOOT_M3 / BAG_80_LB_KG  # 0.60 ft3 from an 80 lb bag


@dataclass(frozen=True)
class Preset:
    """One kind of concrete, for whoever knows no more than its kind.

    Parameters
    ----------
    name : str
        What the job file calls it. [-]
    bagged : bool
        Whether it comes dry, in bags. [-]
    strength_mpa : float
        Strength printed or specified, where the job gives none. [MPa]
    standard_minimum_mpa : float or None
        The least 28-day strength of the bag's own standard; None for ready-mix. [MPa]
    s : float
        Eurocode's s. [-]
    cement : Cement
        Whose heat parameters stand in. [-]
    cement_kg_m3 : float
        Cement in the concrete. [kg/m3]
    w_c : float
        Water-cement ratio. [-]
    fresh_kg_m3 : float
        Fresh density, for weights. [kg/m3]
    reasons : dict of str
        For each number, where it comes from. [-]
    """

    name: str
    bagged: bool
    strength_mpa: float
    standard_minimum_mpa: float | None
    s: float
    cement: Cement
    cement_kg_m3: float
    w_c: float
    fresh_kg_m3: float
    reasons: dict[str, str]


_BAG_CEMENT_KG_M3 = CEMENT_SHARE / YIELD_M3_KG
_BAG_W_C = bag_w_c(BAG_80_LB_KG, BASIC_L_80)

_BAG_REASONS = {
    "cement_kg_m3": "16 % of the bag (ASSUMED, makers do not print it), 0.60 ft3 from 80 lb",
    "w_c": "about 6 US pt of water to 80 lb, the figure printed first; more water, more heat later",
    "fresh_kg_m3": "80 lb and 6 US pt in 0.60 ft3",
}
_READY_REASONS = {
    "cement_kg_m3": "335 kg/m3 (565 lb/yd3), six sacks a cubic yard: common practice",
    "w_c": "0.50, common practice for small slabs",
    "standard_minimum_mpa": "the specified strength counts as it stands",
}
_TYPE_I = "heat: Schindler & Folliard 2005 for ASTM Type I, from memory, tau carried to 23 °C"
_TYPE_III = "heat: Schindler & Folliard 2005 for ASTM Type III, from memory, tau carried to 23 °C"
_SLOW = "0.38: fits cold-weather data and 1030 laboratory mixes"

PRESETS: dict[str, Preset] = {
    p.name: p
    for p in (
        Preset(
            "bag", True, 27.58, LEAST_NORMAL_MPA, 0.38, TYPE_I,
            _BAG_CEMENT_KG_M3, _BAG_W_C, 2300.0,
            {
                **_BAG_REASONS,
                "strength_mpa": "4000 psi at 28 days, what most general-purpose bags print",
                "standard_minimum_mpa": "ASTM C387 normal strength, 3500 psi, from memory",
                "s": _SLOW,
                "cement": _TYPE_I,
            },
        ),
        Preset(
            "bag-high-early", True, 34.47, LEAST_HIGH_EARLY_MPA, 0.25, TYPE_III,
            _BAG_CEMENT_KG_M3, _BAG_W_C, 2300.0,
            {
                **_BAG_REASONS,
                "strength_mpa": "5000 psi at 28 days, what most high-early bags print",
                "standard_minimum_mpa": "ASTM C387 high-early, 3500 psi at 7 days (from memory), "
                "carried to 28 days",
                "s": "0.25: Eurocode's class N, unless the bag's printed ages say otherwise",
                "cement": _TYPE_III,
            },
        ),
        Preset(
            "ready-mix", False, 20.68, None, 0.38, TYPE_I, 335.0, 0.50, 2350.0,
            {
                **_READY_REASONS,
                "strength_mpa": "3000 psi, the least that is commonly ordered (ASSUMED): "
                "the delivery ticket says it better",
                "s": _SLOW,
                "cement": _TYPE_I,
                "fresh_kg_m3": "common practice",
            },
        ),
        Preset(
            "ready-mix-air", False, 24.13, None, 0.38, TYPE_I, 335.0, 0.50, 2250.0,
            {
                **_READY_REASONS,
                "strength_mpa": "3500 psi, the least for concrete that freezes wet (ACI 306R, "
                "from memory): the delivery ticket says it better",
                "s": _SLOW,
                "cement": _TYPE_I,
                "fresh_kg_m3": "6 % air instead of 2 %: common practice",
            },
        ),
    )
}  # fmt: skip


def preset_heat(preset: Preset, w_c: float, reference_c: float = REFERENCE_C) -> HeatOfHydration:
    """A preset's heat of hydration.

    Parameters
    ----------
    preset : Preset
        The kind of concrete. [-]
    w_c : float
        Water-cement ratio, which sets the degree reached in the end. [-]
    reference_c : float
        Temperature at which tau is to hold. [°C]

    Returns
    -------
    HeatOfHydration
        Schindler's parameters, tau carried once from 21.1 °C to ``reference_c``. [-]
    """
    ea = schindler_activation(preset.cement)
    return HeatOfHydration(
        heat_j_kg=heat_from_composition(preset.cement),
        cement_kg_m3=preset.cement_kg_m3,
        alpha_u=float(ultimate_degree(w_c)),
        tau_h=tau_at_reference(
            schindler_tau(preset.cement), ea, SCHINDLER_REFERENCE_C, reference_c
        ),
        beta=schindler_beta(preset.cement),
        activation_j_mol=ea,
        reference_temperature_c=reference_c,
    )
