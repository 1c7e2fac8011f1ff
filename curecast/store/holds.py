"""How each hold moved from state to state, and on what."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import HoldChange, Placement
from curecast.store.tables import hold_change

__all__ = ["add_hold_change", "hold_changes", "hold_states"]

#: The state of a hold of which nothing is on record.
FIRST_STATE = "not-poured"


def add_hold_change(
    store: Store,
    placement: Placement,
    hold: str,
    from_state: str,
    to_state: str,
    at: datetime,
    inputs: dict[str, Any],
    version: str,
    why: str,
    recorded: datetime | None = None,
) -> HoldChange | None:
    """Keep a hold's move, unless another program has moved it since.

    Parameters
    ----------
    store : Store
    placement : Placement
    hold : str
    from_state, to_state : str
        States of the hold; ``not-poured`` is the state before any row.
    at : datetime
        When it moved. [aware]
    inputs : dict
        Ids of the readings, forecasts and the like that it rests on, as JSON.
    version : str
        curecast's version.
    why : str
        In a sentence.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    HoldChange or None
        None when the hold did not stand at ``from_state`` at that time: read again before you
        say anything to anyone. To tell people of a change, queue the message in the same
        ``store.write()`` block, so that neither is kept without the other.
    """
    if from_state == to_state:
        raise ValueError(f"{hold} does not move from {from_state} to itself")
    with store.write() as connection:
        if hold_states(store, placement, at).get(hold, FIRST_STATE) != from_state:
            return None
        row_id = add_row(
            connection,
            hold_change,
            placement_id=placement.id,
            hold=hold,
            from_state=from_state,
            to_state=to_state,
            inputs=inputs,
            version=version,
            why=why,
            at=at,
            recorded_at=recorded or utc_now(),
        )
        row = connection.execute(select(hold_change).where(hold_change.c.id == row_id)).one()
        return HoldChange(**row._mapping)


def hold_changes(
    store: Store, placement: Placement, hold: str | None = None
) -> tuple[HoldChange, ...]:
    """The moves of all holds, or of one, in the order of entry."""
    wanted = select(hold_change).where(hold_change.c.placement_id == placement.id)
    if hold is not None:
        wanted = wanted.where(hold_change.c.hold == hold)
    with store.read() as connection:
        rows = connection.execute(wanted.order_by(hold_change.c.id))
        return tuple(HoldChange(**row._mapping) for row in rows)


def hold_states(
    store: Store, placement: Placement, not_after: datetime | None = None
) -> dict[str, str]:
    """The state that each hold was last recorded in; holds without a row are left out.

    Moves said to be later than ``not_after`` do not count: a clock that was set wrong, and
    since put right, has not lived them yet.
    """
    return {
        change.hold: change.to_state
        for change in hold_changes(store, placement)
        if not_after is None or change.at <= not_after
    }
