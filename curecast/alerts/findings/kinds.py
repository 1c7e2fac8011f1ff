"""What may be worth saying: one frozen finding for each kind of news, with a key for ever."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.clock import from_unix_h
from curecast.prospect.record import Seen
from curecast.prospect.standing import HoldAnswer

__all__ = [
    "DAILY",
    "KINDS",
    "BarredTogether",
    "BetterDay",
    "DateMoved",
    "DayChanged",
    "Finding",
    "FreezeAhead",
    "HoldChanged",
    "ProtectionFailing",
    "ReadingWanted",
    "Said",
    "Source",
    "key_of",
    "revision",
    "stamp",
]

#: Every kind, the most pressing first: the order of the queue.
KINDS = (
    "withdrawn",
    "barred",
    "freeze",
    "failing",
    "rain",
    "day-worse",
    "reading",
    "weather-lost",
    "released",
    "signed-off",
    "lifted",
    "uncover",
    "test-due",
    "moved",
    "day-restored",
    "day-better",
)

#: What a daily summary may hold back, where one is asked for.
DAILY = ("weather-lost", "test-due", "moved", "day-restored", "day-better")


@dataclass(frozen=True)
class Said:
    """A message that was queued before: its key, and when that was, hours since 1970."""

    key: str
    at_h: float


@dataclass(frozen=True)
class Source:
    """The forecast that a finding rests on: who made it, and when (hours since 1970)."""

    name: str
    issued_h: float


@dataclass(frozen=True, kw_only=True)
class Finding:
    """News about a job.

    ``key`` names the event for ever; ``at_h`` is when it happened and ``now_h`` the present,
    both in hours since 1970; ``last`` is the last reading, None where there is none.
    """

    key: str
    kind: str
    job: str
    at_h: float
    now_h: float
    hold: str | None = None
    last: Seen | None = None
    can_wait: bool = True

    @property
    def priority(self) -> int:
        """Place in the queue: a withdrawal comes first."""
        return KINDS.index(self.kind)


@dataclass(frozen=True, kw_only=True)
class HoldChanged(Finding):
    """A hold released, signed off, withdrawn or barred; ``by`` signed it off or took it back.

    ``stands`` is the hold now; ``evidence`` the best kind there is; ``tested_mpa`` what a test
    has shown.
    """

    stands: HoldAnswer
    why: str
    evidence: str
    by: str = ""
    tested_mpa: float | None = None


@dataclass(frozen=True, kw_only=True)
class BarredTogether(Finding):
    """Holds that nobody had opened yet, barred at one time for one reason."""

    holds: tuple[str, ...]
    why: str


@dataclass(frozen=True, kw_only=True)
class DateMoved(Finding):
    """The date to count on of a hold moved from ``was_h``, as last said; infinity: none."""

    stands: HoldAnswer
    was_h: float
    evidence: str


@dataclass(frozen=True, kw_only=True)
class ReadingWanted(Finding):
    """The evidence lapses at ``by_h``, or did; ``holds`` wait for it."""

    by_h: float
    holds: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class FreezeAhead(Finding):
    """Concrete (or else only the air) may reach 0 °C at ``when_h`` while it is young.

    ``chance`` of what is named in ``of``; ``coldest_c`` one in ten of the concrete goes below;
    ``safe_h`` frost-safe by nine of ten; ``covered`` by the log or the plan at that hour.
    """

    of: str
    when_h: float
    chance: float
    chance_concrete: float
    coldest_c: float
    safe_h: float
    cover_by_h: float
    covered: bool
    source: Source | None


@dataclass(frozen=True, kw_only=True)
class ProtectionFailing(Finding):
    """The concrete read ``seen``, below ``least_c``, while it is not frost-safe."""

    seen: Seen
    least_c: float
    rule: str
    near_frost: bool


@dataclass(frozen=True, kw_only=True)
class DayChanged(Finding):
    """The chosen start has another verdict than was last said."""

    start_h: float
    verdict: str
    was: str
    reasons: tuple[str, ...]
    chance_freeze: float
    coldest_c: float
    source: Source


@dataclass(frozen=True, kw_only=True)
class BetterDay(Finding):
    """Another start is better than the chosen one."""

    start_h: float
    verdict: str
    better_h: float
    better: str
    reasons: tuple[str, ...]
    chance_freeze: float
    coldest_c: float
    source: Source


def key_of(job: str, placement_id: str, kind: str, hold: str | None, revision: str) -> str:
    """The name of an event.

    Examples
    --------
    >>> key_of("crane-base", "0190", "moved", "drill", "1.2027-04-03T14Z")
    'crane-base/0190/moved/drill/1.2027-04-03T14Z'
    """
    return f"{job}/{placement_id}/{kind}/{hold or '-'}/{revision}"


def revision(key: str) -> str:
    """The last part of a key."""
    return key.rpartition("/")[2]


def stamp(unix_h: float) -> str:
    """An instant inside a key, to the hour, in UTC.

    Examples
    --------
    >>> stamp(501477.0)
    '2027-03-17T21Z'
    """
    return f"{from_unix_h(unix_h):%Y-%m-%dT%HZ}"
