"""Whatever is given as a saved forecast: told apart by what it holds, or refused in a sentence."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.forecast_file import read_forecast
from curecast.sources.freshness import age_note, check_fresh
from curecast.sources.merge import MERGED_SOURCE
from curecast.sources.nws_payload import GRID_SOURCE, HOURLY_SOURCE

ROOT = Path(__file__).resolve().parents[2]
WEATHER = ROOT / "tests" / "fixtures" / "weather"
SAMPLES = ROOT / "sample_jobs" / "weather"


def test_the_name_tells_nothing(tmp_path: Path) -> None:
    for name, source in (("hourly", HOURLY_SOURCE), ("grid", GRID_SOURCE)):
        copy = tmp_path / f"{name}.txt"
        shutil.copy(WEATHER / f"{name}.json", copy)
        assert read_forecast(copy).source == source
        assert read_forecast(str(copy)).source == source


def test_both_in_one_file(tmp_path: Path) -> None:
    parts = {
        name: json.loads((WEATHER / f"{name}.json").read_text()) for name in ("hourly", "grid")
    }
    path = tmp_path / "both.json"
    path.write_text(json.dumps(parts))
    forecast = read_forecast(path)
    assert forecast.source == MERGED_SOURCE
    assert np.isfinite(forecast.weather.cloud).all()
    path.write_text(json.dumps({"hourly": None, "grid": parts["grid"]}))
    assert read_forecast(path).source == GRID_SOURCE


def test_a_table(tmp_path: Path) -> None:
    path = tmp_path / "mine.csv"
    path.write_bytes("\ufefftime,air_c\r\n2027-03-08T06:00-05:00,0\r\n".encode())
    assert read_forecast(path).weather.air_c.tolist() == [0.0]
    assert read_forecast(path).source == "mine.csv"


def test_hours_before_now_are_dropped_only_when_now_is_given() -> None:
    whole = read_forecast(WEATHER / "hourly.json")
    start_h = whole.weather.start_h
    assert len(whole.weather) == 156
    later = read_forecast(WEATHER / "hourly.json", now_h=start_h + 9.75)
    assert later.weather.start_h == start_h + 9
    early = read_forecast(WEATHER / "hourly.json", now_h=start_h - 50.0)
    assert early.weather.start_h == start_h
    assert len(read_forecast(WEATHER / "hourly.json", now_h=start_h + 155.9).weather) == 1
    with pytest.raises(WeatherUnusable, match="in the past"):
        read_forecast(WEATHER / "hourly.json", now_h=start_h + 156.0)


OTHERS: dict[str, tuple[Any, str]] = {
    "point": ({"properties": {"forecastHourly": "https://example.org"}}, "answer for a point"),
    "observation": ({"properties": {"timestamp": "x", "temperature": {}}}, "an observation"),
    "observations": ({"type": "FeatureCollection", "features": []}, "a collection"),
    "empty collection": ({"type": "FeatureCollection", "features": None}, "a collection"),
    "met norway": ({"properties": {"timeseries": []}}, "MET Norway"),
    "open-meteo": ({"latitude": 1, "hourly": {"time": []}, "hourly_units": {}}, "Open-Meteo"),
    "flattened": ({"periods": []}, r"ld\+json"),
    "problem": ({"title": "Not Found", "status": 404}, "error answer of the service: Not Found"),
    "other": ({"a": 1}, "no forecast that curecast knows"),
    "list": ([1, 2], "not an object"),
    "bundle of nothing": ({"hourly": None, "grid": None}, "no forecast that curecast knows"),
}


@pytest.mark.parametrize("kind", OTHERS)
def test_other_json_is_told_by_its_name(kind: str, tmp_path: Path) -> None:
    value, says = OTHERS[kind]
    path = tmp_path / "saved.json"
    path.write_text(json.dumps(value))
    with pytest.raises(WeatherUnusable, match=says) as caught:
        read_forecast(path)
    assert caught.value.message.startswith("saved.json")
    assert "\n" not in caught.value.message


BYTES: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "is empty"),
    "blank": (b" \n\xef\xbb\xbf"[:2], "is empty"),
    "mark only": (b"\xef\xbb\xbf", "is empty"),
    "page": (b"\n <!DOCTYPE html><html>", "web page"),
    "binary": (bytes(range(256)), "no UTF-8 text"),
    "zeros": (b"\0" * 100, "is no text"),
    "packed": (b"\x1f\x8b\x08\x00aaaa", "no UTF-8 text"),
    "other encoding": ("time,air_c".encode("utf-16"), "no UTF-8 text"),
    "nan": (b'{"properties": {"periods": [NaN]}}', "NaN"),
    "infinity": (b'{"properties": -Infinity}', "Infinity"),
    "cut": (b'{"properties": {"periods": [', "no complete JSON"),
    "deep": (b'{"a":' * 200_000, "nested too deeply"),
    "deep list": (b"[" * 200_000, "nested too deeply"),
    "long number": (b'{"a": ' + b"9" * 5000 + b"}", "number that is too long"),
    "bad utf-8 in json": (b'{"a": "\xff"}', "no UTF-8 text"),
}


@pytest.mark.parametrize("kind", BYTES)
def test_what_is_no_forecast_at_all(kind: str, tmp_path: Path) -> None:
    body, says = BYTES[kind]
    path = tmp_path / "saved"
    path.write_bytes(body)
    with pytest.raises(WeatherUnusable, match=says) as caught:
        read_forecast(path)
    assert caught.value.exit_code == 65


def test_a_huge_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.json"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(WeatherUnusable, match="larger than 20 MB"):
        read_forecast(path)


def test_no_file(tmp_path: Path) -> None:
    for path in (tmp_path / "none.json", tmp_path, tmp_path / ("x" * 300), Path("a\0b")):
        with pytest.raises(WeatherUnusable):
            read_forecast(path)


def test_age_is_told_by_the_issue_not_by_the_fetch() -> None:
    forecast = read_forecast(WEATHER / "hourly.json")
    issued_h = forecast.issued_h
    assert check_fresh(forecast, issued_h) == (False, "")
    assert age_note(forecast, issued_h + 12.0) == ""
    assert "13 h old" in age_note(forecast, issued_h + 13)
    assert check_fresh(forecast, issued_h + 24.0)[0] is False
    stale, note = check_fresh(forecast, issued_h + 72.1)
    assert stale
    assert "3 days old" in note
    assert "after the time" in age_note(forecast, issued_h - 5)


@pytest.mark.parametrize("name", ["crane-base", "spring-pad"])
def test_the_sample_jobs_have_a_week_of_weather(name: str) -> None:
    hourly, grid = (read_forecast(SAMPLES / f"{name}-{kind}.json") for kind in ("hourly", "grid"))
    assert len(hourly.weather) == 156
    assert grid.weather.end_h - hourly.issued_h > 178
    assert hourly.flags == grid.flags == ()
    assert hourly.elevation_m is not None
    assert 0 <= hourly.issued_h - hourly.weather.start_h < 1
    cold, warm = hourly.weather.air_c.min(), hourly.weather.air_c.max()
    if name == "crane-base":
        assert -5.1 < cold < -4
        assert 8 < warm < 10
    else:
        assert -2.5 < cold < -1.5
        assert 23 < warm < 25
    assert 10 < np.nansum(grid.weather.rain_mm) < 20
