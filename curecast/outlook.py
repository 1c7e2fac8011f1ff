"""The newest forecast for a job: from a file, from the service, or from what is kept."""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from curecast.clock import from_unix_h
from curecast.core.weather.series import Forecast
from curecast.errors import WeatherError, WeatherUnavailable
from curecast.job.layout import Job

if TYPE_CHECKING:
    from curecast.store.connection import Store

#: A kept forecast younger than this is not asked for again. [h]
_FRESH_H = 1.0
#: Older than this a forecast is no forecast any more. [h]
_OLDEST_H = 24.0


def get_outlook(
    job: Job, now_h: float, *, file: str | Path | None = None, store: Store | None = None
) -> tuple[Forecast, str]:
    """The newest forecast, and a note about its age or source where one is due.

    Parameters
    ----------
    job : Job
        For its place and contact.
    now_h : float
        Now, hours since 1970. [h]
    file : str, Path or None
        A saved forecast to use instead of asking.
    store : Store or None
        Where forecasts are kept; a fetched one is added.

    Returns
    -------
    forecast : Forecast
    note : str
        Empty, or a sentence for people.

    Raises
    ------
    WeatherUnavailable
        No forecast is to be had, and none that is kept is younger than a day.
    WeatherUnusable
        The file or the service's answer cannot be trusted.
    """
    if file is not None:
        from curecast.sources.forecast_file import read_forecast

        forecast = read_forecast(file)
        if store is not None:
            _keep(store, job, forecast)
        return forecast, ""
    kept = None if store is None else _kept(store, job, now_h)
    if kept is not None and now_h - kept.fetched_h < _FRESH_H:
        return kept, ""
    latitude, longitude = job.site.latitude, job.site.longitude
    if latitude is None or longitude is None:
        if kept is not None and now_h - kept.issued_h <= _OLDEST_H:
            return kept, f"the forecast is {now_h - kept.issued_h:.0f} h old"
        raise WeatherUnavailable(
            "the job does not say where the slab lies, so no forecast can be fetched",
            "give [site] place in the job file, or a saved forecast with --forecast FILE",
        )
    from curecast.sources.nws import PUBLIC_URL, get_nws

    try:
        forecast = get_nws(
            latitude,
            longitude,
            job.site.contact,
            now_h=now_h,
            base_url=os.environ.get("CURECAST_NWS_URL") or PUBLIC_URL,
        )
    except WeatherError as fault:
        if kept is not None and now_h - kept.issued_h <= _OLDEST_H:
            age = now_h - kept.issued_h
            return kept, f"{fault.message}; the kept forecast is used, {age:.0f} h old"
        raise
    if store is not None:
        _keep(store, job, forecast)
    return forecast, ""


def _keep(store: Store, job: Job, forecast: Forecast) -> None:
    from curecast.sources.kept import dump_forecast
    from curecast.store.forecasts import save_forecast
    from curecast.tracking import place_of

    save_forecast(
        store,
        forecast.source,
        place_of(job),
        from_unix_h(forecast.issued_h),
        from_unix_h(forecast.fetched_h),
        dump_forecast(forecast),
    )


def _kept(store: Store, job: Job, now_h: float) -> Forecast | None:
    from curecast.sources.kept import load_forecast
    from curecast.store.forecasts import latest_forecast
    from curecast.tracking import place_of

    row = latest_forecast(store, place_of(job), from_unix_h(now_h) + timedelta(minutes=1))
    return None if row is None else load_forecast(row.body)


def present_for(forecast: Forecast, now_h: float, said: bool) -> tuple[float, str]:
    """The present by which a saved forecast is judged.

    Parameters
    ----------
    forecast : Forecast
        From a file.
    now_h : float
        The clock's present. [h]
    said : bool
        Whether ``--now`` fixed it.

    Returns
    -------
    now_h : float
        The clock's, unless the file is from another time: then its issue. [h]
    note : str
        Says so.
    """
    weather = forecast.weather
    usable = weather.start_h <= now_h + 1.0 and weather.end_h >= now_h + 48.0
    if said or (usable and now_h - forecast.issued_h <= _OLDEST_H):
        return now_h, ""
    at = max(forecast.issued_h, float(weather.start_h))
    return at, "the saved forecast is from another time; its own issue is taken as now"
