"""What the store remembers of the services: when each was asked, and what it wants."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.clock import from_unix_h, unix_h
from curecast.store.askings import OUTCOMES, add_asking, latest_asking
from curecast.store.connection import Store

__all__ = ["Memory", "Past"]


@dataclass(frozen=True)
class Past:
    """One asking of the past: when [h], what came of it, and what was noted."""

    at_h: float
    outcome: str
    payload: dict[str, Any]

    def number(self, key: str) -> float | None:
        """A number that was noted."""
        value = self.payload.get(key)
        return float(value) if isinstance(value, int | float) else None


@dataclass(frozen=True)
class Memory:
    """What is remembered for one place at one time; without a store, nothing.

    Parameters
    ----------
    store : Store or None
    place : str
        As for kept forecasts.
    now_h : float
        The present, since 1970-01-01T00:00 UTC. [h]
    """

    store: Store | None
    place: str
    now_h: float

    def last(self, service: str, what: str, *outcomes: str) -> Past | None:
        """The last asking with one of these outcomes (none named: with any)."""
        if self.store is None:
            return None
        wanted, now = outcomes or OUTCOMES, from_unix_h(self.now_h)
        row = latest_asking(self.store, service, self.place, what, now, wanted)
        return None if row is None else Past(unix_h(row.at), row.outcome, row.payload)

    def note(self, service: str, what: str, outcome: str, payload: dict[str, Any]) -> None:
        """Keep that a service was asked now."""
        if self.store is not None:
            now = from_unix_h(self.now_h)
            add_asking(self.store, service, self.place, what, outcome, now, payload)
