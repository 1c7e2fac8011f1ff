"""How long to wait for a web service, and how often to ask."""

from __future__ import annotations

from dataclasses import dataclass, replace

__all__ = ["PATIENCE", "Patience"]


@dataclass(frozen=True)
class Patience:
    """How long to wait and how often to ask; all ASSUMED after the service's known failures.

    Times in s; ``total_s`` bounds everything that one caller asks.
    """

    connect_s: float = 5.0
    read_s: float = 20.0
    total_s: float = 40.0
    tries: int = 4
    backoff_s: float = 0.5
    longest_wait_s: float = 10.0

    def within(self, total_s: float) -> Patience:
        """The same within another total, with time for a second try. [s]"""
        return replace(
            self,
            connect_s=min(self.connect_s, 0.25 * total_s),
            read_s=min(self.read_s, 0.5 * total_s),
            total_s=total_s,
            backoff_s=min(self.backoff_s, total_s / 80.0),
        )


PATIENCE = Patience()
