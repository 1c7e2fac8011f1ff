"""What might be done to a slab, now or later, read as it would be logged."""

from __future__ import annotations

from datetime import datetime

from curecast.tracking.said import Said, find_deed, parts_of

__all__ = ["parse_deeds"]


def parse_deeds(text: str, zone: str | None, now: datetime) -> list[Said]:
    """Read what might be done; what is no deed is left out.

    Parameters
    ----------
    text : str
        For instance ``blanket off``, ``two blankets on 18:00 and heater on 10C``.
    zone : str or None
        The job's zone.
    now : datetime
        [aware]
    """
    found = (find_deed(part, zone, now, None, "future") for part in parts_of(text))
    return [deed for deed in found if deed is not None]
