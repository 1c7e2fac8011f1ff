"""Asking one service for one place: only when it is time, and with what it wants remembered."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import asdict, dataclass

from curecast.core.weather.series import Forecast
from curecast.errors import CurecastError, WeatherError, WeatherUnavailable, WeatherUnusable
from curecast.job.layout import Job
from curecast.outlook.beside import is_beside_due, look_beside
from curecast.outlook.memory import Memory
from curecast.outlook.services import url_of
from curecast.outlook.trust import check_trust
from curecast.sources.fetched import Fetched, Remembered
from curecast.sources.names import shown_name
from curecast.sources.nws_walk import PUBLIC_URL, Point, Walk
from curecast.sources.patience import Patience
from curecast.tracking import OLDEST_H, keep_forecast

__all__ = ["Told", "ask"]

#: Not asked again within this, nor while the kept one is so young by its own issue. [h]
_APART_H, _YOUNG_H = 1.0 / 6.0, 1.0
#: A place's cell is looked up anew after a week. [h]
_CELL_H = 168.0


@dataclass(frozen=True)
class Told:
    """What came of one service.

    Parameters
    ----------
    service : str
        By the job file's word.
    forecast : Forecast or None
        The newest that may serve, new or kept.
    fault : WeatherError or None
        Why nothing new came.
    """

    service: str
    forecast: Forecast | None
    fault: WeatherError | None = None


def ask(service: str, job: Job, memory: Memory, kept: Forecast | None, patience: Patience) -> Told:
    """Ask a service for its forecast, unless the kept one still does.

    Parameters
    ----------
    service : str
        One of the job file's words.
    job : Job
        Its site has a place.
    memory : Memory
        Of that place and now; what comes is kept in its store.
    kept : Forecast or None
        The newest of this service.
    patience : Patience
        Time-outs and the time that is left.

    Returns
    -------
    Told
        What a service does wrong is told, never raised.
    """
    if kept is not None and memory.now_h - kept.issued_h > OLDEST_H:
        kept = None
    if kept is not None and not _is_due(service, memory, kept):
        if service == "nws" and is_beside_due(memory):
            _walk(job, memory, patience, lambda walk: None)
        return Told(service, kept)
    if service == "met-norway" and not job.site.contact:
        return Told(service, kept, _nobody_asks())
    try:
        fetched = _ASK[service](job, memory, patience, kept is not None)
        new = fetched.forecast and check_trust(fetched.forecast, kept, memory)
    except Exception as error:
        if isinstance(error, CurecastError) and not isinstance(error, WeatherError):
            raise  # the store's, not the service's
        # The other services, and what is kept, must not hang on a fault with one of them.
        fault = error if isinstance(error, WeatherError) else _our_fault(service, error)
        memory.note(service, "forecast", "failed", {"message": fault.message})
        return Told(service, kept, fault)
    noted = asdict(fetched.remembered) | {"elevation_m": job.site.elevation_m}
    memory.note(service, "forecast", "given" if new else "same", noted)
    if new is None or (kept is not None and kept.issued_h > new.issued_h):
        return Told(service, kept)  # nothing new, or a cache on the way went back in time
    if memory.store is not None:
        keep_forecast(memory.store, memory.place, new)
    return Told(service, new)


def _our_fault(service: str, error: Exception) -> WeatherUnusable:
    name = shown_name(service)
    return WeatherUnusable(
        f"a fault in curecast with what {name} sent ({type(error).__name__}: {str(error)[:80]})",
        "report it; until then give a saved forecast with --forecast",
    )


def _nobody_asks() -> WeatherUnavailable:
    return WeatherUnavailable(
        "MET Norway wants to know who asks",
        "give [site] contact in the job file: an e-mail or web address",
    )


def _is_due(service: str, memory: Memory, kept: Forecast) -> bool:
    now_h = memory.now_h
    last = memory.last(service, "forecast", "given", "same")
    if last is not None:
        not_before_h = last.number("not_before_h") or 0.0
        if now_h - last.at_h < _APART_H or now_h < not_before_h:
            return False
    return now_h - kept.issued_h >= _YOUNG_H


def _walk(
    job: Job, memory: Memory, patience: Patience, get: Callable[[Walk], Forecast | None]
) -> Forecast | None:
    """One walk through the US service: what ``get`` wants, then what is due beside it."""
    site = job.site
    cell = memory.last("nws", "point", "given")
    known = None
    if cell is not None and memory.now_h - cell.at_h < _CELL_H:
        known = Point(*(cell.payload.get(name) for name in Point.__dataclass_fields__))
    with Walk(
        site.latitude or 0.0,
        site.longitude or 0.0,
        site.contact,
        base_url=url_of("nws") or PUBLIC_URL,
        patience=patience,
        known=known,
    ) as walk:
        try:
            found = get(walk)
            look_beside(walk, memory)
        finally:
            if walk.asked and walk.known is not None:
                memory.note("nws", "point", "given", asdict(walk.known))
    return found


def _ask_nws(job: Job, memory: Memory, patience: Patience, has_kept: bool) -> Fetched:
    from curecast.sources.nws import walk_forecast

    return Fetched(_walk(job, memory, patience, lambda w: walk_forecast(w, memory.now_h)))


def _ask_met_norway(job: Job, memory: Memory, patience: Patience, has_kept: bool) -> Fetched:
    from curecast.sources.met_norway import MET_NORWAY_URL, get_met_norway

    site, before = job.site, None
    last = memory.last("met-norway", "forecast", "given", "same")
    if has_kept and last is not None and last.payload.get("elevation_m") == site.elevation_m:
        before = Remembered(None, str(last.payload.get("since", "")))
    return get_met_norway(
        site.latitude or 0.0,
        site.longitude or 0.0,
        site.contact,
        now_h=memory.now_h,
        elevation_m=site.elevation_m,
        before=before,
        base_url=url_of("met-norway") or MET_NORWAY_URL,
        patience=patience,
    )


def _ask_open_meteo(job: Job, memory: Memory, patience: Patience, has_kept: bool) -> Fetched:
    from curecast.sources.open_meteo import get_open_meteo

    site = job.site
    return get_open_meteo(
        site.latitude or 0.0,
        site.longitude or 0.0,
        site.contact,
        now_h=memory.now_h,
        elevation_m=site.elevation_m,
        key=os.environ.get("CURECAST_OPEN_METEO_KEY", "").strip(),
        base_url=url_of("open-meteo"),
        patience=patience,
    )


_ASK: dict[str, Callable[[Job, Memory, Patience, bool], Fetched]] = {
    "nws": _ask_nws,
    "met-norway": _ask_met_norway,
    "open-meteo": _ask_open_meteo,
}
