"""The forecast before the one that serves, if one was kept: what an answer has moved from."""

from __future__ import annotations

from datetime import timedelta

from curecast.clock import from_unix_h, unix_h
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.sources.kept import load_forecast
from curecast.sources.names import service_of
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for
from curecast.tracking import for_site, place_of

__all__ = ["find_previous"]

#: An issue so much older is another one; beyond three days it is no news any more. ASSUMED [h]
_APART_H, _OLDEST_H = 1.0, 72.0


def find_previous(store: Store, job: Job, forecast: Forecast, now_h: float) -> Forecast | None:
    """The last kept forecast of the same service that is older than the one that serves.

    Parameters
    ----------
    store : Store
    job : Job
        For its place and height.
    forecast : Forecast
        The one that serves.
    now_h : float
        Now, hours since 1970. [h]

    Returns
    -------
    Forecast or None
        None where none was kept in the three days before it.
    """
    origins = forecast.hour_origins()
    service = service_of(forecast.source)
    issued_h = max((o.issued_h for o in origins if service_of(o.source) == service),
                   default=forecast.issued_h)  # fmt: skip
    until = from_unix_h(now_h) + timedelta(minutes=5)
    since = from_unix_h(issued_h - _OLDEST_H)
    for row in reversed(forecasts_for(store, place_of(job), until, issued_from=since)):
        made_h = unix_h(row.issued_at)
        if service_of(row.source) == service and issued_h - made_h >= _APART_H:
            return for_site(load_forecast(row.body), job)
    return None
