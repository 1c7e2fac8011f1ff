"""Sends what is due, and dies at the point it is told to, again and again.

Run by a test as a program: ``python -m tests.faults.sender HOME NOW``; each line on its
input names a point to die at and the minutes to move the clock on; it answers ``done``.
Every pass is a process of its own, forked so that the libraries are loaded once.
"""

from __future__ import annotations

import os
import signal
import sys
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import event

from curecast.alerts import outbox
from curecast.alerts.channels.registry import Channel, find_channel
from curecast.alerts.channels.webhook import send_webhook  # noqa: F401 - loaded before the fork
from curecast.alerts.messages import Outgoing
from curecast.store.schema import open_store

#: Where a pass may die: inside the claim, after it, once the receiver has the message,
#: inside the marking, after it; and nowhere.
POINTS = ("in-claim", "claimed", "received", "in-mark", "marked", "nowhere")


def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def send_and_die(home: str, now: datetime, point: str) -> None:
    def channels(to: str) -> Channel:
        def send(to: str, message: Outgoing) -> None:
            if point == "claimed":
                die()
            find_channel(to)(to, message)
            if point == "received":
                die()

        return send

    real_mark = outbox.mark_sent

    def mark(*arguments: Any) -> None:
        real_mark(*arguments)
        if point == "marked":
            die()

    outbox.mark_sent = mark
    with open_store(home=home) as store:
        updates = {"in-claim": "lease_until", "in-mark": "sent_at"}

        def before_commit(connection: Any, cursor: Any, statement: str, *_: Any) -> None:
            column = updates.get(point)
            if column and statement.startswith("UPDATE message") and f"{column}=" in statement:
                if column == "lease_until" and "sent_at" in statement:
                    return
                die()

        event.listen(store.engine, "after_cursor_execute", before_commit)
        outbox.send_due(store, now, channels)


def main(home: str, start: str) -> None:
    now = datetime.fromisoformat(start)
    for line in sys.stdin:
        point, minutes = line.split()
        now += timedelta(minutes=int(minutes))
        child = os.fork()
        if child == 0:
            send_and_die(home, now, point)
            os._exit(0)
        _, status = os.waitpid(child, 0)
        print("killed" if os.WIFSIGNALED(status) else "done", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
