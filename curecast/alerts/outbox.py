"""The outbox: a message is decided in one place and sent in another.

Queued once per event and address; claimed under a lease; sent; then marked. After a crash
in between it is sent again and calls itself a repeat: at least once, never lost. What
takes a permission back goes first, and overtakes what it makes untrue.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import Connection, select, update

from curecast.alerts.addresses import fill_in
from curecast.alerts.channels.registry import Channel, find_channel
from curecast.alerts.claims import Claim, claim_next, mark_not_sent, mark_sent
from curecast.alerts.lateness import age_words, late_title
from curecast.alerts.messages import Attempt, Message, Outgoing, SendReport
from curecast.alerts.stops import fail_stopped
from curecast.errors import AlertNotSent
from curecast.store.connection import Store, add_row, utc_now
from curecast.store.identity import new_id
from curecast.store.tables import attempt, message

__all__ = ["WITHDRAWALS", "attempts", "messages", "queue", "send_due"]

#: Kinds that take a permission back.
WITHDRAWALS = frozenset({"withdrawn", "barred"})

#: After so many tries in a row without success one address is left alone for this pass.
_PATIENCE = 2


def queue(
    store: Store,
    key: str,
    kind: str,
    job: str,
    hold: str | None,
    title: str,
    body: str,
    to: str,
    due_at: datetime,
    *,
    at: datetime | None = None,
    first: bool | None = None,
    recorded: datetime | None = None,
) -> Message | None:
    """Decide to send a message; deciding it again changes nothing.

    Parameters
    ----------
    store : Store
        In the ``store.write()`` block that keeps the change which the message tells of,
        both are kept or neither.
    key : str
        Names the event, for ever: not only the hold's state, but this change to it.
    kind : str
        What it says; those in ``WITHDRAWALS`` go first.
    job, hold : str
        What it is about; ``hold`` None for the job as a whole.
    title, body : str
        Its words.
    to : str
        An address; secrets stand in it as ``${NAME}`` of an environment variable.
    due_at : datetime
        Not before. [aware]
    at : datetime or None
        When the event happened; None: ``due_at``. [aware]
    first : bool or None
        Goes before all others, and overtakes what is unsent about the same hold to the
        same address; None: as ``kind`` says.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    Message or None
        None when this event was queued for this address before.
    """
    goes_first = kind in WITHDRAWALS if first is None else first
    recorded = recorded or utc_now()
    with store.write() as connection:
        same = select(message.c.id).where(message.c.key == key, message.c.to == to)
        if connection.scalar(same) is not None:
            return None
        if goes_first and hold is not None:
            _overtake(connection, job, hold, to, at or due_at)
        row_id = add_row(
            connection,
            message,
            key=key,
            kind=kind,
            priority=0 if goes_first else 1,
            job=job,
            hold=hold,
            title=title,
            body=body,
            to=to,
            due_at=due_at,
            at=at or due_at,
            recorded_at=recorded,
            tries=0,
            next_at=due_at,
            last_error="",
        )
        row = connection.execute(select(message).where(message.c.id == row_id)).one()
        return Message(**row._mapping)


def send_due(
    store: Store, now: datetime, channels: Callable[[str], Channel] = find_channel
) -> SendReport:
    """Send everything that is due; a message that does not go holds up no other.

    Parameters
    ----------
    store : Store
    now : datetime
        The clock at the start of the pass; it runs on from there. [aware]
    channels : callable
        Gives the channel of an address.

    Returns
    -------
    SendReport
    """
    began = time.monotonic()
    owner = new_id()
    sent: list[str] = []
    failed = fail_stopped(store, now)
    strikes: dict[str, int] = {}

    def clock() -> datetime:
        return now + timedelta(seconds=time.monotonic() - began)

    while True:
        skip = [to for to, count in strikes.items() if count >= _PATIENCE]
        claim = claim_next(store, owner, clock(), skip)
        if claim is None:
            break
        if claim.given_up:
            failed.append(claim.message.id)
            continue
        problem = _send(claim, channels, clock())
        to = claim.message.to
        if problem is None:
            mark_sent(store, claim, clock())
            sent.append(claim.message.id)
            strikes.pop(to, None)
            continue
        strikes[to] = strikes.get(to, 0) + (0 if problem.permanent else 1)
        if mark_not_sent(store, claim, problem, clock()):
            failed.append(claim.message.id)
        if problem.stops:
            failed += fail_stopped(store, clock())
    ends = {one.id: one for one in _by_ids(store, sent + failed)}
    return SendReport(
        sent=tuple(ends[one] for one in sent),
        queued=messages(store, waiting=True),
        failed=tuple(ends[one] for one in failed),
    )


def messages(
    store: Store,
    job: str | None = None,
    *,
    waiting: bool = False,
    failed_since: datetime | None = None,
) -> tuple[Message, ...]:
    """The messages in the order of their queueing: all, of one job, those that wait or failed."""
    wanted = select(message).order_by(message.c.id)
    if failed_since is not None:
        wanted = wanted.where(message.c.failed_at >= failed_since)
    if job is not None:
        wanted = wanted.where(message.c.job == job)
    if waiting:
        ends = (message.c.sent_at, message.c.failed_at, message.c.overtaken_at)
        wanted = wanted.where(*(end.is_(None) for end in ends))
    with store.read() as connection:
        return tuple(Message(**row._mapping) for row in connection.execute(wanted))


def attempts(store: Store, of: Message) -> tuple[Attempt, ...]:
    """Every step of every try to send a message."""
    wanted = select(attempt).where(attempt.c.message_id == of.id).order_by(attempt.c.id)
    with store.read() as connection:
        return tuple(Attempt(**row._mapping) for row in connection.execute(wanted))


def _overtake(connection: Connection, job: str, hold: str, to: str, at: datetime) -> None:
    connection.execute(
        update(message)
        .where(message.c.job == job, message.c.hold == hold, message.c.to == to)
        .where(message.c.sent_at.is_(None), message.c.failed_at.is_(None))
        .where(message.c.overtaken_at.is_(None), message.c.priority > 0)
        .values(overtaken_at=at)
    )


def _by_ids(store: Store, ids: list[str]) -> list[Message]:
    with store.read() as connection:
        found = (
            connection.execute(select(message).where(message.c.id == one)).one() for one in ids
        )
        return [Message(**row._mapping) for row in found]


def _send(claim: Claim, channels: Callable[[str], Channel], now: datetime) -> AlertNotSent | None:
    one = claim.message
    outgoing = Outgoing(
        key=one.key,
        kind=one.kind,
        job=one.job,
        hold=one.hold,
        title=late_title(one, now),
        body=one.body + age_words(one, now),
        at=one.at,
        first=one.priority == 0,
        repeat=claim.repeat,
    )
    try:
        to = fill_in(one.to)
        channels(to)(to, outgoing)
    except AlertNotSent as problem:
        return problem
    except Exception as fault:
        # A fault in one channel must not keep a withdrawal from the others. Its text stays
        # out of the record: it may quote an address with its secrets.
        said = f"a fault in curecast's channel: {type(fault).__name__}"
        return AlertNotSent(said, "Please report it.", maybe_arrived=True)
    return None
