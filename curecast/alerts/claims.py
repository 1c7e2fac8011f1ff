"""Who sends which message now: claims under a lease, and what came of each try."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Select, and_, func, or_, select, update

from curecast.alerts.messages import Message
from curecast.alerts.stops import STOPPED
from curecast.errors import AlertNotSent
from curecast.store.connection import Store, add_row, utc_now
from curecast.store.tables import attempt, message

__all__ = [
    "BACK_OFF_MIN",
    "LEASE_S",
    "MAX_TRIES",
    "Claim",
    "claim_next",
    "mark_not_sent",
    "mark_sent",
]

#: A claim that is older than this belongs to nobody: its program died. [s]
LEASE_S = 60.0
#: Waits after the first, second, ... try that failed; the last one repeats. [min]
BACK_OFF_MIN = (1.0, 5.0, 15.0, 60.0, 120.0, 240.0)
#: Then it is given up, two and a half days after the first try.
MAX_TRIES = 20


@dataclass(frozen=True)
class Claim:
    """One try of one message by one sender; ``given_up`` when no try was left."""

    message: Message
    owner: str
    number: int
    repeat: bool
    given_up: bool = False


def claim_next(store: Store, owner: str, now: datetime, skip: list[str]) -> Claim | None:
    """Claim the next message that is due, and put the start of the try on record.

    Parameters
    ----------
    store : Store
    owner : str
        The sender's id.
    now : datetime
        [aware]
    skip : list of str
        Addresses to leave alone.

    Returns
    -------
    Claim or None
        None when nothing is due.
    """
    with store.write() as connection:
        row = connection.execute(_next(now, skip)).first()
        if row is None:
            return None
        waiting = Message(**row._mapping)
        if waiting.tries >= MAX_TRIES:
            error = f"given up after {MAX_TRIES} tries, the last without a known end"
            _set(connection, waiting.id, failed_at=now, last_error=error, lease_until=None)
            return Claim(waiting, owner, waiting.tries, repeat=True, given_up=True)
        number = waiting.tries + 1
        repeat = _count(connection, waiting.id, "started") > _count(
            connection, waiting.id, "refused", STOPPED
        )
        _put_on_record(connection, waiting.id, number, "started", "", now)
        lease = now + timedelta(seconds=LEASE_S)
        _set(connection, waiting.id, claimed_by=owner, lease_until=lease, tries=number)
    return Claim(waiting, owner, number, repeat)


def mark_sent(store: Store, claim: Claim, now: datetime) -> None:
    """It is sent, whoever holds the lease by now."""
    with store.write() as connection:
        _put_on_record(connection, claim.message.id, claim.number, "sent", "", now)
        _set(
            connection,
            claim.message.id,
            sent_at=now,
            failed_at=None,
            claimed_by=None,
            lease_until=None,
            last_error="",
        )


def mark_not_sent(store: Store, claim: Claim, problem: AlertNotSent, now: datetime) -> bool:
    """The try failed; returns True when the message is given up."""
    what = STOPPED if problem.stops else "unclear" if problem.maybe_arrived else "refused"
    given_up = problem.permanent or claim.number >= MAX_TRIES
    wait_min = BACK_OFF_MIN[min(claim.number, len(BACK_OFF_MIN)) - 1]
    with store.write() as connection:
        _put_on_record(connection, claim.message.id, claim.number, what, problem.message, now)
        mine = select(message.c.id).where(
            message.c.id == claim.message.id,
            message.c.claimed_by == claim.owner,
            message.c.sent_at.is_(None),
        )
        if connection.scalar(mine) is None:
            return False  # another sender has taken it over
        _set(
            connection,
            claim.message.id,
            claimed_by=None,
            lease_until=None,
            next_at=now + timedelta(minutes=wait_min),
            failed_at=now if given_up else None,
            last_error=problem.message,
        )
    return given_up


def _next(now: datetime, skip: list[str]) -> Select[Any]:
    other = message.alias("other")
    # A lease or a wait further ahead than any is given was set by a clock that ran ahead.
    far_lease = now + timedelta(seconds=2 * LEASE_S)
    far_wait = now + timedelta(minutes=2 * BACK_OFF_MIN[-1])
    free = or_(
        message.c.lease_until.is_(None),
        message.c.lease_until < now,
        message.c.lease_until > far_lease,
    )
    # About one hold, people get the news in order: nothing goes while another message about
    # it is on its way, and no permission before an earlier withdrawal has gone.
    in_the_way = (
        select(other.c.id)
        .where(other.c.job == message.c.job, other.c.hold == message.c.hold)
        .where(other.c.to == message.c.to, other.c.id != message.c.id)
        .where(other.c.sent_at.is_(None), other.c.failed_at.is_(None))
        .where(
            or_(
                other.c.lease_until.between(now, far_lease),
                and_(
                    other.c.overtaken_at.is_(None),
                    other.c.priority < message.c.priority,
                    other.c.id < message.c.id,
                ),
            )
        )
        .exists()
    )
    return (
        select(message)
        .where(message.c.sent_at.is_(None), message.c.failed_at.is_(None))
        .where(message.c.overtaken_at.is_(None), message.c.due_at <= now)
        .where(or_(message.c.next_at <= now, message.c.next_at > far_wait))
        .where(free, message.c.to.not_in(skip), ~in_the_way)
        .order_by(message.c.priority, message.c.due_at, message.c.id)
        .limit(1)
    )


def _count(connection: Connection, message_id: str, *what: str) -> int:
    wanted = select(func.count()).where(
        attempt.c.message_id == message_id, attempt.c.what.in_(what)
    )
    return connection.scalar(wanted) or 0


def _put_on_record(
    connection: Connection, message_id: str, number: int, what: str, error: str, now: datetime
) -> None:
    add_row(
        connection,
        attempt,
        message_id=message_id,
        number=number,
        what=what,
        error=error,
        at=now,
        recorded_at=utc_now(),
    )


def _set(connection: Connection, message_id: str, **values: object) -> None:
    connection.execute(update(message).where(message.c.id == message_id).values(**values))
