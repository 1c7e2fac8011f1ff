"""What the page shows of each slab: worked out beside the requests, once for each state of the log.

A request only looks: it gets the last answer, and whether that counts in everything logged.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from curecast.clock import unix_h
from curecast.errors import CurecastError
from curecast.job.layout import Job
from curecast.page.glance import Glance, glance_of
from curecast.sources.freshness import check_fresh
from curecast.store.connection import Store
from curecast.store.entry_keys import log_mark
from curecast.store.rows import Placement
from curecast.tracking import (
    assess_and_record,
    governing_job,
    known_forecasts,
    place_of,
    with_zone,
)

__all__ = ["Answers", "Shown"]

#: An answer of that age is worked out anew; until then it serves.
_LASTS = timedelta(minutes=10)
#: An older one is not shown any more: the computer slept.
_OLDEST = timedelta(minutes=60)
#: Where there is no answer, the next try comes after so long.
_AGAIN = timedelta(seconds=20)


@dataclass(frozen=True)
class Shown:
    """The last answer; ``current`` when every row of the log counts in it."""

    glance: Glance | None
    current: bool
    trouble: str = ""


@dataclass(frozen=True)
class _Kept:
    mark: str
    at: datetime
    glance: Glance | None
    trouble: str


@dataclass
class Answers:
    """Works out where slabs stand, one at a time, on a thread of its own.

    Parameters
    ----------
    store : Store
    clock : callable
        The present. [aware]
    units : {"us", "si"} or None
        Whose units; None for each job's.
    debug : bool
        Whether a fault's traceback is printed.
    """

    store: Store
    clock: Callable[[], datetime]
    units: str | None = None
    debug: bool = False
    sky_notes: dict[str, str] = field(default_factory=dict)
    _kept: dict[str, _Kept] = field(default_factory=dict)
    _wanted: dict[str, Placement] = field(default_factory=dict)
    _zones: dict[str, str | None] = field(default_factory=dict)
    _turn: threading.Condition = field(default_factory=threading.Condition)
    _ended: bool = False
    _thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to work."""
        self._thread = threading.Thread(target=self._work, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End after what is under way."""
        with self._turn:
            self._ended = True
            self._turn.notify_all()
        if self._thread is not None:
            self._thread.join(20.0)

    def job_of(self, placement: Placement) -> Job:
        """The job that governs a placement, in the units that are shown."""
        job = governing_job(placement)
        return replace(job, units=self.units or job.units)

    def zone_of(self, placement: Placement) -> str | None:
        """The zone of a slab: its job's own, else the one that a forecast names."""
        job = governing_job(placement)
        if job.site.zone is not None:
            return job.site.zone
        kept = self._kept.get(placement.id)
        if kept is not None and kept.glance is not None:
            return kept.glance.zone
        if placement.id not in self._zones:
            known = known_forecasts(self.store, job, self.clock())
            self._zones[placement.id] = with_zone(job, known).site.zone
        return self._zones[placement.id]

    def ask(self, placement: Placement, wait_s: float = 0.0) -> Shown:
        """The last answer for a poured slab; a new one is begun where it is not current.

        Parameters
        ----------
        placement : Placement
        wait_s : float
            How long to wait for a current one. [s]
        """
        mark, now = self._mark(placement), self.clock()
        end_s = time.monotonic() + wait_s
        with self._turn:
            while True:
                kept = self._kept.get(placement.id)
                good = kept is not None and kept.mark == mark and abs(now - kept.at) < _OLDEST
                lasts = _LASTS if kept is not None and kept.glance is not None else _AGAIN
                if kept is None or not good or abs(now - kept.at) > lasts:
                    self._wanted.setdefault(placement.id, placement)
                    self._turn.notify_all()
                left_s = end_s - time.monotonic()
                if good or left_s <= 0.0 or self._ended or self._thread is None:
                    break
                self._turn.wait(left_s)
        if kept is None:
            return Shown(None, False)
        return Shown(kept.glance, good, kept.trouble)

    def want(self, placement: Placement) -> None:
        """Work out a slab anew when its turn comes."""
        with self._turn:
            self._wanted[placement.id] = placement
            self._turn.notify_all()

    def _mark(self, placement: Placement) -> str:
        return log_mark(self.store, placement, place_of(governing_job(placement)))

    def _work(self) -> None:
        while True:
            with self._turn:
                while not self._wanted and not self._ended:
                    self._turn.wait()
                if self._ended:
                    return
                placement = self._wanted.pop(next(iter(self._wanted)))
            kept = self._worked_out(placement)
            with self._turn:
                self._kept[placement.id] = kept
                self._turn.notify_all()

    def _worked_out(self, placement: Placement) -> _Kept:
        now, mark = self.clock(), ""
        try:
            mark = self._mark(placement)
            return self._judged(placement, mark, now)
        except CurecastError as error:
            return _Kept(mark, now, None, f"{error.message}.")
        except Exception as fault:  # one slab's fault must not end the others' answers
            if self.debug:
                import traceback

                traceback.print_exc()
            return _Kept(mark, now, None, f"A fault in curecast ({type(fault).__name__}).")

    def _judged(self, placement: Placement, mark: str, now: datetime) -> _Kept:
        job = self.job_of(placement)
        known = known_forecasts(self.store, job, now)
        note = self.sky_notes.get(job.name, "")
        if not known:
            why = f" ({note})" if note else ", it is being asked for"
            return _Kept(mark, now, None, f"No weather is known for this pour yet{why}.")
        stale, age = check_fresh(known[-1], unix_h(now))
        notes = [words for words in (note, age if stale else "") if words]
        job = with_zone(job, known)
        answer = assess_and_record(self.store, job, placement, known, now, write=True)
        return _Kept(mark, now, glance_of(answer, now, known[-1], notes), "")
