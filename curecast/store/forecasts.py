"""Every forecast as it was fetched: what a decision rested on stays readable."""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import Select, select

from curecast.store.connection import Store, add_row, utc_now
from curecast.store.rows import ForecastRow
from curecast.store.tables import forecast

__all__ = ["forecasts_for", "latest_forecast", "latest_of_each", "save_forecast"]


def save_forecast(
    store: Store,
    source: str,
    place: str,
    issued: datetime,
    fetched: datetime,
    body: str,
    recorded: datetime | None = None,
) -> ForecastRow:
    """Keep a forecast; the same issue fetched again is the same row.

    Parameters
    ----------
    store : Store
    source : str
        Who made it.
    place : str
        The place, always written the same way.
    issued, fetched : datetime
        When it was made and when it was fetched. [aware]
    body : str
        The service's own text. An issue whose text differs is kept as well.
    recorded : datetime or None
        The time of the entry; None: now. [aware]

    Returns
    -------
    ForecastRow
        With the time of its first fetch.
    """
    digest = sha256(body.encode()).hexdigest()
    same = select(forecast).where(
        forecast.c.source == source,
        forecast.c.place == place,
        forecast.c.issued_at == issued,
        forecast.c.hash == digest,
    )
    with store.write() as connection:
        row = connection.execute(same).first()
        if row is None:
            add_row(
                connection,
                forecast,
                source=source,
                place=place,
                issued_at=issued,
                fetched_at=fetched,
                recorded_at=recorded or utc_now(),
                hash=digest,
                body=body,
            )
            row = connection.execute(same).one()
        return _forecast(row)


def latest_forecast(
    store: Store,
    place: str,
    not_after: datetime | None = None,
    source: str | None = None,
) -> ForecastRow | None:
    """The newest issue that was made and fetched by ``not_after`` (None: of all)."""
    wanted = _for(place, not_after, source)
    newest = wanted.order_by(forecast.c.issued_at.desc(), forecast.c.id.desc()).limit(1)
    with store.read() as connection:
        row = connection.execute(newest).first()
    return None if row is None else _forecast(row)


def latest_of_each(
    store: Store, place: str, not_after: datetime | None = None
) -> tuple[ForecastRow, ...]:
    """The newest issue of each source that was made and fetched by ``not_after``."""
    with store.read() as connection:
        sources = connection.scalars(
            select(forecast.c.source).where(forecast.c.place == place).distinct()
        ).all()
        found = (latest_forecast(store, place, not_after, source) for source in sorted(sources))
        return tuple(row for row in found if row is not None)


def forecasts_for(
    store: Store,
    place: str,
    not_after: datetime | None = None,
    source: str | None = None,
    issued_from: datetime | None = None,
) -> tuple[ForecastRow, ...]:
    """Kept forecasts of a place, oldest issue first; ``issued_from``: none older."""
    wanted = _for(place, not_after, source)
    if issued_from is not None:
        wanted = wanted.where(forecast.c.issued_at >= issued_from)
    wanted = wanted.order_by(forecast.c.issued_at, forecast.c.id)
    with store.read() as connection:
        return tuple(_forecast(row) for row in connection.execute(wanted))


def _for(place: str, not_after: datetime | None, source: str | None) -> Select[Any]:
    wanted = select(forecast).where(forecast.c.place == place)
    if not_after is not None:
        wanted = wanted.where(forecast.c.issued_at <= not_after, forecast.c.fetched_at <= not_after)
    return wanted if source is None else wanted.where(forecast.c.source == source)


def _forecast(row: Any) -> ForecastRow:
    values = dict(row._mapping)
    del values["hash"]
    return ForecastRow(**values)
