"""What is asked of the US service beside the forecast: air measured near a slab, and warnings."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from curecast.clock import from_unix_h, unix_h
from curecast.errors import WeatherError
from curecast.outlook.memory import Memory
from curecast.sources.nws_alerts import Notice, walk_alerts
from curecast.sources.nws_walk import Walk
from curecast.sources.observations import walk_observations
from curecast.store.jobs import open_jobs
from curecast.store.observations import observations, save_observations
from curecast.store.placements import find_placement
from curecast.store.rows import NewObservation, Observation
from curecast.tracking import governing_job, place_of

__all__ = ["is_beside_due", "known_notices", "look_beside", "newest_observation"]

#: Warnings are looked at this often, and forgotten after a day without any look. [h]
_NOTICES_APART_H, _NOTICES_LAST_H = 0.5, 24.0
#: Stations report by the hour: a younger report is no gap. Asked again after ten minutes. [h]
_GAP_H, _APART_H = 1.5, 1.0 / 6.0
#: The service keeps a week; the ground remembers three days before a pour. [h]
_ARCHIVE_H, _BEFORE_H = 168.0, 72.0


def is_beside_due(memory: Memory) -> bool:
    """Whether there is anything to ask beside the forecast."""
    return _notices_due(memory) or _gap_of(memory) is not None


def look_beside(walk: Walk, memory: Memory) -> None:
    """Ask for what is due and keep it; what fails is noted, and asked again the next time.

    Parameters
    ----------
    walk : Walk
        Open.
    memory : Memory
        Of its place: the gap in measured air of a slab that is poured there is filled.
        Without a store nothing is asked.
    """
    gap = _gap_of(memory)
    if gap is not None:
        _note_faults(memory, "observations", lambda: _observe(walk, memory, *gap))
    if _notices_due(memory):
        _note_faults(memory, "alerts", lambda: _look_out(walk, memory))


def _note_faults(memory: Memory, what: str, call: Any) -> None:
    try:
        call()
    except WeatherError as fault:
        memory.note("nws", what, "failed", {"message": fault.message})


def _first_pour_h(memory: Memory) -> float | None:
    """When the oldest slab that is still followed at this place was poured. [h]"""
    store = memory.store
    if store is None:
        return None
    starts = []
    for row in open_jobs(store):
        placement = find_placement(store, row)
        if placement is not None and placement.state == "poured":
            here = place_of(governing_job(placement)) == memory.place
            starts += [unix_h(placement.start_at)] if here else []
    return min(starts, default=None)


def _gap_of(memory: Memory) -> tuple[float, float] | None:
    """From when to when air was not measured since a pour; None where nothing is missing. [h]"""
    now_h, start_h = memory.now_h, _first_pour_h(memory)
    if start_h is None:
        return None
    from_h = max(start_h - _BEFORE_H, now_h - _ARCHIVE_H)
    last = newest_observation(memory, from_h)
    if last is not None:
        from_h = unix_h(last.at)
    asked = memory.last("nws", "observations")
    if now_h - from_h < _GAP_H or (asked is not None and now_h - asked.at_h < _APART_H):
        return None
    return from_h, now_h


def newest_observation(memory: Memory, from_h: float) -> Observation | None:
    """The last air that was measured at a place after an instant. [h]"""
    if memory.store is None:
        return None
    ends = from_unix_h(from_h), from_unix_h(memory.now_h) + timedelta(minutes=5)
    known = [o for o in observations(memory.store, memory.place, *ends) if o.air_c is not None]
    return known[-1] if known else None


def _observe(walk: Walk, memory: Memory, from_h: float, to_h: float) -> None:
    assert memory.store is not None
    before = newest_observation(memory, to_h - _ARCHIVE_H)
    rows = walk_observations(walk, from_h, to_h, None if before is None else before.station)
    station = rows[0][2] if rows else ""
    new = [NewObservation(at=from_unix_h(at_h), air_c=air_c) for at_h, air_c, _ in rows]
    added = save_observations(memory.store, memory.place, station, new) if rows else 0
    memory.note(
        "nws",
        "observations",
        "given" if added else "same",
        {"station": station, "from_h": from_h, "to_h": to_h, "added": added},
    )


def _notices_due(memory: Memory) -> bool:
    if memory.store is None:
        return False
    last = memory.last("nws", "alerts")
    return last is None or memory.now_h - last.at_h >= _NOTICES_APART_H


def _look_out(walk: Walk, memory: Memory) -> None:
    found = [[n.event, n.from_h, n.until_h] for n in walk_alerts(walk)]
    memory.note("nws", "alerts", "given", {"notices": found})


def known_notices(memory: Memory) -> tuple[Notice, ...]:
    """Warnings that were in force at the last look and are not over."""
    last = memory.last("nws", "alerts", "given")
    if last is None or memory.now_h - last.at_h > _NOTICES_LAST_H:
        return ()
    notices = (Notice(*row) for row in last.payload.get("notices", []))
    return tuple(n for n in notices if n.until_h is None or n.until_h > memory.now_h)
