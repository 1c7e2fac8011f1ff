"""What is known of a job's weather now: every source asked in its turn, joined, with its words."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path

from curecast.clock import from_unix_h, show_instant
from curecast.core.weather.seams import preceded
from curecast.core.weather.series import Forecast
from curecast.errors import WeatherError, WeatherUnavailable, WeatherUnusable
from curecast.job.layout import SOURCES, Climate, Job
from curecast.outlook.asking import Told, ask
from curecast.outlook.beside import known_notices
from curecast.outlook.climate import learn_climate
from curecast.outlook.memory import Memory
from curecast.outlook.observed import find_observed
from curecast.outlook.services import services_for, wait_s
from curecast.outlook.several import fresh_beside
from curecast.sources.names import OWN, service_of, shown_name
from curecast.sources.nws_alerts import Notice
from curecast.sources.patience import PATIENCE
from curecast.store.connection import Store
from curecast.store.forecasts import latest_of_each
from curecast.tracking import (
    OLDEST_H,
    composed,
    for_site,
    keep_forecast,
    place_of,
    with_climate,
)

__all__ = ["Outlook", "look_out"]

#: What the first service may take of the time while another one waits its turn. [-]
_FIRST_SHARE = 0.7
#: A service is always given this part of the time. [-]
_LEAST_SHARE = 0.05


@dataclass(frozen=True)
class Outlook:
    """What is known of a job's weather at one time.

    Parameters
    ----------
    forecast : Forecast
        Measured hours, then every source in its turn; ``origins`` says what came from where.
    told : tuple of Told
        What came of each service; of a saved forecast one, under ``own``.
    notices : tuple of Notice
        Warnings in force.
    note : str
        Empty, or what is to be said beside every answer.
    climate : Climate
        The months of the place: the job's own, else what an archive gave.
    beside : tuple of Forecast
        Every other source's own forecast: what they differ by is doubt.
    """

    forecast: Forecast
    told: tuple[Told, ...]
    notices: tuple[Notice, ...] = ()
    note: str = ""
    climate: Climate = field(default_factory=Climate)
    beside: tuple[Forecast, ...] = ()


def look_out(
    job: Job, now_h: float, *, file: str | Path | None = None, store: Store | None = None
) -> Outlook:
    """What is known of a job's weather now; what is missing is asked for and kept.

    Parameters
    ----------
    job : Job
        For its place, contact, sources and height.
    now_h : float
        Now, hours since 1970. [h]
    file : str, Path or None
        A saved forecast to use instead of asking.
    store : Store or None
        Where weather is kept.

    Returns
    -------
    Outlook

    Raises
    ------
    WeatherUnavailable
        No forecast is to be had, and none that is kept is younger than a day.
    WeatherUnusable
        The file, or all that came, cannot be trusted.
    """
    place = place_of(job)
    if file is not None:
        from curecast.sources.forecast_file import read_forecast

        given = read_forecast(file)
        if store is not None:
            keep_forecast(store, place, given)
        climate = with_climate(store, job, from_unix_h(now_h)).climate
        return Outlook(for_site(given, job), (Told(OWN, given),), climate=climate)
    memory = Memory(store, place, now_h)
    kept = _kept(store, place, now_h)
    told = _ask_all(job, memory, kept)
    order = job.site.sources or SOURCES
    usable = [t.forecast for t in told if t.forecast is not None]
    if not usable and OWN in kept and 0.0 <= now_h - kept[OWN].issued_h <= OLDEST_H:
        usable = [kept[OWN]]  # what was brought along the last time, rather than nothing
    here = [for_site(f, job) for f in usable]
    outlook = composed(here, now_h, order)
    if outlook is None:
        raise _nothing(job, told, list(kept.values()), now_h)
    outlook = replace(outlook, origins=outlook.hour_origins())
    notices = known_notices(memory)
    zone = job.site.zone or outlook.zone
    note = "; ".join([*_faults(outlook, told, now_h), *_warned(notices, zone)])
    climate = with_climate(store, job, from_unix_h(now_h)).climate
    forecast = preceded(outlook, *find_observed(memory, outlook))
    beside = fresh_beside(here, now_h, order)
    return Outlook(forecast, told, notices, note, climate, beside)


def _kept(store: Store | None, place: str, now_h: float) -> dict[str, Forecast]:
    """The newest kept forecast of each service."""
    if store is None:
        return {}
    from curecast.sources.kept import load_forecast

    newest: dict[str, Forecast] = {}
    for row in latest_of_each(store, place, from_unix_h(now_h) + timedelta(minutes=5)):
        service = service_of(row.source)
        known = newest.get(service)
        if known is None or known.issued_h <= row.issued_at.timestamp() / 3600.0:
            newest[service] = load_forecast(row.body)
    return newest


def _ask_all(job: Job, memory: Memory, kept: dict[str, Forecast]) -> tuple[Told, ...]:
    services = services_for(job.site)
    if job.site.latitude is None or job.site.longitude is None:
        return ()
    total_s = wait_s()
    end_s = time.monotonic() + total_s
    told = []
    for turn, service in enumerate(services):
        left_s = max(end_s - time.monotonic(), _LEAST_SHARE * total_s)
        share = _FIRST_SHARE if turn + 1 < len(services) else 1.0
        patience = PATIENCE.within(share * left_s)
        told.append(ask(service, job, memory, kept.get(service), patience))
    left_s = max(end_s - time.monotonic(), _LEAST_SHARE * total_s)
    learn_climate(job, memory, PATIENCE.within(left_s))
    return tuple(told)


def _nothing(job: Job, told: tuple[Told, ...], kept: list[Forecast], now_h: float) -> WeatherError:
    """Why there is no forecast, in one sentence."""
    faults = [t.fault for t in told if t.fault is not None]
    newest = max((f.issued_h for f in kept if f.issued_h <= now_h + 1.0), default=-math.inf)
    old = ""
    if math.isfinite(newest):
        old = f"; the newest that is kept was made {_ago(now_h - newest)} ago: too old to plan by"
    if job.site.latitude is None or job.site.longitude is None:
        return WeatherUnavailable(
            f"the job does not say where the slab lies, so no forecast can be fetched{old}",
            "give [site] place in the job file, or a saved forecast with --forecast FILE",
        )
    if not faults:
        return WeatherUnavailable(
            "none of the job's forecast services can be asked: their stand-ins are not set",
            "unset CURECAST_NWS_URL, or set the others' too",
        )
    why = "; ".join(dict.fromkeys(fault.message for fault in faults))
    kind: type[WeatherError] = WeatherUnusable
    if any(isinstance(fault, WeatherUnavailable) for fault in faults):
        kind = WeatherUnavailable
    return kind(f"no forecast: {why}{old}", faults[0].hint)


def _ago(hours: float) -> str:
    if hours < 1.0:
        return f"{60.0 * hours:.0f} min"
    return f"{hours:.0f} h" if hours < 48.0 else f"{hours / 24.0:.0f} days"


def _faults(outlook: Forecast, told: tuple[Told, ...], now_h: float) -> list[str]:
    """What to say where the first service failed: why, and what serves in its place."""
    if not told or told[0].fault is None:
        return []
    words = [told[0].fault.message]
    base = outlook.hour_origins()[0]
    age = _ago(max(now_h - base.issued_h, 0.0))
    if service_of(base.source) == told[0].service:
        words.append(f"the kept forecast is used, made {age} ago, and its doubt counts from then")
    else:
        name = shown_name(service_of(base.source))
        whose = "a saved forecast" if name == OWN else f"the forecast of {name}"
        words.append(f"{whose} is used, made {age} ago")
    return words


def _warned(notices: tuple[Notice, ...], zone: str | None) -> list[str]:
    said = []
    for notice in notices:
        until = ""
        if notice.until_h is not None:
            until = f" until {show_instant(from_unix_h(notice.until_h), zone)}"
        said.append(f"{notice.event} in force{until} (National Weather Service)")
    return said
