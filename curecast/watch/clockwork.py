"""The clockwork of the watch: what it knows is in the store, the scheduler only wakes it.

A tick drains the outbox and shows a sign of life; a pass refreshes and judges. Work that was
missed while the computer slept is done once on waking; a clock that was set back does not
leave the watch waiting for a time long gone.
"""

from __future__ import annotations

import json
import os
import platform
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from curecast.clock import utc_now
from curecast.errors import CurecastError
from curecast.store.connection import Store
from curecast.store.identity import new_id
from curecast.store.watching import LEASE, Gap, end_watch, sign_of_life
from curecast.watch.passing import WatchReport

__all__ = ["PASS_EVERY_S", "TICK_EVERY_S", "Clockwork", "sign_file"]

#: Between two passes; a weather service is only asked when it is due by its own terms. [s]
PASS_EVERY_S = 600.0
#: Between two looks at the outbox. [s]
TICK_EVERY_S = 20.0
#: How often a clock that was set back is looked for. [s]
_LOOK_EVERY_S = 2.0
#: A clock that goes back by more than this was set. [s]
_SET_BACK_S = 30.0
#: A watch that runs on is silent for no longer than this, unless it slept.
_ASLEEP = timedelta(minutes=15)


def sign_file(store: Store) -> Path | None:
    """Where an outside monitor can see that somebody watches; None without a file store."""
    return None if store.file is None else store.file.with_name("watch.json")


@dataclass
class Clockwork:
    """One watch that goes on until it is stopped.

    Parameters
    ----------
    store : Store
    clock : callable
        The present. [aware]
    one_pass : callable
        Takes the present: refreshes, judges, queues and sends.
    send : callable
        Takes the present: sends what is due.
    say : callable
        Takes what is to be known.
    pass_every_s, tick_every_s : float
        [s]
    """

    store: Store
    clock: Callable[[], datetime]
    one_pass: Callable[[datetime], WatchReport]
    send: Callable[[datetime], WatchReport]
    say: Callable[[WatchReport], None]
    pass_every_s: float = PASS_EVERY_S
    tick_every_s: float = TICK_EVERY_S
    stop: threading.Event = field(default_factory=threading.Event)
    owner: str = field(default_factory=new_id)
    standing_by: bool = False
    _passed_at: datetime | None = None
    _gaps: deque[Gap] = field(default_factory=deque)
    _signing: threading.Lock = field(default_factory=threading.Lock)

    def run(self) -> None:
        """Watch until ``stop`` is set; then finish what is under way and let go."""
        from apscheduler.schedulers.background import BackgroundScheduler

        defaults = {"coalesce": True, "misfire_grace_time": None, "max_instances": 1}
        scheduler: Any = BackgroundScheduler(timezone=UTC, job_defaults=defaults)
        for work, every_s in ((self.tick, self.tick_every_s), (self.refresh, self.pass_every_s)):
            scheduler.add_job(work, "interval", seconds=every_s, next_run_time=utc_now())
        scheduler.start()
        try:
            self._look_at_the_clock(scheduler)
        finally:
            scheduler.shutdown(wait=True)
            end_watch(self.store, self.owner, self.clock())
            self._show_sign(ended=True)

    def tick(self) -> None:
        """Show a sign of life and send what is due."""
        self._guarded(lambda: self.send(self.clock()))

    def refresh(self) -> None:
        """One whole pass."""

        def work() -> WatchReport:
            done = self.one_pass(self.clock())
            self._passed_at = self.clock()
            self.sign(passed=True)
            return done

        self._guarded(work)

    def sign(self, *, passed: bool = False) -> bool:
        """Say that this watch lives; False where another one holds the lease.

        A gap is kept until it is said: the computer may sleep in the middle of a pass.
        """
        with self._signing:  # two at once must not write their times in the wrong order
            mine, gap = sign_of_life(
                self.store, self.owner, _me(), self.clock(), lease=True, passed=passed, gap=_ASLEEP
            )
        if gap is not None:
            self._gaps.append(gap)
        return mine

    def _guarded(self, work: Callable[[], WatchReport]) -> None:
        """Work under the lease; a fault is said, and the watch goes on."""
        try:
            if not self.sign():
                self._stand_by()
                return
            self.standing_by = False
            self._show_sign()
            with _Heartbeat(self):
                done = work()
            self.say(_with_gap(done, self._gaps.popleft()) if self._gaps else done)
        except CurecastError as error:
            self.say(_only_note(f"{error.message}; the watch goes on"))
        except Exception as fault:
            self.say(_only_note(f"a fault in curecast ({type(fault).__name__}: {fault})"))

    def _stand_by(self) -> None:
        if not self.standing_by:
            self.say(
                _only_note(
                    "another watch is at work on this store; this one stands by and takes over "
                    "if that one dies"
                )
            )
        self.standing_by = True

    def _show_sign(self, *, ended: bool = False) -> None:
        path = sign_file(self.store)
        if path is None or (ended and self.standing_by):
            return
        sign = {
            "schema": 1,
            "watching": not ended,
            "alive_at": self.clock().isoformat(),
            "passed_at": None if self._passed_at is None else self._passed_at.isoformat(),
            "good_for_s": LEASE.total_seconds(),
            "who": _me(),
        }
        fresh = path.with_name(f"{path.name}.{os.getpid()}")
        try:
            with self._signing:  # a tick and a pass may come to write it at once
                fresh.write_text(json.dumps(sign), encoding="utf-8")
                fresh.replace(path)
        except OSError as error:
            self.say(
                _only_note(f"the sign of life {path.name} cannot be written: {error.strerror}")
            )

    def _look_at_the_clock(self, scheduler: Any) -> None:
        """Wait for the stop; wake the work at once when the clock was set back."""
        wall, steady = utc_now(), time.monotonic()
        while not self.stop.wait(_LOOK_EVERY_S):
            new_wall, new_steady = utc_now(), time.monotonic()
            if (new_wall - wall).total_seconds() - (new_steady - steady) < -_SET_BACK_S:
                wake(scheduler, new_wall)
            wall, steady = new_wall, new_steady


def wake(scheduler: Any, now: datetime) -> None:
    """Let every work run at once, and by its interval from there."""
    for job in scheduler.get_jobs():
        job.modify(next_run_time=now)


class _Heartbeat:
    """Renews the lease while one long piece of work goes on."""

    def __init__(self, watch: Clockwork) -> None:
        self._watch, self._end = watch, threading.Event()
        self._thread = threading.Thread(target=self._beat, daemon=True)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._end.set()
        self._thread.join()

    def _beat(self) -> None:
        watch = self._watch
        while not self._end.wait(LEASE.total_seconds() / 3.0):
            try:
                watch.sign()
            except CurecastError:
                continue  # the next beat may find the store free


def _me() -> str:
    return f"process {os.getpid()} on {platform.node() or 'this computer'}"


def _only_note(words: str) -> WatchReport:
    return WatchReport((), (), (), (words,))


def _with_gap(done: WatchReport, gap: Gap) -> WatchReport:
    return WatchReport(done.sent, done.queued, done.failed, done.notes, gap)
