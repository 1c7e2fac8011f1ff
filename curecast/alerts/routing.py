"""Which news goes to which address, and when: what was asked for, and quiet hours."""

from __future__ import annotations

from datetime import datetime, timedelta

from curecast.alerts.findings import DAILY, KINDS, Finding
from curecast.alerts.outbox import WITHDRAWALS
from curecast.clock import local_hour, parse_span, within_span
from curecast.job.layout import HOLDS, AlertTo

__all__ = ["due_at", "keeps_quiet", "unknown_words", "wants"]

#: Other words that people use, and what they mean.
_MEANS = {
    "frost": ("freeze", "failing"),
    "day": ("day-worse", "day-restored", "day-better"),
    "readings": ("reading",),
    "dates": ("moved",),
}


def wants(alert: AlertTo, finding: Finding) -> bool:
    """Whether an address is told of this.

    Parameters
    ----------
    alert : AlertTo
        ``what`` names kinds or holds; empty, or without one known word, means everything.
    finding : Finding
        The news. What takes a permission back goes to every address.
    """
    asked = [name for said in alert.what for name in _MEANS.get(said, (said,))]
    known = [name for name in asked if name in KINDS or name in HOLDS]
    return not known or finding.kind in (*WITHDRAWALS, *known) or finding.hold in known


def keeps_quiet(hushed: frozenset[str | None], finding: Finding) -> bool:
    """Whether a job, or the hold, was told to keep quiet about this.

    Parameters
    ----------
    hushed : frozenset of str or None
        Holds; None among them stands for the whole job.
    finding : Finding
        What takes a permission back, and what cannot wait, is said all the same.
    """
    if finding.kind in WITHDRAWALS or not finding.can_wait:
        return False
    return None in hushed or (finding.hold is not None and finding.hold in hushed)


def unknown_words(alert: AlertTo) -> list[str]:
    """The words of ``what`` that name neither a kind nor a hold."""
    return [w for w in alert.what if w not in KINDS and w not in HOLDS and w not in _MEANS]


def due_at(alert: AlertTo, finding: Finding, now: datetime, zone: str | None) -> datetime:
    """When a message may go: at once, with the daily summary, or when quiet hours end.

    Parameters
    ----------
    alert : AlertTo
        ``quiet`` such as ``21:00-06:00``, and ``daily`` such as ``7:00``, local time.
    finding : Finding
        Freeze and withdrawal never wait.
    now : datetime
        [aware]
    zone : str or None
        The job's.
    """
    if not finding.can_wait:
        return now
    if alert.daily is not None and finding.kind in DAILY:
        now = now + timedelta(hours=(alert.daily - local_hour(now, zone)) % 24.0)
    if alert.quiet is None:
        return now
    span = parse_span(alert.quiet)
    if not within_span(now, zone, span):
        return now
    until = now + timedelta(hours=(span[1] - local_hour(now, zone)) % 24.0)
    # A clock change in between: an hour late is no harm.
    return until + timedelta(hours=1) if within_span(until, zone, span) else until
