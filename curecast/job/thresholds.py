"""Single thresholds of the rules that a job may change, and only towards stricter."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.errors import InputError
from curecast.job.fields import Reader, number, quantity, say_value
from curecast.quantities import show_quantity


@dataclass(frozen=True)
class Threshold:
    """One threshold: where it starts, and to which side it may move.

    ``furthest`` is the strictest value that still makes sense, in the SI unit of ``kind``.
    """

    key: str
    attr: str
    kind: str
    usual: float
    furthest: float


#: What [rules] may change. Values and sources: the rules themselves.
THRESHOLDS = (
    Threshold("freeze_limit", "freeze_limit_c", "temperature", 0.5, 10.0),
    Threshold("freeze_strength", "freeze_strength_mpa", "strength", 3.5, 20.0),
    Threshold("protection_time", "protection_time_h", "time", 72.0, 28 * 24.0),
    Threshold("least_temperature", "least_temperature_c", "temperature", 13.0, 25.0),
    Threshold("ground_limit", "ground_limit_c", "temperature", 1.0, 15.0),
    Threshold("warm_limit", "warm_limit_c", "temperature", 32.0, 20.0),
    Threshold("hot_limit", "hot_limit_c", "temperature", 35.0, 20.0),
    Threshold("evaporation_warn", "evaporation_warn_kg_m2_h", "evaporation", 0.5, 0.05),
    Threshold("evaporation_limit", "evaporation_limit_kg_m2_h", "evaporation", 0.976, 0.1),
    Threshold("uncover_drop", "uncover_drop_k", "temperature difference", 11.0, 2.0),
    Threshold("chance_kept", "chance_kept", "", 0.05, 0.001),
    Threshold("chance_at_risk", "chance_at_risk", "", 0.20, 0.001),
)


def threshold_reader(threshold: Threshold) -> Reader:
    """Read one threshold; a value on the lenient side of the usual one is refused."""
    low, high = sorted((threshold.usual, threshold.furthest))
    stricter_is_higher = threshold.furthest > threshold.usual
    any_value = number(0, 1) if not threshold.kind else quantity(threshold.kind, -1e9, 1e9)

    def read(value: object, units: str) -> float:
        found = float(any_value(value, units))
        if low - 1e-9 <= found <= high + 1e-9:
            return found

        def show(si: float) -> str:
            return show_quantity(si, threshold.kind, units) if threshold.kind else f"{si:g}"

        lenient = (found < low) if stricter_is_higher else (found > high)
        if lenient:
            raise InputError(
                f"{say_value(value)} is more lenient than the rule's {show(threshold.usual)}",
                "a threshold can only be made stricter",
            )
        raise InputError(f"{say_value(value)} lies outside {show(low)} to {show(high)}")

    return read
