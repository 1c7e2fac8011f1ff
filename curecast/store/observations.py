"""What weather stations reported for a place; a later, differing report corrects."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import asdict
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, select

from curecast.store.connection import Store, add_rows, utc_now
from curecast.store.rows import NewObservation, Observation
from curecast.store.tables import observation

__all__ = ["observations", "save_observations"]


def save_observations(
    store: Store,
    place: str,
    station: str,
    new: Iterable[NewObservation],
    recorded: datetime | None = None,
) -> int:
    """Keep a station's reports; those that are known already are passed over.

    Parameters
    ----------
    store : Store
    place : str
        The place that they stand for, written as for forecasts.
    station : str
        The station's name.
    new : iterable of NewObservation
        NaN counts as "said nothing".
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    int
        How many were new.
    """
    reports = {one.at: _without_nan(one) for one in new}
    if not reports:
        return 0
    with store.write() as connection:
        known = _latest(connection, place, station, min(reports), max(reports))
        rows = [
            {"place": place, "station": station, "recorded_at": recorded or utc_now(), **values}
            for at, values in sorted(reports.items())
            if at not in known or _values(known[at]) != values
        ]
        add_rows(connection, observation, rows)
    return len(rows)


def observations(
    store: Store,
    place: str,
    from_at: datetime,
    to_at: datetime,
    station: str | None = None,
) -> tuple[Observation, ...]:
    """The reports that stand for times from ``from_at`` to ``to_at``, both included, by time."""
    wanted = (
        select(observation)
        .where(observation.c.place == place)
        .where(observation.c.at >= from_at, observation.c.at <= to_at)
        .order_by(observation.c.id)
    )
    if station is not None:
        wanted = wanted.where(observation.c.station == station)
    with store.read() as connection:
        rows = [Observation(**row._mapping) for row in connection.execute(wanted)]
    standing = {(row.at, row.station): row for row in rows}
    return tuple(standing[key] for key in sorted(standing))


def _latest(
    connection: Connection, place: str, station: str, from_at: datetime, to_at: datetime
) -> dict[datetime, Any]:
    rows = connection.execute(
        select(observation)
        .where(observation.c.place == place, observation.c.station == station)
        .where(observation.c.at >= from_at, observation.c.at <= to_at)
        .order_by(observation.c.id)
    )
    return {row.at: row for row in rows}


def _values(row: Any) -> dict[str, Any]:
    return {name: row._mapping[name] for name in NewObservation.__dataclass_fields__}


def _without_nan(one: NewObservation) -> dict[str, Any]:
    return {
        name: None if isinstance(value, float) and math.isnan(value) else value
        for name, value in asdict(one).items()
    }
