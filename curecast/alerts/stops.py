"""Addresses that refused for good: they are left alone until a trial arrives there again.

What stopped an address stands in the outbox's own record of tries, so that every watch on
the store knows it. ``curecast alerts test`` tries a stopped address, and starts it again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, or_, select, update

from curecast.alerts.messages import Message
from curecast.store.connection import Store
from curecast.store.tables import attempt, message

__all__ = ["DANGERS", "STOPPED", "Stop", "fail_stopped", "stops"]

#: The word in the record of tries for a refusal that stops an address.
STOPPED = "stopped"
#: Kinds that are tried even at a stopped address, where no other address is told of them.
DANGERS = ("withdrawn", "barred", "freeze", "failing")


@dataclass(frozen=True)
class Stop:
    """Since when an address is left alone, and what it had answered."""

    since: datetime
    why: str


def stops(store: Store) -> dict[str, Stop]:
    """The stopped addresses.

    Parameters
    ----------
    store : Store

    Returns
    -------
    dict of str to Stop
        By address, as it stands in the job file. One that took a message since is none.
    """
    with store.read() as connection:
        return _stops(connection)


def fail_stopped(store: Store, now: datetime) -> list[str]:
    """Give up, untried, what is due at a stopped address; others are told of it instead.

    Parameters
    ----------
    store : Store
    now : datetime
        [aware]

    Returns
    -------
    list of str
        The ids of the messages that were given up. A trial is none of them; nor is word of a
        danger that nobody else is told.
    """
    if not stops(store):
        return []
    with store.write() as connection:
        given_up = []
        for to, stop in _stops(connection).items():
            for one in _due(connection, to, now):
                if one.kind == "test" or (one.kind in DANGERS and _is_alone(connection, one)):
                    continue
                error = f"not tried: {stop.why} at {stop.since:%Y-%m-%d %H:%MZ}, so it is stopped"
                connection.execute(
                    update(message)
                    .where(message.c.id == one.id)
                    .values(failed_at=now, last_error=error, claimed_by=None, lease_until=None)
                )
                given_up.append(one.id)
    return given_up


def _stops(connection: Connection) -> dict[str, Stop]:
    joined = attempt.join(message, attempt.c.message_id == message.c.id)
    ever = select(message.c.to).select_from(joined).where(attempt.c.what == STOPPED)
    wanted = (
        select(message.c.to, attempt.c.what, attempt.c.error, attempt.c.at)
        .select_from(joined)
        .where(attempt.c.what.in_((STOPPED, "sent")), message.c.to.in_(ever))
        .order_by(attempt.c.id)
    )
    last = {row.to: row for row in connection.execute(wanted)}
    return {to: Stop(row.at, row.error) for to, row in last.items() if row.what == STOPPED}


def _due(connection: Connection, to: str, now: datetime) -> list[Message]:
    wanted = (
        select(message)
        .where(message.c.to == to, message.c.due_at <= now)
        .where(message.c.sent_at.is_(None), message.c.failed_at.is_(None))
        .where(message.c.overtaken_at.is_(None))
        .where(or_(message.c.lease_until.is_(None), message.c.lease_until < now))
    )
    return [Message(**row._mapping) for row in connection.execute(wanted)]


def _is_alone(connection: Connection, one: Message) -> bool:
    """Whether no other address has this news, or is to get it."""
    other = select(message.c.id).where(
        message.c.key == one.key, message.c.to != one.to, message.c.failed_at.is_(None)
    )
    return connection.execute(other.limit(1)).first() is None
