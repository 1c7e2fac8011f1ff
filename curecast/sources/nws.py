"""The public forecast service of the US National Weather Service, from a place to a forecast."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherError, WeatherUnavailable, WeatherUnusable
from curecast.sources.answers import Refusal
from curecast.sources.freshness import check_fresh
from curecast.sources.http import LD_JSON, Caller
from curecast.sources.instants import hour_text
from curecast.sources.merge import merge
from curecast.sources.nws_payload import parse_grid, parse_hourly
from curecast.sources.nws_walk import PUBLIC_URL, Point, Walk
from curecast.sources.patience import PATIENCE, Patience

__all__ = ["PUBLIC_URL", "get_nws", "walk_forecast"]

#: A full hourly forecast reaches 156 h; less than this is told.
_USUAL_REACH_H = 120.0

Parse = Callable[..., Forecast]


def get_nws(
    latitude: float,
    longitude: float,
    contact: str | None,
    *,
    now_h: float,
    base_url: str = PUBLIC_URL,
    patience: Patience = PATIENCE,
) -> Forecast:
    """The forecast for a place in the USA.

    Parameters
    ----------
    latitude, longitude : float
        WGS84, rounded to four decimals as the service wants it. [degree]
    contact : str or None
        Mail or web address by which the service may reach the caller.
    now_h : float
        The present, since 1970-01-01T00:00 UTC: earlier hours are dropped. [h]
    base_url : str
        Root of the service, or of a server that stands in for it.
    patience : Patience
        Time-outs and retries; the whole walk ends within ``patience.total_s``.

    Returns
    -------
    Forecast
        Hourly values, completed from the grid; from one of them alone when the other
        fails, with a flag. Its age is the caller's question (``freshness.check_fresh``).

    Raises
    ------
    WeatherUnavailable
        The service cannot be reached or refuses.
    WeatherUnusable
        What it gave cannot be trusted.
    """
    with Walk(latitude, longitude, contact, base_url=base_url, patience=patience) as walk:
        return walk_forecast(walk, now_h)


def walk_forecast(walk: Walk, now_h: float) -> Forecast:
    """The forecast at the end of a walk; as ``get_nws``.

    Parameters
    ----------
    walk : Walk
        Open; a grid cell that has moved is looked up once more.
    now_h : float
        The present, since 1970-01-01T00:00 UTC: earlier hours are dropped. [h]
    """
    point = walk.point()
    hourly, grid = _get_both(walk.caller, point, now_h)
    if _has_moved(hourly) or _has_moved(grid):
        moved = walk.point_anew()
        if moved != point:
            point = moved
            hourly, grid = _get_both(walk.caller, point, now_h)
    forecast = _joined(hourly, grid, now_h)
    if forecast.weather.end_h + 1 <= now_h:
        raise WeatherUnusable(
            "all hours of the service's forecast lie in the past", hint="try again later"
        )
    weather = forecast.weather.from_hour(math.floor(now_h))
    flags = forecast.flags
    if weather.start_h > now_h + 1:
        flags += (f"the forecast begins only at {hour_text(weather.start_h)}",)
    if weather.end_h < now_h + _USUAL_REACH_H:
        flags += (f"the forecast reaches only {weather.end_h - now_h:.0f} h ahead",)
    return replace(forecast, weather=weather, fetched_h=now_h, zone=point.zone, flags=flags)


Part = Forecast | WeatherError


def _get_both(caller: Caller, point: Point, now_h: float) -> tuple[Part, Part]:
    return (
        _get_part(caller, point.hourly_url, parse_hourly, now_h, "hourly", share=0.55),
        _get_part(caller, point.grid_url, parse_grid, now_h, "grid", share=1.0),
    )


def _get_part(
    caller: Caller, url: str | None, parse: Parse, now_h: float, name: str, *, share: float
) -> Part:
    """One payload, or why there is none. An old one is asked for once more in the other
    media type: caches have served answers that were days old for one type only."""
    if url is None:
        return WeatherUnavailable(f"{caller.host} names no {name} forecast for this place")
    try:
        forecast = parse(caller.get_json(url, share=share), fetched_h=now_h)
    except WeatherError as error:
        return error
    if not check_fresh(forecast, now_h)[0]:
        return forecast
    try:
        flat = caller.get_json(url, accept=LD_JSON, share=share)
        other = parse(flat if "properties" in flat else {"properties": flat}, fetched_h=now_h)
    except WeatherError:
        return forecast
    return other if other.issued_h > forecast.issued_h else forecast


def _has_moved(part: Part) -> bool:
    """Whether the grid cell that the point named is gone."""
    return isinstance(part, Refusal) and part.status == 404


def _joined(hourly: Part, grid: Part, now_h: float) -> Forecast:
    """Both parts as one; a fresh part alone where the other fails or is too old."""
    if isinstance(hourly, Forecast) and isinstance(grid, Forecast):
        old = [check_fresh(part, now_h)[0] for part in (hourly, grid)]
        if old[0] == old[1]:
            return merge(hourly, grid)
        fresh, name = (grid, "hourly") if old[0] else (hourly, "grid")
        flag = f"without the {name} forecast: it is more than a day old"
        return replace(fresh, flags=(*fresh.flags, flag))
    for part, other, name in ((hourly, grid, "grid"), (grid, hourly, "hourly")):
        if isinstance(part, Forecast) and isinstance(other, WeatherError):
            return replace(
                part, flags=(*part.flags, f"without the {name} forecast: {other.message}")
            )
    assert isinstance(hourly, WeatherError)
    assert isinstance(grid, WeatherError)
    if hourly.message == grid.message:
        raise hourly
    kind = next(
        (WeatherUnavailable for e in (hourly, grid) if isinstance(e, WeatherUnavailable)),
        WeatherUnusable,
    )
    raise kind(f"{hourly.message}; {grid.message}", hint=hourly.hint)
