"""What a phone says of a slab, kept exactly once however often it is sent."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from curecast.errors import ReadingsError
from curecast.store.connection import Store
from curecast.store.entry_keys import claim_key
from curecast.store.rows import Placement
from curecast.tracking.keeping import Kept, keep_said, undo_said
from curecast.tracking.said import Said

__all__ = ["keep_once", "undo_once"]


def keep_once(
    store: Store,
    placement: Placement,
    key: str,
    entries: Sequence[Said],
    now: datetime,
    thickness_m: float,
    zone: str | None,
) -> Kept | None:
    """Keep entries under a key; None where they were kept under it before.

    Parameters
    ----------
    store : Store
    placement : Placement
        Poured.
    key : str
        The sender's own; at most 64 characters.
    entries : sequence of Said
    now : datetime
        [aware]
    thickness_m : float
        Of the slab. [m]
    zone : str or None
        The job's zone, for words.

    Raises
    ------
    ReadingsError
        One of them cannot be; nothing is kept then, and the key stays free.
    """
    with store.write():
        if not claim_key(store, placement, key, now):
            return None
        kept = keep_said(store, placement, entries, (), now, thickness_m, zone)
        if kept.refused:
            raise ReadingsError(kept.refused[0], "nothing was logged")
        return kept


def undo_once(
    store: Store, placement: Placement, key: str, last: datetime | None, now: datetime
) -> list[Said] | None:
    """Take back the last entry, if it is still the one that was meant; None for a repeat.

    Parameters
    ----------
    store : Store
    placement : Placement
    key : str
        The sender's own.
    last : datetime or None
        When the entry was recorded that is to be taken back. [aware]
    now : datetime
        [aware]
    """
    with store.write():
        if not claim_key(store, placement, key, now):
            return None
        return undo_said(store, placement, None, now, only=last)
