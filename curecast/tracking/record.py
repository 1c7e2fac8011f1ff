"""A poured slab as the store knows it: rows become a record that the physics can read."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any

from curecast.clock import unix_h
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.prospect.record import Done, Record, Seen, Signed, Tested
from curecast.store.connection import Store
from curecast.store.holds import hold_states
from curecast.store.observations import observations
from curecast.store.readings import readings_seen
from curecast.store.record import events, sign_offs, strength_tests
from curecast.store.rows import JobVersion, Placement
from curecast.tracking.weather import place_of

__all__ = ["AHEAD", "governing_job", "load_record", "stored_job"]

#: A clock at the slab may be so far ahead of this one.
AHEAD = timedelta(minutes=5)
#: The ground remembers three days before the pour.
_BEFORE = timedelta(days=3)


def governing_job(placement: Placement) -> Job:
    """The stored text that governs a placement, read."""
    return stored_job(placement.version)


def stored_job(version: JobVersion) -> Job:
    """A stored text, read."""
    return _parsed(version.text, f"{version.job.name} as stored")


@lru_cache(maxsize=64)
def _parsed(text: str, name: str) -> Job:
    return parse_job(text, name)


def load_record(store: Store, placement: Placement, now: datetime) -> Record:
    """A poured slab as the store knows it: what was done, seen and decided by now.

    Parameters
    ----------
    store : Store
    placement : Placement
        Poured.
    now : datetime
        Rows that speak of a later time do not count. [aware]

    Returns
    -------
    Record
        Holds' states are those last recorded by now: a clock that was set back does not see
        what it has not lived yet.
    """
    until = now + AHEAD
    seen = readings_seen(store, placement, until)
    return Record(
        start_h=unix_h(placement.start_at),
        end_h=None if placement.end_at is None else unix_h(placement.end_at),
        placed_c=placement.temperature_c,
        bags=placement.bags,
        water_l_per_bag=placement.water_l_per_bag,
        seen=tuple(Seen(*one) for one in seen),
        done=tuple(
            Done(unix_h(e.at), e.kind, _numbers(e.payload))
            for e in events(store, placement)
            if e.at <= until
        ),
        tested=tuple(
            Tested(unix_h(t.at), t.strength_mpa, t.kind)
            for t in strength_tests(store, placement)
            if t.at <= until and t.strength_mpa is not None
        ),
        signed=tuple(
            Signed(unix_h(s.at), s.hold, s.by, s.reason, withdrawn=s.kind == "withdrawn")
            for s in sign_offs(store, placement)
            if s.at <= until
        ),
        observed=_observed(store, placement, now),
        states=hold_states(store, placement, now),
    )


def _observed(store: Store, placement: Placement, now: datetime) -> tuple[tuple[float, float], ...]:
    """Air by the station that reported most: two stations would only be two offsets."""
    place = place_of(governing_job(placement))
    by_station: dict[str, list[tuple[float, float]]] = {}
    for row in observations(store, place, placement.start_at - _BEFORE, now):
        if row.air_c is not None:
            by_station.setdefault(row.station, []).append((unix_h(row.at), row.air_c))
    most = max(by_station, key=lambda station: len(by_station[station]), default=None)
    return () if most is None else tuple(by_station[most])


def _numbers(payload: dict[str, Any]) -> dict[str, float]:
    return {key: float(v) for key, v in payload.items() if isinstance(v, (int, float))}
