"""Invented weather in the shape of the forecast service's two payloads.

Only the shape is the service's (whole degrees Fahrenheit, wind as text, layers of values
over spans of time that end at different hours, padding with 0 % humidity); every number
comes from the caller.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

SERVICE = "https://api.weather.gov"


@dataclass(frozen=True)
class Place:
    """Where and when: the grid cell is invented, the corner is that of the cell."""

    office: str
    x: int
    y: int
    latitude: float
    longitude: float
    elevation_m: float
    zone: str
    #: Local wall time of the first hour; the update came a little later.
    first: str

    @property
    def first_hour(self) -> datetime:
        return (
            datetime.fromisoformat(self.first).replace(tzinfo=ZoneInfo(self.zone)).astimezone(UTC)
        )

    @property
    def url(self) -> str:
        return f"{SERVICE}/gridpoints/{self.office}/{self.x},{self.y}"


@dataclass(frozen=True)
class Hour:
    """One hour of invented weather: °C, °C, m/s, 0..1, mm, 0..1."""

    air_c: float
    dew_point_c: float
    wind_ms: float
    cloud: float
    rain_mm: float
    chance_rain: float


def whole_f(celsius: float) -> int:
    return math.floor(celsius * 1.8 + 32 + 0.5)


def _f_in_c(celsius: float) -> float:
    return (whole_f(celsius) - 32) / 1.8


def humidity(hour: Hour) -> int:
    air_c, dew_c = _f_in_c(hour.air_c), min(_f_in_c(hour.dew_point_c), _f_in_c(hour.air_c))
    part = math.exp(17.27 * dew_c / (dew_c + 237.3) - 17.27 * air_c / (air_c + 237.3))
    return max(1, min(100, round(100 * part)))


def _iso(instant: datetime) -> str:
    return instant.isoformat(timespec="seconds")


def _percent(part: float) -> dict[str, Any]:
    return {"unitCode": "wmoUnit:percent", "value": round(100 * part)}


def _feature(place: Place, properties: dict[str, Any]) -> dict[str, Any]:
    west, south = place.longitude - 0.015, place.latitude - 0.011
    east, north = west + 0.031, south + 0.0224
    ring = [[west, south], [west, north], [east, north], [east, south], [west, south]]
    corners = [[round(a, 4), round(b, 4)] for a, b in ring]
    return {
        "@context": [
            "https://geojson.org/geojson-ld/geojson-context.jsonld",
            {"@version": "1.1", "wx": f"{SERVICE}/ontology#", "@vocab": f"{SERVICE}/ontology#"},
        ],
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [corners]},
        "properties": properties,
    }


def hourly_payload(place: Place, hours: list[Hour], periods: int = 156) -> dict[str, Any]:
    """The hourly answer: periods in local time from the first hour on."""
    first = place.first_hour
    zone = ZoneInfo(place.zone)
    rows = []
    for i, hour in enumerate(hours[:periods]):
        start = (first + timedelta(hours=i)).astimezone(zone)
        end = (first + timedelta(hours=i + 1)).astimezone(zone)
        mph = round(hour.wind_ms / 0.44704)
        rows.append(
            {
                "number": i + 1,
                "name": "",
                "startTime": _iso(start),
                "endTime": _iso(end),
                "isDaytime": 6 <= start.hour < 18,
                "temperature": whole_f(hour.air_c),
                "temperatureUnit": "F",
                "temperatureTrend": None,
                "probabilityOfPrecipitation": _percent(hour.chance_rain),
                "dewpoint": {
                    "unitCode": "wmoUnit:degC",
                    "value": min(_f_in_c(hour.dew_point_c), _f_in_c(hour.air_c)),
                },
                "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": humidity(hour)},
                "windSpeed": f"{mph} mph",
                "windDirection": ("NW", "W", "SW", "S")[i // 24 % 4] if mph else "",
                "shortForecast": _words(hour),
                "detailedForecast": "",
            }
        )
    generated = first + timedelta(minutes=21, seconds=40)
    return _feature(
        place,
        {
            "units": "us",
            "forecastGenerator": "HourlyForecastGenerator",
            "generatedAt": _iso(generated),
            "updateTime": _iso(first + timedelta(minutes=4, seconds=12)),
            "validTimes": f"{_iso(first - timedelta(hours=6))}/P7DT18H",
            "elevation": {"unitCode": "wmoUnit:m", "value": place.elevation_m},
            "periods": rows,
        },
    )


def _words(hour: Hour) -> str:
    if hour.rain_mm > 0:
        return "Rain Likely"
    return ("Clear", "Mostly Clear", "Partly Cloudy", "Mostly Cloudy", "Cloudy")[
        min(4, int(hour.cloud * 5))
    ]


def grid_payload(place: Place, hours: list[Hour], before: int = 6) -> dict[str, Any]:
    """The raw grid answer: ``hours`` begin ``before`` hours ahead of the first period."""
    start = place.first_hour - timedelta(hours=before)
    n = len(hours)

    def layer(uom: str, values: list[float | None], total_h: int = 0) -> dict[str, Any]:
        return {"uom": f"wmoUnit:{uom}", "values": _runs(start, values, total_h)}

    rain = [round(sum(h.rain_mm for h in hours[i : i + 6]), 2) for i in range(0, n - 12, 6)]
    shown: list[float | None] = [humidity(h) for h in hours]
    shown[n - 3 :] = [0, 0, 0]  # the service pads the tail with 0 %
    dew = [min(_f_in_c(h.dew_point_c), _f_in_c(h.air_c)) for h in hours[: n - 3]]
    properties: dict[str, Any] = {
        "@id": place.url,
        "@type": "wx:Gridpoint",
        "updateTime": _iso(place.first_hour + timedelta(minutes=4, seconds=12)),
        "validTimes": f"{_iso(start)}/P{n // 24}DT{n % 24}H",
        "elevation": {"unitCode": "wmoUnit:m", "value": place.elevation_m},
        "forecastOffice": f"{SERVICE}/offices/{place.office}",
        "gridId": place.office,
        "gridX": place.x,
        "gridY": place.y,
        "temperature": layer("degC", [_f_in_c(h.air_c) for h in hours]),
        "dewpoint": layer("degC", [*dew]),
        "relativeHumidity": layer("percent", shown),
        "windSpeed": layer("km_h-1", [round(h.wind_ms * 3.6 / 1.852) * 1.852 for h in hours]),
        "skyCover": layer("percent", [round(100 * h.cloud) for h in hours]),
        "probabilityOfPrecipitation": layer("percent", [round(100 * h.chance_rain) for h in hours]),
        "quantitativePrecipitation": layer("mm", [*rain], total_h=6),
        "heatIndex": layer("degC", [None] * n),
        "hazards": {"values": []},
        "snowLevel": {"values": []},
        "weather": {"values": []},
    }
    return {"id": place.url} | _feature(place, properties)


def _runs(start: datetime, values: list[float | None], total_h: int) -> list[dict[str, Any]]:
    """Equal neighbours in one span, as the service merges them; totals keep their spans."""
    spans: list[dict[str, Any]] = []
    i = 0
    while i < len(values):
        j = i + 1
        while not total_h and j < len(values) and values[j] == values[i]:
            j += 1
        length_h = total_h or j - i
        days, hours = divmod(length_h, 24)
        text = "P" + (f"{days}D" if days else "") + (f"T{hours}H" if hours else "")
        at = start + timedelta(hours=i * total_h if total_h else i)
        spans.append({"validTime": f"{_iso(at)}/{text}", "value": values[i]})
        i = j
    return spans


def write_payload(path: Path, payload: dict[str, Any]) -> None:
    """JSON with one line for each period or span, so that a change can be read."""
    properties = dict(payload["properties"])
    long = {k: v for k, v in properties.items() if k == "periods" or _is_layer(v)}
    lines = []
    for key, value in properties.items():
        rows = value if key == "periods" else value["values"] if key in long else None
        if rows is None:
            lines.append(f"{json.dumps(key)}: {json.dumps(value)}")
            continue
        body = ",\n".join("    " + json.dumps(row) for row in rows)
        body = f"[\n{body}\n  ]" if rows else "[]"
        if key != "periods":
            uom = f'"uom": {json.dumps(value["uom"])}, ' if "uom" in value else ""
            body = f'{{{uom}"values": {body}}}'
        lines.append(f"{json.dumps(key)}: {body}")
    outer = {k: v for k, v in payload.items() if k != "properties"}
    head = "".join(f"{json.dumps(k)}: {json.dumps(v)},\n" for k, v in outer.items())
    inner = ",\n  ".join(lines)
    path.write_text(f'{{\n{head}"properties": {{\n  {inner}\n}}}}\n', encoding="utf-8")


def _is_layer(value: object) -> bool:
    return isinstance(value, dict) and "values" in value


def eased(knots: list[tuple[float, float]], hour: float) -> float:
    """A value between knots (hour, value), easing in and out of each like a day's swing."""
    before = max((k for k in knots if k[0] <= hour), default=knots[0])
    after = min((k for k in knots if k[0] > hour), default=knots[-1])
    if after[0] <= before[0]:
        return before[1]
    part = (hour - before[0]) / (after[0] - before[0])
    return before[1] + (after[1] - before[1]) * (1 - math.cos(math.pi * part)) / 2
