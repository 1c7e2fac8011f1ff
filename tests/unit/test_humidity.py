"""A payload whose temperatures, dew points and humidities belong to different units is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.nws_payload import parse_grid, parse_hourly

WEATHER = Path(__file__).resolve().parents[1] / "fixtures" / "weather"


def load(name: str) -> dict[str, Any]:
    payload: dict[str, Any] = json.loads((WEATHER / name).read_text(encoding="utf-8"))
    return payload


def test_fahrenheit_that_is_called_celsius() -> None:
    payload = load("hourly-frost.json")
    for period in payload["properties"]["periods"]:
        period["temperatureUnit"] = "C"
    with pytest.raises(WeatherUnusable, match="a unit in it is wrong"):
        parse_hourly(payload)


def test_celsius_that_is_called_fahrenheit() -> None:
    payload = load("grid.json")
    payload["properties"]["temperature"]["uom"] = "wmoUnit:degF"
    with pytest.raises(WeatherUnusable, match="a unit in it is wrong"):
        parse_grid(payload)


def test_the_padding_at_the_end_proves_nothing() -> None:
    payload = load("grid.json")
    layer = payload["properties"]["relativeHumidity"]["values"]
    assert layer[-1]["value"] == 0
    assert parse_grid(payload).flags == ()
