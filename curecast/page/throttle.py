"""How often one sender may ask: a bucket that fills slowly."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

__all__ = ["Throttle"]

#: So many senders are remembered.
_SENDERS = 2000


@dataclass
class Throttle:
    """A bucket of turns for each sender.

    Parameters
    ----------
    burst : float
        Turns in a full bucket.
    per_s : float
        Turns that come back in a second.
    clock : callable
        Steady seconds.

    Examples
    --------
    >>> throttle = Throttle(burst=2, per_s=0.1, clock=lambda: 0.0)
    >>> [throttle.allows("phone") for _ in range(3)]
    [True, True, False]
    """

    burst: float
    per_s: float
    clock: Callable[[], float] = time.monotonic
    _left: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def allows(self, sender: str) -> bool:
        """Take a turn; False where none is left."""
        with self._lock:
            now = self.clock()
            left, since = self._left.pop(sender, (self.burst, now))
            left = min(self.burst, left + (now - since) * self.per_s)
            self._left[sender] = (left - 1.0 if left >= 1.0 else left, now)
            while len(self._left) > _SENDERS:
                self._left.popitem(last=False)
            return left >= 1.0
