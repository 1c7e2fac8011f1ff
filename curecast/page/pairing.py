"""Which phones may see the page: a code that is good once, and the key that signs their cookies."""

from __future__ import annotations

import hmac
import os
import re
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from curecast.errors import StoreError
from curecast.page.throttle import Throttle
from curecast.store.place import make_data_folder

__all__ = ["CODE_LASTS_S", "Pairing", "forget_phones", "signing_key"]

#: How long a code is good, and how many wrong ones spoil it. [s]
CODE_LASTS_S = 600.0
_WRONG_CODES = 5
#: After a code was spoiled, no new one is shown for so long. [s]
_REST_S = 60.0
_KEY_FILE = "page.key"


@dataclass
class Pairing:
    """Codes, one at a time; each pairs one phone.

    Parameters
    ----------
    say : callable
        Shows a new code to whoever sits at this computer.
    clock : callable
        Steady seconds.
    """

    say: Callable[[str], None]
    clock: Callable[[], float] = time.monotonic
    _code: str = ""
    _until_s: float = 0.0
    _wrong: int = 0
    _rest_until_s: float = float("-inf")
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _tries: Throttle | None = None

    def __post_init__(self) -> None:
        # Five tries at once from one sender, then one in two minutes.
        self._tries = Throttle(burst=5, per_s=1.0 / 120.0, clock=self.clock)

    def ask(self) -> str:
        """The code that is good now; a new one is said aloud. Empty while it rests."""
        with self._lock:
            now = self.clock()
            if self._code and now < self._until_s:
                return self._code
            if now < self._rest_until_s:
                return ""
            number = secrets.randbelow(10**8)
            self._code = f"{number // 10**4:04d} {number % 10**4:04d}"
            self._until_s, self._wrong = now + CODE_LASTS_S, 0
            code = self._code
        self.say(code)
        return code

    def take(self, given: str, sender: str) -> bool | None:
        """Whether a code is the good one; it is spent then. None: too many tries.

        Parameters
        ----------
        given : str
            As typed.
        sender : str
            Whose tries are counted.
        """
        assert self._tries is not None
        if not self._tries.allows(sender):
            return None
        digits = re.sub(r"[^0-9]", "", given)[:16]
        with self._lock:
            now = self.clock()
            good = self._code.replace(" ", "") if now < self._until_s else ""
            right = bool(good) and hmac.compare_digest(digits, good)
            self._wrong += not right
            if right:
                self._code = ""
            elif self._wrong >= _WRONG_CODES and self._code:
                self._code, self._rest_until_s = "", now + _REST_S
            return right


def signing_key(home: str | Path | None = None) -> bytes:
    """The key of this data folder that signs cookies, made on first use, readable by its owner."""
    path = make_data_folder(home) / _KEY_FILE
    try:
        if not path.exists():
            fresh = path.with_name(f"{_KEY_FILE}.{os.getpid()}")
            with open(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
                file.write(secrets.token_bytes(32))
            fresh.replace(path)
        key = path.read_bytes()
    except OSError as error:
        raise StoreError(f"{path} cannot be used: {error.strerror}", "make it yours") from error
    if len(key) != 32:
        raise StoreError(f"{path} is damaged", "remove it; paired phones then pair again")
    return key


def forget_phones(home: str | Path | None = None) -> None:
    """Make every cookie worthless: all phones have to pair again."""
    (make_data_folder(home) / _KEY_FILE).unlink(missing_ok=True)
