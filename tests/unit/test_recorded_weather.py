"""Recorded payloads of the service, where the folder CURECAST_RECORDED holds them.

They are not part of the project; without the folder these tests are skipped. Sub-folders:
hourly, grid, hostile, points, observations, errors, metno, openmeteo.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.answers import Answer, Refusal, read_answer
from curecast.sources.forecast_file import read_forecast
from curecast.sources.instants import parse_instant_h
from curecast.sources.merge import merge
from curecast.sources.observations import parse_observations

FOLDER = Path(os.environ.get("CURECAST_RECORDED") or "no-folder-of-recorded-payloads")

pytestmark = [
    pytest.mark.recorded,
    pytest.mark.skipif(not FOLDER.is_dir(), reason="CURECAST_RECORDED names no folder"),
]


def recorded(kind: str) -> list[Any]:
    return [pytest.param(path, id=path.name) for path in sorted((FOLDER / kind).glob("*"))]


def load(path: Path) -> dict[str, Any]:
    value: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return value


@pytest.mark.parametrize("path", recorded("hourly"))
def test_a_full_week_keyed_by_utc(path: Path) -> None:
    """156 periods are 156 hours, also over both clock changes, each the °F that was given."""
    periods = load(path)["properties"]["periods"]
    forecast = read_forecast(path)
    weather = forecast.weather
    assert len(periods) == len(weather) == 156
    assert forecast.flags == ()
    starts = [parse_instant_h(period["startTime"]) for period in periods]
    assert starts == list(range(weather.start_h, weather.end_h + 1))
    given = [period["temperature"] for period in periods]
    np.testing.assert_allclose(weather.air_c * 1.8 + 32, given, atol=1e-6)
    assert np.isfinite(weather.wind_ms).all()
    new_shape = "dewpoint" in periods[0]
    assert np.isfinite(weather.dew_point_c).all() == new_shape
    assert np.isfinite(weather.chance_rain).all() == new_shape
    if "dst-fall" in path.name:
        labels = [period["startTime"][:13] for period in periods]
        assert len(set(labels)) == 155
    if "subfreezing" in path.name:
        assert (weather.air_c <= 0).sum() == 130


@pytest.mark.parametrize("path", recorded("grid"))
def test_a_grid_hour_by_hour(path: Path) -> None:
    """Against a count of the payload's own spans, written independently of the parser."""
    properties = load(path)["properties"]
    forecast = read_forecast(path)
    assert len(forecast.weather) >= 168
    assert forecast.flags == ()
    for span in properties["temperature"]["values"]:
        start, _, _ = span["validTime"].partition("/")
        at = round(parse_instant_h(start)) - forecast.weather.start_h
        assert forecast.weather.air_c[at] == pytest.approx(span["value"], abs=1e-6)
    total = sum(span["value"] for span in properties["quantitativePrecipitation"]["values"])
    assert np.nansum(forecast.weather.rain_mm) == pytest.approx(total, abs=2.0)
    assert np.isfinite(forecast.weather.cloud).mean() > 0.95


@pytest.mark.parametrize("path", recorded("hourly"))
def test_hourly_and_grid_of_one_place_agree(path: Path) -> None:
    partner = next((p for p in (FOLDER / "grid").glob(f"{path.name.split('_dst')[0]}*")), None)
    if partner is None:
        pytest.skip("no grid payload of the same place and issue")
    hourly, grid = read_forecast(path), read_forecast(partner)
    both = merge(hourly, grid)
    assert len(both.weather) >= 156
    np.testing.assert_array_equal(both.weather.air_c[:156], hourly.weather.air_c)


@pytest.mark.parametrize(
    "kind", ["hostile", "observations", "points", "errors"]
)
def test_what_is_no_forecast_is_refused_in_a_sentence(kind: str) -> None:
    paths = sorted((FOLDER / kind).glob("*"))
    assert paths
    for path in paths:
        with pytest.raises(WeatherUnusable) as caught:
            read_forecast(path)
        assert "\n" not in caught.value.message


def test_two_hundred_degrees_are_named() -> None:
    for path in (FOLDER / "hostile").glob("grid*"):
        with pytest.raises(WeatherUnusable, match="200 °C at 2026-03-04 16:00 UTC"):
            read_forecast(path)


@pytest.mark.parametrize("path", recorded("grid"))
def test_frost_and_heat_by_turns_over_a_recorded_grid(path: Path, tmp_path: Path) -> None:
    payload = load(path)
    layer = payload["properties"]["temperature"]
    for i, span in enumerate(layer["values"][:15]):
        span["value"] = 100 if i % 2 else 0
    bent = tmp_path / "bent.json"
    bent.write_text(json.dumps(payload))
    with pytest.raises(WeatherUnusable, match="air temperature"):
        read_forecast(bent)


@pytest.mark.parametrize("path", recorded("errors"))
def test_recorded_errors_become_one_sentence(path: Path) -> None:
    status = int(path.name[:3]) if path.name[:3].isdigit() else 500
    with pytest.raises(Refusal) as caught:
        read_answer(Answer(status, {}, path.read_bytes()), "api.weather.gov")
    assert "\n" not in caught.value.message


@pytest.mark.parametrize("path", recorded("observations"))
def test_recorded_observations(path: Path) -> None:
    answer = load(path)
    rows = parse_observations(answer, "KXYZ")
    features = answer["features"] or []
    known = {
        feature["properties"]["timestamp"]
        for feature in features
        if feature["properties"]["temperature"]["value"] is not None
    }
    assert len(rows) == len(known)


@pytest.mark.parametrize("path", recorded("metno"))
def test_a_locationforecast_hour_by_hour(path: Path) -> None:
    """Every step is where it was, also among the hours that are filled in between."""
    payload = load(path)
    steps = payload["properties"]["timeseries"]
    forecast = read_forecast(path)
    weather = forecast.weather
    at = [parse_instant_h(step["time"]) - weather.start_h for step in steps]
    assert at[-1] + 1 == len(weather)
    given = [step["data"]["instant"]["details"]["air_temperature"] for step in steps]
    np.testing.assert_allclose(weather.air_c[np.array(at, dtype=int)], given, atol=1e-9)
    rain = [s["data"].get("next_6_hours", {}).get("details", {}) for s in steps[-10:-1]]
    total = sum(details["precipitation_amount"] for details in rain)
    assert float(np.nansum(weather.rain_mm[int(at[-10]) :])) == pytest.approx(total)
    assert forecast.elevation_m == payload["geometry"]["coordinates"][2]
    assert forecast.credits == ("Data from MET Norway (CC BY 4.0)",)


@pytest.mark.parametrize("path", recorded("openmeteo"))
def test_parallel_lists_under_one_offset(path: Path) -> None:
    """Every hour is 1 h after the one before, also where the labels cross a clock change."""
    payload = load(path)
    hourly = payload["hourly"]
    forecast = read_forecast(path)
    assert len(forecast.weather) == len(hourly["time"])
    fahrenheit = payload["hourly_units"]["temperature_2m"] == "°F"
    given = np.array(hourly["temperature_2m"], dtype=float)
    back = forecast.weather.air_c * 1.8 + 32 if fahrenheit else forecast.weather.air_c
    np.testing.assert_allclose(back, given, atol=1e-6)
    first = parse_instant_h(hourly["time"][0] + ":00Z") - payload["utc_offset_seconds"] / 3600
    assert forecast.weather.start_h == first
