"""Entries that a phone may send twice: each has a key, and a key counts once."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import Placement
from curecast.store.tables import (
    entry_key,
    event,
    forecast,
    observation,
    placement_fact,
    reading,
    sign_off,
    strength_test,
)

__all__ = ["claim_key", "log_mark"]

_OF_PLACEMENT = (reading, event, strength_test, sign_off, placement_fact)
_OF_PLACE = (forecast, observation)


def claim_key(store: Store, placement: Placement, key: str, at: datetime) -> bool:
    """Take a key for an entry; False where an entry took it before.

    Parameters
    ----------
    store : Store
        Call it in the ``store.write()`` block that keeps the entry: then both are kept, or
        neither.
    placement : Placement
    key : str
        At most 64 characters.
    at : datetime
        [aware]
    """
    with store.write() as connection:
        taken = select(entry_key.c.id).where(entry_key.c.key == key)
        if connection.scalar(taken) is not None:
            return False
        add_row(
            connection, entry_key, placement_id=placement.id, key=key, at=at, recorded_at=utc_now()
        )
        return True


def log_mark(store: Store, placement: Placement, place: str) -> str:
    """Changes whenever a row is added that an answer about this placement rests on.

    Parameters
    ----------
    store : Store
    placement : Placement
    place : str
        Whose weather counts (``place_of``).
    """
    counted = [(table, table.c.placement_id == placement.id) for table in _OF_PLACEMENT]
    counted += [(table, table.c.place == place) for table in _OF_PLACE]
    with store.read() as connection:
        return "/".join(
            "{}:{}".format(
                *connection.execute(
                    select(func.count(table.c.id), func.max(table.c.id)).where(which)
                ).one()
            )
            for table, which in counted
        )
