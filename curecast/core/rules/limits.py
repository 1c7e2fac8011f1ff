"""The thresholds that judge a start: the rule set's own, made stricter where the job asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from curecast.core.rules.tables import (
    HOT_WARN_C,
    THIN_REMOVAL_K,
    least_maintained_c,
    most_placed_c,
    rule_set,
)

KEPT, AT_RISK, BROKEN = "kept", "at-risk", "broken"


@dataclass(frozen=True)
class Limits:
    """Every threshold of the rules.

    Parameters
    ----------
    cold_air_c : float
        Air below this makes cold weather. [°C]
    freeze_strength_mpa : float
        Strength at which concrete stands one freeze. [MPa]
    least_temperature_c : float
        Least temperature of protected concrete. [°C]
    hot_limit_c, warm_limit_c : float
        Concrete as placed: stop, and warn. [°C]
    cold_source, frost_source, least_source, hot_source : str
        Where those stand. [-]
    strict : bool
        Whether the rule set's advice binds. [-]
    freeze_limit_c : float
        No place of the concrete at or below this while it is young: 0 °C and a margin. [°C]
    protection_time_h : float
        Least length of protection. [h]
    ground_limit_c : float
        Ground at or below this is as good as frozen (ASSUMED). [°C]
    evaporation_warn_kg_m2_h, evaporation_limit_kg_m2_h : float
        Plastic cracking: 0.1 and 0.2 lb/ft2/h, ACI 305R. [kg/m2/h]
    uncover_drop_k : float
        Face above the air when a cover comes off (ASSUMED). [K]
    chance_kept, chance_at_risk : float
        Chance of breaking up to which a rule counts as kept, and as at risk. [-]
    """

    cold_air_c: float
    freeze_strength_mpa: float
    least_temperature_c: float
    hot_limit_c: float
    cold_source: str
    frost_source: str
    least_source: str
    hot_source: str
    warm_limit_c: float = HOT_WARN_C
    strict: bool = False
    freeze_limit_c: float = 0.5
    protection_time_h: float = 72.0
    ground_limit_c: float = 1.0
    evaporation_warn_kg_m2_h: float = 0.5
    evaporation_limit_kg_m2_h: float = 0.976
    uncover_drop_k: float = THIN_REMOVAL_K
    chance_kept: float = 0.05
    chance_at_risk: float = 0.20

    def verdict(self, chance: float) -> str:
        """Kept, at risk or broken by a chance of breaking; NaN is broken.

        Parameters
        ----------
        chance : float
            0..1. [-]

        Returns
        -------
        str
            ``kept``, ``at-risk`` or ``broken``. [-]
        """
        if chance <= min(self.chance_kept, self.chance_at_risk):
            return KEPT
        return AT_RISK if chance <= self.chance_at_risk else BROKEN


def limits_of(
    name: str, thickness_m: float, *, strict: bool = False, own: Mapping[str, float] | None = None
) -> Limits:
    """The thresholds for one slab.

    Parameters
    ----------
    name : str
        ``ACI``, ``EN`` or ``CSA``. [-]
    thickness_m : float
        Least dimension of the slab. [m]
    strict : bool
        Whether the rule set's advice binds. [-]
    own : mapping of str to float, optional
        The job's own thresholds by the names of ``Limits``; the job file has seen to it that
        they are stricter. [the threshold's unit]

    Returns
    -------
    Limits
        All thresholds. [various]

    Examples
    --------
    >>> limits_of("ACI", 0.15).least_temperature_c
    13.0
    """
    rules = rule_set(name)
    least_c, least_source = least_maintained_c(name, thickness_m)
    hot_c, hot_source = most_placed_c(name, thickness_m)
    found = Limits(
        cold_air_c=rules.cold_air_c,
        freeze_strength_mpa=rules.frost_strength_mpa,
        least_temperature_c=least_c,
        hot_limit_c=hot_c,
        cold_source=rules.cold_source,
        frost_source=rules.frost_source,
        least_source=least_source,
        hot_source=hot_source,
        strict=strict,
    )
    found = replace(found, warm_limit_c=min(HOT_WARN_C, hot_c))
    return replace(found, **(own or {}))  # type: ignore[arg-type]
