"""Ids that sort by time and never meet, whichever store they were made in.

The layout is that of RFC 9562 (2024), section 5.7, UUID version 7: 48 bits of Unix
milliseconds, 12 bits that here count the fraction of the millisecond (section 6.2,
method 3), then 62 random bits.
"""

from __future__ import annotations

import os
import threading
import time

__all__ = ["new_id"]

_lock = threading.Lock()
_last_tick = 0


def new_id(after: str | None = None) -> str:
    """A new id, later than every id that this process made before.

    Parameters
    ----------
    after : str or None
        An id that the new one must follow even if the computer's clock was set back.

    Returns
    -------
    str
        36 characters in the usual form of a UUID; text order is time order.

    Examples
    --------
    >>> first = new_id()
    >>> first < new_id() < new_id(after="ffff0000-0000-7000-8000-000000000000")
    True
    """
    global _last_tick
    with _lock:
        tick = max(time.time_ns() * 4096 // 1_000_000, _last_tick + 1)
        _last_tick = tick
    if after is not None:
        tick = max(tick, _tick(after) + 1)
    return _text(tick, int.from_bytes(os.urandom(8), "big") >> 2)


def _text(tick: int, chance: int) -> str:
    milliseconds, fraction = divmod(tick, 4096)
    value = milliseconds << 80 | 7 << 76 | fraction << 64 | 2 << 62 | chance
    digits = f"{value:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def _tick(text: str) -> int:
    digits = text.replace("-", "")
    return int(digits[:12], 16) * 4096 + int(digits[13:16], 16)
