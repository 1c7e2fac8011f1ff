"""Every time a weather service was asked, what came of it, and what it wants remembered."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import Asking
from curecast.store.tables import asking

__all__ = ["OUTCOMES", "add_asking", "latest_asking"]

#: The service gave something new, said that nothing has changed, or gave nothing of use.
OUTCOMES = ("given", "same", "failed")


def add_asking(
    store: Store,
    source: str,
    place: str,
    what: str,
    outcome: str,
    at: datetime,
    payload: dict[str, Any],
    recorded: datetime | None = None,
) -> None:
    """Note that a service was asked.

    Parameters
    ----------
    store : Store
    source : str
        The service, by the word that the job file has for it.
    place : str
        Written as for forecasts.
    what : str
        What it was asked for, such as ``forecast``.
    outcome : str
        One of ``OUTCOMES``.
    at : datetime
        When. [aware]
    payload : dict
        What has to be remembered, as JSON.
    recorded : datetime or None
        The time of the entry; None: now. [aware]
    """
    if outcome not in OUTCOMES:
        raise ValueError(f"no such outcome: {outcome}")
    with store.write() as connection:
        add_row(
            connection,
            asking,
            source=source,
            place=place,
            what=what,
            outcome=outcome,
            payload=payload,
            at=at,
            recorded_at=recorded or utc_now(),
        )


def latest_asking(
    store: Store,
    source: str,
    place: str,
    what: str,
    not_after: datetime,
    outcomes: tuple[str, ...] = OUTCOMES,
) -> Asking | None:
    """The last time that a service was asked for something with one of these outcomes."""
    newest = (
        select(asking)
        .where(asking.c.source == source, asking.c.place == place, asking.c.what == what)
        .where(asking.c.at <= not_after, asking.c.outcome.in_(outcomes))
        .order_by(asking.c.at.desc(), asking.c.id.desc())
        .limit(1)
    )
    with store.read() as connection:
        row = connection.execute(newest).first()
    return None if row is None else Asking(**row._mapping)
