"""What a message that is sent late says of itself: its title may name an hour long past."""

from __future__ import annotations

from datetime import datetime, timedelta

from curecast.alerts.messages import Message

__all__ = ["age_words", "late_title"]

#: From here on a message says how late it is, and how old its news. [h]
_LATE_H = 1.0


def late_title(one: Message, now: datetime) -> str:
    """A title that says so when it comes late: "cover it by 21:00" may be long past."""
    late_h = (now - one.due_at) / timedelta(hours=1)
    return one.title if late_h < _LATE_H else f"({late_h:.0f} h late) {one.title}"


def age_words(one: Message, now: datetime) -> str:
    """How late a message is sent, and how old its news is; nothing when both are fresh."""
    late_h, old_h = ((now - at) / timedelta(hours=1) for at in (one.due_at, one.at))
    words = f"Sent {late_h:.0f} h late." if late_h >= _LATE_H else ""
    if old_h - max(late_h, 0.0) >= _LATE_H and one.kind != "summary":
        words += f"{' ' if words else ''}It happened {old_h:.0f} h ago."
    return f"\n{words}" if words else ""
