"""Where a job's weather is kept, and the forecasts that are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from curecast.clock import from_unix_h
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.sources.kept import dump_forecast, load_forecast
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for, latest_forecast, save_forecast

__all__ = ["keep_forecast", "kept_forecasts", "place_of", "with_zone"]

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
        As fetched or read from a file.
    """
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


def kept_forecasts(store: Store, place: str, now: datetime) -> tuple[Forecast, ...]:
    """All forecasts of a place that were made and fetched by now, oldest issue first."""
    return tuple(load_forecast(row.body) for row in forecasts_for(store, place, now + _AHEAD))


def with_zone(job: Job, forecasts: Sequence[Forecast]) -> Job:
    """The job, read in the newest zone that a forecast names where its own file names none."""
    zones = [forecast.zone for forecast in forecasts if forecast.zone]
    if job.site.zone is not None or not zones:
        return job
    return replace(job, site=replace(job.site, zone=zones[-1]))
