"""What ``watch`` and ``alerts`` say: what went out, what waits, what was given up."""

from __future__ import annotations

from typing import Any

from curecast.alerts.messages import Message
from curecast.store.watching import Gap
from curecast.watch import WatchReport


def message_json(message: Message) -> dict[str, Any]:
    """A message as ``watch`` answers it; its address without anything secret."""
    return {
        "key": message.key,
        "kind": message.kind,
        "job": message.job,
        "hold": message.hold,
        "title": message.title,
        "to": message.shown_to,
        "due_at": message.due_at,
        "sent_at": message.sent_at,
        "tries": message.tries,
        "last_error": message.last_error,
    }


def watch_json(done: WatchReport, gap: Gap | None) -> dict[str, Any]:
    """A pass as ``--json`` answers it."""
    return {
        "sent": [message_json(m) for m in done.sent],
        "queued": [message_json(m) for m in done.queued],
        "failed": [message_json(m) for m in done.failed],
        "notes": list(done.notes),
        "not_watched": None if gap is None else {"from": gap.since, "to": gap.until},
    }


def watch_lines(done: WatchReport, gap: Gap | None = None) -> list[str]:
    """One line for each message and note."""
    lines = [] if gap is None else [gap_words(gap)]
    lines += [f"sent to {m.shown_to}: {m.title}" for m in done.sent]
    lines += [f"waiting for {m.shown_to}: {m.title}{_why(m)}" for m in done.queued]
    lines += [f"GIVEN UP, to {m.shown_to}: {m.title}{_why(m)}" for m in done.failed]
    lines += [f"mind: {note}" for note in done.notes]
    return lines or ["nothing is due"]


def gap_words(gap: Gap) -> str:
    """When nobody watched."""
    since, until = (f"{at:%Y-%m-%d %H:%MZ}" for at in (gap.since, gap.until))
    return f"not watched from {since} to {until}"


def _why(message: Message) -> str:
    return f" ({message.last_error})" if message.last_error else ""
