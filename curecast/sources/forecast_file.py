"""A saved forecast: a service's JSON, or a table (CSV) of one's own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.sources.json_text import LARGEST_BYTES, parse_json
from curecast.sources.merge import merge
from curecast.sources.met_norway_payload import parse_met_norway
from curecast.sources.nws_payload import parse_grid, parse_hourly
from curecast.sources.open_meteo_payload import parse_open_meteo
from curecast.sources.table import parse_table

__all__ = ["read_forecast"]

_HINT = (
    "it takes the forecast service's hourly JSON (.../forecast/hourly), its grid JSON "
    '(/gridpoints/...), both as {"hourly": ..., "grid": ...}, the JSON of MET Norway or '
    "Open-Meteo, or a CSV with time and air_c"
)


def read_forecast(path: str | Path, *, now_h: float | None = None) -> Forecast:
    """A forecast from a file; what it is, is told by what it holds.

    Parameters
    ----------
    path : str or Path
        Hourly JSON, grid JSON, ``{"hourly": {...}, "grid": {...}}``, MET Norway's or
        Open-Meteo's JSON, or CSV, at most 20 MB.
    now_h : float or None
        Hours that end before this instant are left out; None keeps them all. It may be an
        old file: whether it is fresh is the caller's question. [h]

    Returns
    -------
    Forecast
        At whole UTC hours.

    Raises
    ------
    WeatherUnusable
        No such file, another kind of file, or one that cannot be trusted.
    """
    path = Path(path)
    body = _read_bytes(path)
    what = path.name
    start = body.removeprefix(b"\xef\xbb\xbf").lstrip()[:1]
    if start in (b"{", b"["):
        forecast = _parse_answer(parse_json(body, what), what)
    else:
        forecast = parse_table(_csv_text(body, start, what), what)
    if now_h is None:
        return forecast
    if forecast.weather.end_h + 1 <= now_h:
        raise WeatherUnusable(f"{what}: all its hours lie in the past", hint="save a new one")
    return replace(forecast, weather=forecast.weather.from_hour(int(now_h // 1)))


def _read_bytes(path: Path) -> bytes:
    try:
        if path.is_file() and path.stat().st_size > LARGEST_BYTES:
            raise WeatherUnusable(
                f"{path.name} is larger than {LARGEST_BYTES // 1_000_000} MB: no forecast is",
                hint=_HINT,
            )
        body = path.read_bytes()
    except FileNotFoundError:
        raise WeatherUnusable(f"there is no file {path}", hint=_HINT) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise WeatherUnusable(f"{path} cannot be read: {reason}", hint=_HINT) from None
    if not body.strip():
        raise WeatherUnusable(f"{path.name} is empty", hint=_HINT)
    return body


def _csv_text(body: bytes, start: bytes, what: str) -> str:
    if start == b"<":
        raise WeatherUnusable(f"{what} is a web page, not a forecast", hint=_HINT)
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise WeatherUnusable(f"{what} is no UTF-8 text, so no forecast", hint=_HINT) from None
    if "\0" in text:
        raise WeatherUnusable(f"{what} is no text, so no forecast", hint=_HINT)
    return text


def _parse_answer(payload: dict[str, Any], what: str) -> Forecast:
    properties = payload.get("properties")
    if isinstance(properties, dict):
        if "periods" in properties:
            return _named(what, parse_hourly, payload)
        if "timeseries" in properties:
            return _named(what, parse_met_norway, payload)
        if ("temperature" in properties or "gridId" in properties) and (
            "timestamp" not in properties and "forecastHourly" not in properties
        ):
            return _named(what, parse_grid, payload)
    elif "properties" not in payload and _is_bundle(payload):
        hourly, grid = payload.get("hourly"), payload.get("grid")
        return merge(
            None if hourly is None else _named(what, parse_hourly, hourly),
            None if grid is None else _named(what, parse_grid, grid),
        )
    elif isinstance(payload.get("hourly"), dict) and "hourly_units" in payload:
        return _named(what, parse_open_meteo, payload)
    raise WeatherUnusable(f"{what} {_other_kind(payload)}", hint=_HINT)


def _is_bundle(payload: dict[str, Any]) -> bool:
    parts = [payload[key] for key in ("hourly", "grid") if payload.get(key) is not None]
    return bool(parts) and all(isinstance(p, dict) and "properties" in p for p in parts)


def _named(what: str, parse: Any, payload: object) -> Forecast:
    try:
        forecast: Forecast = parse(payload)
    except WeatherUnusable as error:
        raise WeatherUnusable(f"{what}: {error.message}", error.hint) from None
    return forecast


def _other_kind(payload: dict[str, Any]) -> str:
    """What a JSON file is that is no forecast curecast reads; each is often saved by mistake."""
    properties = payload.get("properties")
    inner = properties if isinstance(properties, dict) else {}
    if "forecastHourly" in inner or "forecastGridData" in inner:
        return "is the answer for a point, which only names the forecast's address"
    if "timestamp" in inner:
        return "is an observation, not a forecast"
    if payload.get("type") == "FeatureCollection" or "features" in payload:
        return "is a collection (observations, stations or warnings), not a forecast"
    if "periods" in payload or "forecastHourly" in payload:
        return "is the service's other JSON form (ld+json): ask for application/geo+json"
    if "status" in payload and "title" in payload:
        return f"is an error answer of the service: {str(payload['title'])[:80]}"
    return "is JSON, but no forecast that curecast knows"
