"""What was held back for one address comes as one message."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime

from sqlalchemy import update

from curecast.alerts.findings import DAILY
from curecast.alerts.messages import Message
from curecast.alerts.outbox import messages, queue
from curecast.store.connection import Store
from curecast.store.tables import message

__all__ = ["SUMMARY", "gather"]

SUMMARY = "summary"


def gather(store: Store, now: datetime) -> int:
    """Put two or more held-back messages about one job to one address into one.

    Parameters
    ----------
    store : Store
    now : datetime
        [aware]

    Returns
    -------
    int
        How many summaries were made. The messages inside are marked as gone with it in the
        same transaction: none is lost, none comes twice.
    """
    made = 0
    with store.write() as connection:
        held: dict[tuple[str, str], list[Message]] = defaultdict(list)
        for one in messages(store, waiting=True):
            if one.kind in DAILY and one.at < one.due_at <= now and one.tries == 0:
                held[one.job, one.to].append(one)
        for (job, to), inside in held.items():
            if len(inside) < 2:
                continue
            first = min(inside, key=lambda m: m.id)
            body = "\n\n".join(f"{m.title}\n{m.body}" for m in inside)
            title = f"{job}: {len(inside)} things to know"
            key = f"{job}/-/{SUMMARY}/-/{first.id}"
            queue(store, key, SUMMARY, job, None, title, body, to, now, at=first.at)
            connection.execute(
                update(message)
                .where(message.c.id.in_([m.id for m in inside]))
                .values(overtaken_at=now, last_error="it is in the summary")
            )
            made += 1
    return made
