"""The weather kept fresh while the page is open, never within a request."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime

from curecast.errors import CurecastError
from curecast.job.layout import Job
from curecast.page.answers import Answers
from curecast.store.jobs import open_jobs
from curecast.store.placements import find_placement

__all__ = ["Sky"]

#: Between two rounds; a service is only asked when it is due by its own terms. [s]
_EVERY_S = 600.0


@dataclass
class Sky:
    """Asks for the weather of every poured job, round after round.

    Parameters
    ----------
    answers : Answers
        Told when something may be new.
    get_weather : callable
        Takes a job and the present, keeps what it fetches, gives what is to be said of it.
    """

    answers: Answers
    get_weather: Callable[[Job, datetime], str]
    stop: threading.Event = field(default_factory=threading.Event)

    def start(self) -> None:
        """Begin to ask."""
        threading.Thread(target=self._work, daemon=True).start()

    def _work(self) -> None:
        while True:
            with suppress(CurecastError):  # a store that is busy: the next round comes
                self.look()
            if self.stop.wait(_EVERY_S):
                return

    def look(self) -> None:
        """One round."""
        answers = self.answers
        for row in open_jobs(answers.store):
            placement = find_placement(answers.store, row)
            if self.stop.is_set():
                return
            if placement is None or placement.state != "poured":
                continue
            try:
                note = self.get_weather(answers.job_of(placement), answers.clock())
            except CurecastError as error:
                note = error.message
            except Exception as fault:  # one job's must not end the weather of the others
                note = f"a fault in curecast ({type(fault).__name__}: {fault})"
            answers.sky_notes[row.name] = note
            answers.want(placement)
