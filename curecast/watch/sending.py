"""Sending all that is due, and telling others of an address that cannot be reached."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import datetime, timedelta

from curecast.alerts.channels.registry import Channel, find_channel
from curecast.alerts.messages import Message, SendReport
from curecast.alerts.outbox import messages, queue, send_due
from curecast.alerts.summary import gather
from curecast.job.layout import Job
from curecast.store.connection import Store
from curecast.store.jobs import find_job, latest_version
from curecast.store.placements import find_placement
from curecast.tracking import stored_job

__all__ = ["UNDELIVERED", "send_all", "tell_others"]

#: The kind of a message that stands in for one that was given up.
UNDELIVERED = "undelivered"
#: A message given up longer ago is old news.
_RECENT = timedelta(days=7)


def send_all(
    store: Store, now: datetime, channels: Callable[[str], Channel] = find_channel
) -> SendReport:
    """Gather what was held back, send what is due, and pass on what was given up.

    Parameters
    ----------
    store : Store
    now : datetime
        [aware]
    channels : callable
        Gives the channel of an address.

    Returns
    -------
    SendReport
    """
    gather(store, now)
    first = send_due(store, now, channels)
    if not tell_others(store, now):
        return first
    second = send_due(store, now, channels)
    return SendReport(first.sent + second.sent, second.queued, first.failed + second.failed)


def tell_others(store: Store, now: datetime) -> int:
    """Queue what an address did not get for the job's other addresses; returns how many.

    Rests on the outbox alone, and does nothing twice: a crash in between loses nothing.
    """
    told = 0
    for lost in _given_up(store, now):
        job = _job_of(store, lost.job)
        for alert in job.alerts if job is not None else ():
            if alert.to != lost.to and _pass_on(store, lost, alert.to, now):
                told += 1
    return told


def _given_up(store: Store, now: datetime) -> list[Message]:
    return [
        m
        for m in messages(store, failed_since=now - _RECENT)
        if m.kind not in (UNDELIVERED, "test") and m.sent_at is None
    ]


def _pass_on(store: Store, lost: Message, to: str, now: datetime) -> bool:
    """One message instead of the lost one; a word a day where this address has it already."""
    with store.write():
        mark = hashlib.sha256(lost.to.encode()).hexdigest()[:12]
        has_it = any(m.key == lost.key and m.to == to for m in messages(store, lost.job))
        which = f"{mark}-{lost.failed_at:%Y-%m-%d}" if has_it else lost.id
        head = (
            f"{lost.shown_to} could not be told: {lost.last_error}.\n"
            f"Mend that address in the job file, or its secret where the watch runs."
        )
        body = head if has_it else f"{head}\nWhat it should have got:\n\n{lost.title}\n{lost.body}"
        title = (
            f"{lost.job}: {lost.shown_to} cannot be reached"
            if has_it
            else f"{lost.title} (for {lost.shown_to})"
        )
        hold = None if has_it else lost.hold
        key = f"{lost.job}/-/{UNDELIVERED}/{hold or '-'}/{which}"
        queued = queue(
            store,
            key,
            UNDELIVERED,
            lost.job,
            hold,
            title,
            body,
            to,
            now,
            at=lost.at,
            first=lost.priority == 0 and not has_it,
        )
    return queued is not None


def _job_of(store: Store, name: str) -> Job | None:
    row = find_job(store, name)
    if row is None:
        return None
    placement = find_placement(store, row)
    poured = placement is not None and placement.state == "poured"
    version = placement.version if placement and poured else latest_version(store, row)
    return stored_job(version)
