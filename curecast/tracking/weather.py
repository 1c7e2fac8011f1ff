"""Where a job's weather is kept, and what was known of it at each time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from curecast.clock import from_unix_h
from curecast.core.weather.height import at_height
from curecast.core.weather.seams import followed
from curecast.core.weather.series import Forecast
from curecast.job.layout import SOURCES, Climate, Job
from curecast.sources.kept import dump_forecast, load_forecast
from curecast.sources.names import rank_of
from curecast.store.askings import latest_asking
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for, latest_forecast, save_forecast

__all__ = [
    "NORMALS_LAST_H",
    "OLDEST_H",
    "composed",
    "for_site",
    "in_order",
    "keep_forecast",
    "kept_forecasts",
    "known_forecasts",
    "place_of",
    "with_climate",
    "with_zone",
]

#: A forecast that is older is no forecast any more (ASSUMED). [h]
OLDEST_H = 24.0
#: Months of a climate that an archive gave serve for half a year (ASSUMED). [h]
NORMALS_LAST_H = 24.0 * 183
#: A service's clock may be so far ahead of this one.
_AHEAD = timedelta(minutes=5)


def place_of(job: Job) -> str:
    """The key under which weather is kept: the place, or the job where it names none.

    Parameters
    ----------
    job : Job
        As read.

    Returns
    -------
    str
        ``44.1000,-69.1100``, or ``job:`` and the job's name.
    """
    latitude, longitude = job.site.latitude, job.site.longitude
    if latitude is None or longitude is None:
        return f"job:{job.name}"
    return f"{latitude:.4f},{longitude:.4f}"


def keep_forecast(store: Store, place: str, forecast: Forecast) -> None:
    """Keep a forecast; one that is only what is left of an issue kept already is passed over.

    Parameters
    ----------
    store : Store
    place : str
        From ``place_of``.
    forecast : Forecast
        As fetched from one source, or read from a file; of a joined one the parts are kept
        already.
    """
    if forecast.origins:
        return
    issued, fetched = from_unix_h(forecast.issued_h), from_unix_h(forecast.fetched_h)
    with store.write():
        row = latest_forecast(store, place, source=forecast.source)
        if row is not None and row.issued_at == issued:
            known = load_forecast(row.body).weather
            new = forecast.weather
            if known.start_h <= new.start_h and known.end_h >= new.end_h:
                same = known.from_hour(new.start_h).air_c[: len(new)]
                if same.tolist() == new.air_c.tolist():
                    return
        save_forecast(store, forecast.source, place, issued, fetched, dump_forecast(forecast))


def kept_forecasts(
    store: Store, place: str, now: datetime, order: Sequence[str] = SOURCES
) -> tuple[Forecast, ...]:
    """What was known of a place's weather at each time by now, oldest issue first.

    Parameters
    ----------
    store : Store
    place : str
        From ``place_of``.
    now : datetime
        [aware]
    order : sequence of str
        The services in their order: the first is carried on by the next where it ends.

    Returns
    -------
    tuple of Forecast
        One for every time that something new was fetched.
    """
    rows = forecasts_for(store, place, now + _AHEAD)
    return _history([load_forecast(row.body) for row in rows], order)


def known_forecasts(store: Store, job: Job, now: datetime) -> tuple[Forecast, ...]:
    """As ``kept_forecasts``, by the job's own order of services and for its height."""
    rows = forecasts_for(store, place_of(job), now + _AHEAD)
    loaded = [for_site(load_forecast(row.body), job) for row in rows]
    return _history(loaded, job.site.sources or SOURCES)


def for_site(forecast: Forecast, job: Job) -> Forecast:
    """The forecast for the height of the job's site, where the job asks for that."""
    site = job.site
    if not site.lapse or site.elevation_m is None:
        return forecast
    return at_height(forecast, site.elevation_m)


def in_order(newest: Iterable[Forecast], order: Sequence[str]) -> list[Forecast]:
    """Forecasts in the order of their services, the newer first within one."""
    return sorted(newest, key=lambda f: (rank_of(f.source, order), -f.issued_h))


def composed(newest: Iterable[Forecast], at_h: float, order: Sequence[str]) -> Forecast | None:
    """One outlook from the newest forecast of each source.

    Parameters
    ----------
    newest : iterable of Forecast
        One of each source.
    at_h : float
        The time at which it is put together: what is older than a day only serves where
        there is nothing else. [h]
    order : sequence of str
        The services in their order.

    Returns
    -------
    Forecast or None
        None where there is no forecast at all.
    """
    ranked = in_order(newest, order)
    fresh = [f for f in ranked if at_h - f.issued_h <= OLDEST_H]
    if not fresh:
        return max(ranked, key=lambda f: f.issued_h, default=None)
    outlook = fresh[0]
    for forecast in fresh[1:]:
        outlook = followed(outlook, forecast)
    return outlook


def _history(forecasts: Iterable[Forecast], order: Sequence[str]) -> tuple[Forecast, ...]:
    newest: dict[int, Forecast] = {}
    known: list[Forecast] = []
    for forecast in sorted(forecasts, key=lambda f: (f.fetched_h, f.issued_h)):
        rank = rank_of(forecast.source, order)
        if rank in newest and newest[rank].issued_h > forecast.issued_h:
            known.append(forecast)
            continue
        newest[rank] = forecast
        outlook = composed(newest.values(), forecast.fetched_h, order)
        if outlook is not None:
            known.append(outlook)
    return tuple(sorted(known, key=lambda f: f.issued_h))


def with_climate(store: Store | None, job: Job, now: datetime) -> Job:
    """The job with the months that an archive gave for its place, where it names none itself."""
    if store is None or job.climate.normals_c:
        return job
    row = latest_asking(store, "open-meteo", place_of(job), "normals", now, ("given",))
    if row is None or (now - row.at).total_seconds() > 3600.0 * NORMALS_LAST_H:
        return job
    return replace(job, climate=Climate(tuple(row.payload["normals_c"])))


def with_zone(job: Job, forecasts: Sequence[Forecast]) -> Job:
    """The job, read in the newest zone that a forecast names where its own file names none."""
    zones = [forecast.zone for forecast in forecasts if forecast.zone]
    if job.site.zone is not None or not zones:
        return job
    return replace(job, site=replace(job.site, zone=zones[-1]))
