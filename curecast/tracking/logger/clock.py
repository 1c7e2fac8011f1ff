"""A logger's clock: wall times of a file become instants, across clock changes too."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, timezone

from curecast.clock.zones import around_gap, instants_of
from curecast.errors import TwoReadings
from curecast.tracking.logger.times import ORDERS, Stamp

__all__ = ["find_order", "instants"]

_HOUR = timedelta(hours=1)


def find_order(name: str, stamps: Sequence[Stamp], now: datetime) -> int:
    """Whether the month or the day stands first, by all dates of the file together.

    Parameters
    ----------
    name : str
        Of the file, for words.
    stamps : sequence of Stamp
        Its times.
    now : datetime
        [aware]

    Returns
    -------
    int
        Index into ``ORDERS``.

    Raises
    ------
    TwoReadings
        Both make sense: then a person has to say.
    """
    walls = [s.walls for s in stamps if s.instant is None]
    fits = [k for k in (0, 1) if all(pair[k] is not None for pair in walls)]
    if not walls or (len(fits) == 2 and all(a == b for a, b in walls)):
        return 0
    if len(fits) == 2:
        fits = [k for k in fits if _last(walls, k) <= now.replace(tzinfo=None) + timedelta(days=1)]
    if len(fits) == 2:
        # A wrong order leaps from month to month where the right one goes from day to day.
        spans = [max(_column(walls, k)) - min(_column(walls, k)) for k in (0, 1)]
        if min(spans) * 3 < max(spans):
            fits = [spans.index(min(spans))]
    if len(fits) != 1:
        a, b = walls[0]
        raise TwoReadings(
            f"{name}: its dates could be month first ({a:%d %B %Y}) or day first ({b:%d %B %Y})"
            if a and b
            else f"{name}: its dates are written in two ways",
            "dates",
            ORDERS,
        )
    return fits[0]


def _column(walls: Sequence[tuple[datetime | None, datetime | None]], k: int) -> list[datetime]:
    return [w for pair in walls if (w := pair[k]) is not None]


def _last(walls: Sequence[tuple[datetime | None, datetime | None]], k: int) -> datetime:
    return max(_column(walls, k))


def instants(
    walls: Sequence[datetime], zone: str | None, offset: timedelta | None
) -> tuple[list[datetime], str]:
    """Instants of a file's wall times, in the file's order.

    Parameters
    ----------
    walls : sequence of datetime
        [naive]
    zone : str or None
        The job's zone.
    offset : timedelta or None
        The clock's fixed distance from UTC, where the file or an option says it.

    Returns
    -------
    found : list of datetime
        [aware, UTC]
    note : str
        What was decided about a clock change; empty without one.
    """
    if offset is not None:
        return _fixed(walls, offset), ""
    down = len(walls) > 1 and walls[0] > walls[-1]
    ordered = list(walls[::-1]) if down else list(walls)
    found: list[datetime] = []
    twice: list[int] = []
    for i, wall in enumerate(ordered):
        here = instants_of(wall, zone)
        if not here:
            offset = wall.replace(tzinfo=UTC) - around_gap(wall, zone)[1]
            return _fixed(walls, offset), _note("was not put forward", wall)
        if len(here) == 2:
            twice.append(i)
        later = [h for h in here if not found or h > found[-1]]
        found.append(later[0] if later else here[0])
    if twice and _ran_through(ordered, twice):
        first = twice[0]
        offset = ordered[first].replace(tzinfo=UTC) - instants_of(ordered[first], zone)[0]
        return _fixed(walls, offset), _note("was not put back", ordered[first])
    return (found[::-1] if down else found), ""


def _ran_through(walls: Sequence[datetime], twice: Sequence[int]) -> bool:
    """Whether the repeated hour stands in the file once, between hours on either side."""
    first, last = twice[0], twice[-1]
    within = walls[max(first - 1, 0) : last + 2]
    steps = {b - a for a, b in itertools.pairwise(within)}
    return (
        first > 0
        and last + 1 < len(walls)
        and len(steps) == 1
        and timedelta(0) < min(steps) <= _HOUR
    )


def _note(what: str, wall: datetime) -> str:
    return f"the logger's clock {what} on {wall:%Y-%m-%d}: all its times are read on one offset"


def _fixed(walls: Sequence[datetime], offset: timedelta) -> list[datetime]:
    zone = timezone(offset)
    return [wall.replace(tzinfo=zone).astimezone(UTC) for wall in walls]
