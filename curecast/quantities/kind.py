"""What a kind of quantity is: its SI unit and every unit that people may write."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Kind:
    """One kind of quantity.

    ``units`` maps a unit's usual spelling to (factor, offset): SI = factor * value + offset.
    ``aliases`` are other spellings; ``unclear`` are words with more than one meaning and the
    units that they could stand for. ``readings`` are the units named when a number comes bare.
    """

    name: str
    si: str
    units: dict[str, tuple[float, float]]
    readings: tuple[str, ...]
    aliases: dict[str, str] = field(default_factory=dict)
    unclear: dict[str, tuple[str, ...]] = field(default_factory=dict)
    additive: bool = False


def scale(**factors: float) -> dict[str, tuple[float, float]]:
    """Units that are a plain multiple of the SI unit."""
    return {unit: (factor, 0.0) for unit, factor in factors.items()}


def aliases(**spellings: str) -> dict[str, str]:
    """Other spellings, given as words behind the unit that they mean."""
    return {alias: unit for unit, words in spellings.items() for alias in words.split()}
