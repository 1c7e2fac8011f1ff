"""What the nearest weather stations measured: the hours that no forecast needs to guess."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from curecast.errors import WeatherError, WeatherUnavailable
from curecast.sources.fields import find_instant_h, quantity_si
from curecast.sources.http import Caller
from curecast.sources.metar import metar_air_c
from curecast.sources.nws_walk import PUBLIC_URL, Walk
from curecast.sources.patience import PATIENCE, Patience
from curecast.sources.samples import COLUMNS

__all__ = ["Observation", "get_observations", "parse_observations", "walk_observations"]

#: (hours since 1970-01-01T00:00 UTC, air temperature in °C, station)
Observation = tuple[float, float, str]

#: Flags of the quality control after which a value is not used: failed, bad by hand.
_FAILED = ("X", "B")
_STATIONS = 3
_PAGE, _MOST_PAGES = 500, 8
#: A value that differs so much from both neighbours within two hours is a fault. ASSUMED
_SPIKE_K, _NEAR_H = 10.0, 2.0


def get_observations(
    latitude: float,
    longitude: float,
    contact: str | None,
    *,
    from_h: float,
    to_h: float,
    base_url: str = PUBLIC_URL,
    patience: Patience = PATIENCE,
) -> list[Observation]:
    """Air temperatures measured near a place between two instants.

    Parameters
    ----------
    latitude, longitude : float
        WGS84. [degree]
    contact : str or None
        Mail or web address by which the service may reach the caller.
    from_h, to_h : float
        The span, since 1970-01-01T00:00 UTC; the service keeps about a week. [h]
    base_url : str
        Root of the service, or of a server that stands in for it.
    patience : Patience
        Time-outs and retries.

    Returns
    -------
    list of (float, float, str)
        Time [h], air temperature [°C], station: in order of time, from the first of the
        nearest three stations that has any. Empty when none has.

    Raises
    ------
    WeatherUnavailable
        The service cannot be reached, or none of the stations answers.
    WeatherUnusable
        The service's answer is none.
    """
    if not to_h > from_h:
        return []
    with Walk(latitude, longitude, contact, base_url=base_url, patience=patience) as walk:
        return walk_observations(walk, from_h, to_h)


def walk_observations(
    walk: Walk, from_h: float, to_h: float, usual: str | None = None
) -> list[Observation]:
    """Air temperatures at the end of a walk; as ``get_observations``.

    Parameters
    ----------
    walk : Walk
        Open.
    from_h, to_h : float
        The span, since 1970-01-01T00:00 UTC. [h]
    usual : str or None
        The station that reported before: it is asked first, where it is one of the nearest,
        because another one stands elsewhere.
    """
    caller, url = walk.caller, walk.point().stations_url
    names = [] if url is None else _station_names(caller.get_json(url, share=0.5))
    if not names:
        raise WeatherUnavailable(f"{caller.host} names no weather stations for this place")
    nearest = sorted(names[:_STATIONS], key=lambda name: name != usual)
    fault: WeatherError | None = None
    answered = False
    for name in nearest:
        try:
            found = _get_station(caller, name, from_h, to_h)
        except WeatherError as error:
            fault = error
            continue
        answered = True
        if found:
            return found
    if fault is not None and not answered:
        raise fault
    return []


def _station_names(answer: Mapping[str, Any]) -> list[str]:
    names = []
    for feature in _features(answer):
        properties = feature.get("properties")
        name = properties.get("stationIdentifier") if isinstance(properties, dict) else None
        if isinstance(name, str) and re.fullmatch(r"[A-Za-z0-9]{3,12}", name):
            names.append(name)
    return names


def _get_station(caller: Caller, name: str, from_h: float, to_h: float) -> list[Observation]:
    """All pages of one station; a page is followed by another only when it is full."""
    url = f"/stations/{name}/observations"
    params: dict[str, str] = {"start": _iso(from_h), "end": _iso(to_h), "limit": str(_PAGE)}
    found: list[Observation] = []
    for _ in range(_MOST_PAGES):
        answer = caller.get_json(url, params=params, share=0.5)
        found += parse_observations(answer, name)
        pages = answer.get("pagination")
        following = pages.get("next") if isinstance(pages, dict) else None
        if len(_features(answer)) < _PAGE or not isinstance(following, str):
            break
        url, params = following, {}
    return _in_order([row for row in found if from_h <= row[0] <= to_h])


def _iso(time_h: float) -> str:
    instant = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(hours=time_h)
    return f"{instant:%Y-%m-%dT%H:%M:%SZ}"


def _features(answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    features = answer.get("features")
    if not isinstance(features, list):
        return []
    return [feature for feature in features if isinstance(feature, dict)]


def parse_observations(answer: Mapping[str, Any], station: str) -> list[Observation]:
    """The air temperatures of one answer.

    Parameters
    ----------
    answer : mapping
        A collection of observations; its ``features`` may be null or unsorted.
    station : str
        Its station.

    Returns
    -------
    list of (float, float, str)
        Time [h], air temperature [°C], station: in order of time, one for each instant.
        Values that failed the service's quality control, or that are beyond the bounds of
        weather, are left out; a null value is read from the raw report when there is one.

    Raises
    ------
    WeatherUnusable
        A temperature in an unknown unit.
    """
    rows: list[Observation] = []
    for feature in _features(answer):
        properties = feature.get("properties")
        if not isinstance(properties, dict):
            continue
        time_h = find_instant_h(properties.get("timestamp"))
        air_c = _air_c(properties)
        if time_h is not None and air_c is not None:
            rows.append((time_h, air_c, station))
    return _in_order(rows)


def _air_c(properties: Mapping[str, Any]) -> float | None:
    given = properties.get("temperature")
    flag = given.get("qualityControl") if isinstance(given, dict) else None
    if isinstance(flag, str) and flag.rpartition(":")[2] in _FAILED:
        return None
    try:
        air_c = quantity_si(given, "temperature", "the observed temperature")
    except ValueError:
        air_c = None
    if air_c is None:
        raw = properties.get("rawMessage")
        air_c = metar_air_c(raw) if isinstance(raw, str) else None
    column = COLUMNS["air_c"]
    return air_c if air_c is not None and column.low <= air_c <= column.high else None


def _in_order(rows: list[Observation]) -> list[Observation]:
    """Sorted, one for each instant, without values that both neighbours contradict."""
    once = sorted({round(row[0], 6): row for row in rows}.values())
    before = [(-math.inf, 0.0, ""), *once]
    after = [*once[1:], (math.inf, 0.0, "")]
    return [
        row
        for left, row, right in zip(before, once, after, strict=False)
        if not _stands_alone(left, row, right)
    ]


def _stands_alone(left: Observation, row: Observation, right: Observation) -> bool:
    if row[0] - left[0] > _NEAR_H or right[0] - row[0] > _NEAR_H:
        return False
    up_k, down_k = row[1] - left[1], row[1] - right[1]
    return min(abs(up_k), abs(down_k)) > _SPIKE_K and up_k * down_k > 0
