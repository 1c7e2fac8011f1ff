"""What was said of a slab, put on record: what cannot be is refused, what is odd is flagged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from curecast.errors import Refused
from curecast.store.connection import Store, utc_now
from curecast.store.readings import add_readings, last_readings, readings, take_back_reading
from curecast.store.record import TAKEN_BACK, add_event, events
from curecast.store.rows import Event, NewReading, Placement, Reading
from curecast.tracking.amending import AMENDED
from curecast.tracking.plausible import Standing, check_said, jump_flag
from curecast.tracking.said import Said

__all__ = ["Kept", "keep_said", "last_said", "undo_said"]

#: What is said for one time lies so close to it.
_SAME = timedelta(seconds=59)


@dataclass(frozen=True)
class Kept:
    """One entry in the log: what was kept, known before, left out, flagged and refused."""

    poured_at: datetime
    added: tuple[Reading, ...]
    entries: list[Said]
    flagged: list[tuple[Said, str]]
    refused: list[str]
    known: int
    before: int


def keep_said(
    store: Store,
    placement: Placement,
    entries: Sequence[Said],
    refused: Sequence[str],
    now: datetime,
    thickness_m: float,
    zone: str | None,
) -> Kept:
    """Keep readings and deeds together; what cannot be is refused with a sentence.

    Parameters
    ----------
    store : Store
    placement : Placement
        Poured.
    entries : sequence of Said
        What was understood.
    refused : sequence of str
        What was not.
    now : datetime
        [aware]
    thickness_m : float
        Of the slab: no probe sits deeper. [m]
    zone : str or None
        The job's zone, for words.

    Returns
    -------
    Kept
    """
    said, problems, flagged, new, before = [], list(refused), [], [], 0
    standing = Standing.of(readings(store, placement))
    recorded = utc_now()
    with store.write():
        for entry in entries:
            if entry.from_file and entry.on_concrete and entry.at < placement.start_at:
                before += 1
                continue
            problem, flags = check_said(entry, placement.start_at, now, thickness_m, zone)
            if problem:
                problems.append(problem)
                continue
            flags = (*flags, *jump_flag(entry, standing))
            said.append(entry)
            flagged += [(entry, flag) for flag in flags]
            if entry.kind == "reading":
                new.append(_reading(entry, flags))
            else:
                add_event(store, placement, entry.kind, entry.at, entry.numbers, recorded=recorded)
        added = add_readings(store, placement, new, recorded=recorded) if new else ()
    known = len(new) - len(added)
    return Kept(placement.start_at, added, said, flagged, problems, known, before)


def _reading(entry: Said, flags: tuple[str, ...]) -> NewReading:
    return NewReading(entry.where, entry.value_c, entry.at, entry.source, entry.depth_m, flags)


def undo_said(
    store: Store,
    placement: Placement,
    when: datetime | None,
    now: datetime,
    *,
    only: datetime | None = None,
) -> list[Said]:
    """Take back what was said last, or everything that was said for one time.

    Parameters
    ----------
    store : Store
    placement : Placement
    when : datetime or None
        The time that was spoken of; None: the last entry, whatever it spoke of. [aware]
    now : datetime
        [aware]
    only : datetime or None
        The time of the entry that must still be the last one; another one is left. [aware]

    Returns
    -------
    list of Said
        What is taken back; the rows stay, each with the row that supersedes it.
    """
    with store.write():
        seen = list(readings(store, placement))
        done = [e for e in events(store, placement) if e.kind != AMENDED]
        if when is None:
            entered = [r.recorded_at for r in seen] + [e.recorded_at for e in done]
            last = max(entered, default=None)
            if only is not None and last != only:
                raise Refused(
                    "that entry is not the last one any more",
                    "look at what is logged, then undo again",
                )
            seen = [r for r in seen if r.recorded_at == last]
            done = [e for e in done if e.recorded_at == last]
        else:
            seen = [r for r in seen if abs(r.at - when) <= _SAME]
            done = [e for e in done if abs(e.at - when) <= _SAME]
        if not seen and not done:
            raise Refused("there is nothing to take back", "say for which time: undo 7:30")
        for row in seen:
            take_back_reading(store, placement, row.id, "person", now)
        for event in done:
            add_event(store, placement, TAKEN_BACK, now, {}, supersedes=event.id)
    return _as_said(seen, done)


def _as_said(seen: Sequence[Reading], done: Sequence[Event]) -> list[Said]:
    return [
        *(Said("reading", r.at, r.where, r.value_c or 0.0, r.depth_m, r.source) for r in seen),
        *(Said(e.kind, e.at, text=e.kind, numbers=_numbers(e)) for e in done),
    ]


def _numbers(event: Event) -> dict[str, float]:
    return {k: float(v) for k, v in event.payload.items() if isinstance(v, (int, float))}


def last_said(store: Store, placement: Placement, count: int) -> list[tuple[datetime, list[Said]]]:
    """The last entries that stand, the newest first: when each was recorded, and what it said.

    Parameters
    ----------
    store : Store
    placement : Placement
    count : int
        How many; of a logger's file no more readings than that.
    """
    seen = last_readings(store, placement, 2 * count)
    done = [e for e in events(store, placement) if e.kind != AMENDED]
    times = {r.recorded_at for r in seen} | {e.recorded_at for e in done}
    entered = sorted(times, reverse=True)[:count]
    return [
        (
            at,
            _as_said(
                [r for r in seen if r.recorded_at == at], [e for e in done if e.recorded_at == at]
            ),
        )
        for at in entered
    ]
