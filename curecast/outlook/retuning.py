"""The kept forecasts of a place against the air that was measured there."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from curecast.clock import from_unix_h, unix_h
from curecast.core.weather.doubt import season_of
from curecast.core.weather.own_doubt import OwnDoubt, own_doubt
from curecast.job.layout import Job
from curecast.sources.kept import load_forecast
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for
from curecast.store.jobs import open_jobs
from curecast.store.observations import observations
from curecast.store.placements import find_placement
from curecast.store.readings import readings
from curecast.tracking import for_site, governing_job, place_of

__all__ = ["find_own_doubt"]

#: How far back the record is looked at. ASSUMED [h]
_BACK_H = 60 * 24.0
#: A measurement stands for a whole hour within this. [h]
_NEAR_H = 0.5
#: Issues of one source closer together say the same. [h]
_APART_H = 20.0

Pairs = list[NDArray[np.float64]]


def find_own_doubt(store: Store | None, job: Job, now_h: float) -> OwnDoubt:
    """What a place's own record says of its forecasts.

    Parameters
    ----------
    store : Store or None
        None: nothing is kept.
    job : Job
        For its place; air readings at its slabs count where they lie in the open.
    now_h : float
        Now, hours since 1970. [h]

    Returns
    -------
    OwnDoubt
        One issue a day of each source against station reports and air readings of the last
        sixty days; as the model has it where that is too little.
    """
    if store is None:
        return OwnDoubt()
    measured = _measured(store, job, now_h)
    if not measured:
        return OwnDoubt()
    found: Pairs = []
    last: dict[str, float] = {}
    since = from_unix_h(now_h - _BACK_H)
    for row in forecasts_for(store, place_of(job), from_unix_h(now_h), issued_from=since):
        made_h = unix_h(row.issued_at)
        if made_h - last.get(row.source, -np.inf) < _APART_H:
            continue
        last[row.source] = made_h
        weather = for_site(load_forecast(row.body), job).weather
        hours = weather.start_h + np.arange(len(weather), dtype=float)
        seen = np.array([measured.get(int(hour), np.nan) for hour in hours])
        known = np.isfinite(seen) & (hours >= made_h)
        lead = (hours - made_h) / 24.0 + 0.5
        found.append(np.stack([seen - weather.air_c, lead, hours])[:, known])
    if not found:
        return OwnDoubt()
    error, lead, hours = np.concatenate(found, axis=1)
    winter = season_of(hours, job.site.latitude) == 0
    return own_doubt(error, lead, hours // 24, winter)


def _measured(store: Store, job: Job, now_h: float) -> dict[int, float]:
    """Air measured at a place by whole hour, the nearest within half an hour. [°C]"""
    place = place_of(job)
    ends = from_unix_h(now_h - _BACK_H), from_unix_h(now_h) + timedelta(minutes=5)
    known = [
        (unix_h(o.at), o.air_c) for o in observations(store, place, *ends) if o.air_c is not None
    ]
    for row in open_jobs(store):
        placement = find_placement(store, row)
        if placement is None or placement.state != "poured":
            continue
        other = governing_job(placement)
        if place_of(other) == place and other.site.exposure == "open":
            known += [
                (unix_h(r.at), r.value_c)
                for r in readings(store, placement)
                if r.where == "air" and r.value_c is not None
            ]
    nearest: dict[int, tuple[float, float]] = {}
    for at_h, value_c in known:
        hour = round(at_h)
        off = abs(at_h - hour)
        if off <= _NEAR_H and (hour not in nearest or off < nearest[hour][0]):
            nearest[hour] = off, value_c
    return {hour: value_c for hour, (_, value_c) in nearest.items()}
