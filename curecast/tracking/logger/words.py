"""What is said of a logger's file: how it was read, and what of that was guessed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from curecast.tracking.logger.shape import Channel, Shape
from curecast.tracking.logger.times import ORDERS, Stamp


def guesses(
    shape: Shape,
    channels: Sequence[Channel],
    stamps: Sequence[Stamp],
    offset: timedelta | None,
    given: frozenset[str],
) -> list[str]:
    """What neither the file nor an option says, each with the option that settles it.

    Parameters
    ----------
    shape : Shape
        As found.
    channels : sequence of Channel
        The columns that are read, with the units that the file gives them.
    stamps : sequence of Stamp
        Its times.
    offset : timedelta or None
        The logger's clock; None for the job's own.
    given : frozenset of str
        Options that were given.
    """
    found = []
    if "unit" not in given and not all(c.unit for c in channels):
        found.append("the unit, by the numbers (--unit)")
    loose = [s for s in stamps if s.instant is None]
    if "dates" not in given and any(s.walls[0] != s.walls[1] for s in loose):
        found.append("the order of the dates, by their run (--dates)")
    if "clock" not in given and loose and offset is None:
        found.append("the clock, as the job's own (--clock)")
    if "column" not in given and shape.others:
        found.append(f"the column, and not {', '.join(shape.others)} (--column)")
    if "where" not in given and not all(c.where for c in channels):
        found.append("the place, the surface (--where)")
    return found


def shape_words(
    channels: Sequence[Channel],
    delimiter: str,
    stamps: Sequence[Stamp],
    order: int,
    offset: timedelta | None,
) -> list[str]:
    """How a file was read, in words."""
    columns = ", ".join(
        f'"{c.name or f"column {c.column + 1}"}" as {c.where or "surface (not said)"} in °{c.unit}'
        for c in channels
    )
    if all(s.instant is not None for s in stamps):
        clock = "times as the file fixes them"
    elif offset is None:
        clock = "times on the job's own clock"
    else:
        clock = f"times at UTC{offset.total_seconds() / 3600.0:+g} h"
    unsure = any(s.instant is None and s.walls[0] != s.walls[1] for s in stamps)
    return [
        f"columns parted by {delimiter}; {columns}; {clock}"
        + (f"; dates {ORDERS[order]}" if unsure else "")
    ]
