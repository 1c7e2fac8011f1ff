"""What was done and seen at a slab, free of any database."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Seen:
    """One reading: hours since 1970, °C, where it was taken, depth in m where that counts."""

    at_h: float
    value_c: float
    where: str
    depth_m: float | None = None


@dataclass(frozen=True)
class Done:
    """One thing done: ``cover``, ``heater``, ``look``, ``torque``, ``strip`` with its numbers."""

    at_h: float
    kind: str
    numbers: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Tested:
    """One strength test: hours since 1970, MPa, what kind."""

    at_h: float
    strength_mpa: float
    kind: str


@dataclass(frozen=True)
class Signed:
    """One sign-off or its end, by whom and why."""

    at_h: float
    hold: str
    by: str
    reason: str
    withdrawn: bool = False


@dataclass(frozen=True)
class Record:
    """A poured slab as it was: instants are hours since 1970-01-01T00:00 UTC.

    ``states`` are the holds' states as last recorded; ``observed`` pairs of hour and air.
    """

    start_h: float
    end_h: float | None = None
    placed_c: float | None = None
    bags: float | None = None
    water_l_per_bag: float | None = None
    seen: tuple[Seen, ...] = ()
    done: tuple[Done, ...] = ()
    tested: tuple[Tested, ...] = ()
    signed: tuple[Signed, ...] = ()
    observed: tuple[tuple[float, float], ...] = ()
    states: dict[str, str] = field(default_factory=dict)
