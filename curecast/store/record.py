"""What is done to a slab, tested on it, and signed for: events, strength tests, sign-offs."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, select

from curecast.errors import InputError, Refused
from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import Event, Placement, SignOff, StrengthTest
from curecast.store.tables import event, sign_off, strength_test

__all__ = [
    "add_event",
    "add_sign_off",
    "add_strength_test",
    "event_rows",
    "events",
    "sign_offs",
    "strength_test_rows",
    "strength_tests",
]

#: An event of this kind says nothing itself: it takes back the row that it supersedes.
TAKEN_BACK = "taken-back"


def add_event(
    store: Store,
    placement: Placement,
    kind: str,
    at: datetime,
    payload: dict[str, Any],
    supersedes: str | None = None,
    recorded: datetime | None = None,
) -> Event:
    """Keep what was done: a cover laid or lifted, a heater, wetting, a torque.

    Parameters
    ----------
    store : Store
    placement : Placement
    kind : str
        What was done; ``taken-back`` with ``supersedes`` undoes an entry.
    at : datetime
        When. [aware]
    payload : dict
        Its numbers and words, as JSON; NaN is refused.
    supersedes : str or None
        The id of the event that this one corrects.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    Event
    """
    values = {"kind": kind, "payload": payload, "supersedes": supersedes}
    return Event(**_add(store, event, placement, values, at, recorded))


def events(store: Store, placement: Placement) -> tuple[Event, ...]:
    """The events that stand, by time."""
    rows = _rows(store, event, placement, standing=True)
    return tuple(Event(**row) for row in rows if row["kind"] != TAKEN_BACK)


def event_rows(store: Store, placement: Placement) -> tuple[Event, ...]:
    """Every row ever kept, in the order of entry."""
    return tuple(Event(**row) for row in _rows(store, event, placement, standing=False))


def add_strength_test(
    store: Store,
    placement: Placement,
    kind: str,
    strength_mpa: float | None,
    at: datetime,
    by: str,
    note: str = "",
    supersedes: str | None = None,
    recorded: datetime | None = None,
) -> StrengthTest:
    """Keep a strength test of this concrete.

    Parameters
    ----------
    store : Store
    placement : Placement
    kind : str
        How it was tested.
    strength_mpa : float or None
        What it showed; None only to take back the test named in ``supersedes``. [MPa]
    at : datetime
        When it was tested. [aware]
    by, note : str
        Who tested, and what else is to be said.
    supersedes : str or None
        The id of the test that this one corrects.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    StrengthTest
    """
    if strength_mpa is None and supersedes is None:
        raise InputError("a strength test needs its strength")
    if strength_mpa is not None and not (math.isfinite(strength_mpa) and strength_mpa >= 0.0):
        raise InputError(f"a strength must be a number of 0 MPa or more, not {strength_mpa}")
    values = {
        "kind": kind,
        "strength_mpa": strength_mpa,
        "by": by,
        "note": note,
        "supersedes": supersedes,
    }
    return StrengthTest(**_add(store, strength_test, placement, values, at, recorded))


def strength_tests(store: Store, placement: Placement) -> tuple[StrengthTest, ...]:
    """The tests that stand, by time."""
    rows = _rows(store, strength_test, placement, standing=True)
    return tuple(StrengthTest(**row) for row in rows if row["strength_mpa"] is not None)


def strength_test_rows(store: Store, placement: Placement) -> tuple[StrengthTest, ...]:
    """Every row ever kept, in the order of entry."""
    rows = _rows(store, strength_test, placement, standing=False)
    return tuple(StrengthTest(**row) for row in rows)


def add_sign_off(
    store: Store,
    placement: Placement,
    hold: str,
    kind: str,
    by: str,
    reason: str,
    at: datetime,
    recorded: datetime | None = None,
) -> SignOff:
    """Keep a named person's word on a hold: ``signed-off``, or ``withdrawn`` again.

    Whether the rules allow it is for the caller to judge; a name and a reason are asked here.
    """
    if not by.strip() or not reason.strip():
        raise Refused("a sign-off needs a name and a reason", "Give --by and --reason.")
    values = {"hold": hold, "kind": kind, "by": by, "reason": reason}
    return SignOff(**_add(store, sign_off, placement, values, at, recorded))


def sign_offs(store: Store, placement: Placement) -> tuple[SignOff, ...]:
    """Every word on every hold, in the order of entry; the last one on a hold stands."""
    return tuple(SignOff(**row) for row in _rows(store, sign_off, placement, standing=False))


def _add(
    store: Store,
    table: Table,
    placement: Placement,
    values: dict[str, Any],
    at: datetime,
    recorded: datetime | None,
) -> dict[str, Any]:
    with store.write() as connection:
        if values.get("supersedes") is not None:
            _check_standing(connection, table, placement, values["supersedes"])
        row_id = add_row(
            connection,
            table,
            placement_id=placement.id,
            at=at,
            recorded_at=recorded or utc_now(),
            **values,
        )
        row = connection.execute(select(table).where(table.c.id == row_id)).one()
        return dict(row._mapping)


def _check_standing(
    connection: Connection, table: Table, placement: Placement, row_id: str
) -> None:
    of_this_placement = select(table.c.id).where(
        table.c.id == row_id, table.c.placement_id == placement.id
    )
    later = select(table.c.id).where(table.c.supersedes == row_id)
    if connection.scalar(of_this_placement) is None or connection.scalar(later) is not None:
        raise Refused(
            f"there is no standing entry {row_id} of {placement.job.name}",
            "It may have been corrected already: `curecast history` shows every row.",
        )


def _rows(
    store: Store, table: Table, placement: Placement, *, standing: bool
) -> list[dict[str, Any]]:
    wanted = select(table).where(table.c.placement_id == placement.id)
    if standing:
        later = table.alias("later")
        superseded = select(later.c.id).where(later.c.supersedes == table.c.id).exists()
        wanted = wanted.where(~superseded).order_by(table.c.at, table.c.id)
    else:
        wanted = wanted.order_by(table.c.id)
    with store.read() as connection:
        return [dict(row._mapping) for row in connection.execute(wanted)]
