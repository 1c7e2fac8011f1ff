"""Single thresholds of the rules that a job may change, and only towards stricter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from curecast.core.rules.tables import (
    HOT_WARN_C,
    RULE_SETS,
    THIN_REMOVAL_K,
    least_maintained_c,
    most_placed_c,
)
from curecast.errors import InputError
from curecast.job.fields import Reader, number, quantity, say_value
from curecast.job.findings import Findings
from curecast.quantities import show_quantity

#: The usual value, from the name of the rule set and the slab's thickness in m.
Usual = Callable[[str, float], float]


@dataclass(frozen=True)
class Threshold:
    """One threshold: its usual value, and the strictest that still makes sense.

    Both are in the SI unit of ``kind``; "" is a bare number. ``attr`` is its name in
    ``RuleChoice.thresholds``.
    """

    key: str
    attr: str
    kind: str
    usual: Usual
    furthest: float


def _always(value: float) -> Usual:
    return lambda name, thickness_m: value


#: What [rules] may change. Sources: the rules' own tables; chances and margins as the rules judge.
THRESHOLDS = (
    Threshold("freeze_limit", "freeze_limit_c", "temperature", _always(0.5), 10.0),
    Threshold(
        "freeze_strength",
        "freeze_strength_mpa",
        "strength",
        lambda name, _: RULE_SETS[name].frost_strength_mpa,
        20.0,
    ),
    Threshold("protection_time", "protection_time_h", "time", _always(72.0), 28 * 24.0),
    Threshold(
        "least_temperature",
        "least_temperature_c",
        "temperature",
        lambda name, thickness_m: least_maintained_c(name, thickness_m)[0],
        25.0,
    ),
    Threshold("ground_limit", "ground_limit_c", "temperature", _always(1.0), 15.0),
    Threshold("warm_limit", "warm_limit_c", "temperature", _always(HOT_WARN_C), 15.0),
    Threshold(
        "hot_limit",
        "hot_limit_c",
        "temperature",
        lambda name, thickness_m: most_placed_c(name, thickness_m)[0],
        15.0,
    ),
    Threshold("evaporation_warn", "evaporation_warn_kg_m2_h", "evaporation", _always(0.5), 0.05),
    Threshold("evaporation_limit", "evaporation_limit_kg_m2_h", "evaporation", _always(0.976), 0.1),
    Threshold(
        "uncover_drop", "uncover_drop_k", "temperature difference", _always(THIN_REMOVAL_K), 2.0
    ),
    Threshold("chance_kept", "chance_kept", "", _always(0.05), 0.001),
    Threshold("chance_at_risk", "chance_at_risk", "", _always(0.20), 0.001),
)
#: A warning threshold, and the limit that it has to come before.
_IN_ORDER = (
    ("chance_kept", "chance_at_risk"),
    ("warm_limit", "hot_limit"),
    ("evaporation_warn", "evaporation_limit"),
)
_BY_KEY = {t.key: t for t in THRESHOLDS}


def threshold_reader(threshold: Threshold) -> Reader:
    """Read one threshold; whether it is stricter shows only with the rule set and the slab."""
    any_value = quantity(threshold.kind, -1e9, 1e9) if threshold.kind else number(-1e9, 1e9)

    def read(value: object, units: str) -> float:
        found = float(any_value(value, units))
        usual = threshold.usual("ACI", 0.15)
        beyond = found > threshold.furthest
        if beyond if threshold.furthest > usual else found < threshold.furthest:
            raise InputError(f"{say_value(value)} is stricter than makes sense")
        return found

    return read


def check_thresholds(
    own: Mapping[str, float], rule_set: str, thickness_m: float, findings: Findings
) -> None:
    """Refuse every threshold that is more lenient than the rule set's own."""
    values = {t.key: t.usual(rule_set, thickness_m) for t in THRESHOLDS}
    for t in THRESHOLDS:
        if t.attr not in own:
            continue
        usual, found = values[t.key], own[t.attr]
        slack = 1e-6 * max(1.0, abs(usual))
        if found < usual - slack if t.furthest > usual else found > usual + slack:
            shown = show_quantity(usual, t.kind, findings.units, 1) if t.kind else f"{usual:g}"
            findings.add(
                ("rules", t.key),
                f"this is more lenient than the rule's {shown}",
                "a threshold can only be made stricter",
            )
        values[t.key] = found
    for warning, limit in _IN_ORDER:
        given = [key for key in (warning, limit) if _BY_KEY[key].attr in own]
        if given and values[warning] > values[limit] + 1e-9 and _BY_KEY[warning].attr in own:
            findings.add(("rules", given[-1]), "the warning would come after the limit")
