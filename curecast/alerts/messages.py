"""What an alert looks like while it waits, while it travels, and in a report."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from curecast.alerts.addresses import redact


@dataclass(frozen=True)
class Outgoing:
    """A message as a channel sends it; ``repeat``: it may have arrived before."""

    key: str
    kind: str
    job: str
    hold: str | None
    title: str
    body: str
    at: datetime
    first: bool = False
    repeat: bool = False


@dataclass(frozen=True)
class Message:
    """A message in the outbox. ``to`` may hold secrets: show ``shown_to``."""

    id: str
    key: str
    kind: str
    priority: int
    job: str
    hold: str | None
    title: str
    body: str
    to: str = field(repr=False)
    due_at: datetime
    at: datetime
    recorded_at: datetime
    claimed_by: str | None
    lease_until: datetime | None
    tries: int
    next_at: datetime
    sent_at: datetime | None
    failed_at: datetime | None
    overtaken_at: datetime | None
    last_error: str

    @property
    def shown_to(self) -> str:
        """The address without anything secret."""
        return redact(self.to)

    @property
    def fate(self) -> str:
        """``sent``, ``failed``, ``overtaken`` (a withdrawal made it untrue) or ``waiting``."""
        ends = {"sent": self.sent_at, "failed": self.failed_at, "overtaken": self.overtaken_at}
        return next((fate for fate, at in ends.items() if at is not None), "waiting")


@dataclass(frozen=True)
class Attempt:
    """One step of one try: ``started``, then ``sent``, ``refused``, ``unclear`` or ``stopped``."""

    id: str
    message_id: str
    number: int
    what: str
    error: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class SendReport:
    """One pass: what went out, what still waits, what was given up."""

    sent: tuple[Message, ...]
    queued: tuple[Message, ...]
    failed: tuple[Message, ...]
