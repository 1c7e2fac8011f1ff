"""Watches a slab once, and dies at the step it is told to, again and again.

Run by a test as a program: ``python -m tests.faults.watcher HOME``; each line on its input
names a copy of the store, the minutes since the first pass and the step to die at (0: none).
Steps are writes to the store, before each commit and after it, and posts that arrived.
Every pass is a process of its own; the slab is worked out once, before the first.
"""

from __future__ import annotations

import os
import signal
import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import event

from curecast.alerts.channels.registry import Channel, find_channel
from curecast.alerts.channels.webhook import send_webhook  # noqa: F401 - loaded before the fork
from curecast.alerts.messages import Outgoing
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.record import Record
from curecast.prospect.standing import SlabAnswer
from curecast.store.schema import open_store
from curecast.tracking import moves
from curecast.watch import watch_once
from tests.end_to_end.test_watch_once import START, Sky

NOW = START + timedelta(days=8)


class Steps:
    """Counts steps, and dies at one of them."""

    def __init__(self, last: int) -> None:
        self.left = last

    def take(self, *_: object) -> None:
        self.left -= 1
        if self.left == 0:
            os.kill(os.getpid(), signal.SIGKILL)


def watch(home: Path, minutes: int, steps: Steps) -> None:
    def channels(to: str) -> Channel:
        def send(to: str, message: Outgoing) -> None:
            find_channel(to)(to, message)
            steps.take()

        return send

    def written(connection: Any, cursor: Any, statement: str, *_: object) -> None:
        if statement.startswith(("INSERT", "UPDATE")):
            steps.take()

    with open_store(home=home) as store:
        event.listen(store.engine, "after_cursor_execute", written)
        event.listen(store.engine, "commit", steps.take)
        now = NOW + timedelta(minutes=minutes)
        watch_once(store, now, get_weather=Sky(15.0), channels=channels)


def main(home: Path) -> None:
    real = moves.assess_slab
    kept: list[SlabAnswer] = []

    def once(job: Job, record: Record, known: list[Forecast], now_h: float) -> SlabAnswer:
        if not kept:
            kept.append(real(job, record, known, now_h))
        return replace(kept[0], record=record, now_h=now_h)

    moves.assess_slab = once  # type: ignore[assignment]
    watch(home, 0, Steps(0))
    print("ready", flush=True)
    for line in sys.stdin:
        copy, minutes, step = line.split()
        child = os.fork()
        if child == 0:
            try:
                watch(Path(copy), int(minutes), Steps(int(step)))
            finally:
                os._exit(0)
        _, status = os.waitpid(child, 0)
        print("killed" if os.WIFSIGNALED(status) else "done", flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
