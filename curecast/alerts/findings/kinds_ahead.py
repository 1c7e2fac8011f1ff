"""More kinds of news: from the sky, and of what ends a wait."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.alerts.findings.kinds import Finding, Source
from curecast.prospect.standing import HoldAnswer

__all__ = ["BarLifted", "CoverMayGo", "RainAhead", "TestDue", "WeatherLost"]


@dataclass(frozen=True, kw_only=True)
class BarLifted(Finding):
    """A hold that was barred is not any more, and is not open either."""

    stands: HoldAnswer
    why: str


@dataclass(frozen=True, kw_only=True)
class CoverMayGo(Finding):
    """Protection may end while a cover still lies; ``drop_k`` in 24 h is the most."""

    stands: HoldAnswer
    drop_k: float
    rule: str
    slab_c: float
    air_c: float


@dataclass(frozen=True, kw_only=True)
class RainAhead(Finding):
    """Rain with ``chance`` from ``when_h``, before final set at ``set_h``."""

    when_h: float
    set_h: float
    chance: float
    source: Source | None


@dataclass(frozen=True, kw_only=True)
class WeatherLost(Finding):
    """The newest forecast is so old that the doubt has grown; ``waiting`` depend on it."""

    source: Source
    ends_h: float
    waiting: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TestDue(Finding):
    """A strength test would likely show now what ``holds`` need, and nine of ten do not."""

    __test__ = False

    holds: tuple[str, ...]
    stands: HoldAnswer
