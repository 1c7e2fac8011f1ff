"""However a payload is bent: a forecast that holds its promises, or one clear refusal."""

from __future__ import annotations

import contextlib
import copy
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherError
from curecast.sources.forecast_file import read_forecast
from curecast.sources.met_norway_payload import parse_met_norway
from curecast.sources.nws_alerts import parse_alerts
from curecast.sources.nws_payload import merge, parse_grid, parse_hourly
from curecast.sources.observations import parse_observations
from curecast.sources.open_meteo_payload import parse_open_meteo
from curecast.sources.table import parse_table
from tests.fixtures.other_weather import met_norway, open_meteo

WEATHER = Path(__file__).resolve().parents[1] / "fixtures" / "weather"
HOURLY = json.loads((WEATHER / "hourly.json").read_text(encoding="utf-8"))
GRID = json.loads((WEATHER / "grid.json").read_text(encoding="utf-8"))
# A part of each, so that a change is likely to matter.
HOURLY["properties"]["periods"] = HOURLY["properties"]["periods"][:40]
KEPT = ("temperature", "dewpoint", "relativeHumidity", "windSpeed", "quantitativePrecipitation",
        "updateTime", "validTimes", "elevation")  # fmt: skip
GRID["properties"] = {key: GRID["properties"][key] for key in KEPT}
GRID["properties"]["windSpeed"]["values"] = GRID["properties"]["windSpeed"]["values"][:30]

FIRST = 501_922  # 2027-04-05T10:00 UTC
NORWAY = met_norway(FIRST, hourly=30, coarse=6, complete=True)
METEO = open_meteo(FIRST, 40, unknown=5)
ALERTS = {
    "features": [
        {
            "properties": {
                "event": event,
                "onset": "2027-04-06T06:00:00-05:00",
                "ends": None,
                "expires": "2027-04-06T12:00:00-05:00",
                "status": "Actual",
                "messageType": "Alert",
            }
        }
        for event in ("Freeze Warning", "Wind Advisory", "Surf")
    ]
}

TIMES = ["2027-04-06T00:00:00-05:00", "2027-04-06T00:00:00", "NOW/PT1H", "1812-01-01T00:00Z",
         "2027-04-05T10:00:00+00:00/PT1H", "2027-04-05T10:00:00+00:00/P59D"]  # fmt: skip
UNITS = ["wmoUnit:degF", "unit:percent", "F", "C", "K", "mph", "furlong", "uc:", "celsius", "%",
         "unixtime", "iso8601", "inch"]  # fmt: skip
STRANGE = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-300, 300),
    st.sampled_from([10**400, -(10**30), 1e308, 0, 0.0, -0.0]),
    st.floats(-100, 400),
    st.sampled_from([*TIMES, *UNITS]),
    st.text(max_size=12),
    st.just([]),
    st.just({}),
    st.dictionaries(st.sampled_from(["value", "unitCode", "maxValue"]), st.integers(), max_size=2),
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value inside a payload."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    found = []
    for key, item in inner:
        found.append((*path, key))
        if isinstance(item, dict | list):
            found += places(item, (*path, key))
    return found


def bend(payload: Any, data: st.DataObject) -> Any:
    """A copy with one to six changes: a value replaced, dropped, doubled, or a list mixed."""
    payload = copy.deepcopy(payload)
    for _ in range(data.draw(st.integers(1, 6))):
        path = data.draw(st.sampled_from(places(payload)[1:] or [("properties",)]))
        inside = payload
        for key in path[:-1]:
            inside = inside[key]
        change = data.draw(st.sampled_from(["replace", "drop", "double", "mix"]))
        last = path[-1]
        if change == "replace":
            inside[last] = data.draw(STRANGE)
        elif change == "drop":
            del inside[last]
        elif isinstance(inside, list) and change == "double":
            inside.insert(data.draw(st.integers(0, len(inside))), copy.deepcopy(inside[last]))
        elif isinstance(inside, list):
            data.draw(st.randoms(use_true_random=False)).shuffle(inside)
        if not isinstance(payload, dict) or not payload:
            break
    return payload


def check_promises(forecast: Forecast) -> None:
    weather = forecast.weather
    assert np.isfinite(weather.air_c).all()
    assert weather.air_c.min() >= -60
    assert weather.air_c.max() <= 57
    assert np.abs(np.diff(weather.air_c)).max(initial=0.0) <= 20.0 + 1e-6
    assert not (weather.dew_point_c > weather.air_c).any()
    for name in ("cloud", "chance_rain"):
        column = getattr(weather, name)
        assert not ((column < 0) | (column > 1)).any()
    assert not (weather.wind_ms < 0).any()
    assert not (weather.rain_mm < 0).any()
    assert np.isfinite(forecast.issued_h)
    assert np.isfinite(forecast.fetched_h)
    assert all(isinstance(flag, str) and "\n" not in flag for flag in forecast.flags)


def tame(parse: Any, value: Any) -> Forecast | None:
    refusal = ""
    try:
        forecast: Forecast = parse(value)
    except WeatherError as error:
        refusal = error.message
    if refusal:
        assert len(refusal) < 600
        return None
    check_promises(forecast)
    return forecast


many = settings(max_examples=150, suppress_health_check=list(HealthCheck))


@many
@given(data=st.data())
def test_a_bent_hourly_payload(data: st.DataObject) -> None:
    tame(parse_hourly, bend(HOURLY, data))


@many
@given(data=st.data())
def test_a_bent_grid_payload(data: st.DataObject) -> None:
    tame(parse_grid, bend(GRID, data))


@many
@given(data=st.data())
def test_a_bent_payload_of_met_norway(data: st.DataObject) -> None:
    tame(parse_met_norway, bend(NORWAY, data))


@many
@given(data=st.data())
def test_a_bent_payload_of_open_meteo(data: st.DataObject) -> None:
    tame(parse_open_meteo, bend(METEO, data))


@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_bent_warnings(data: st.DataObject) -> None:
    found: Any = ()
    with contextlib.suppress(WeatherError):
        found = parse_alerts(bend(ALERTS, data))
    for notice in found:
        assert notice.event.isprintable()
        assert len(notice.event) <= 60


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_merging_what_was_bent(data: st.DataObject) -> None:
    hourly, grid = tame(parse_hourly, bend(HOURLY, data)), tame(parse_grid, bend(GRID, data))
    if hourly or grid:
        tame(lambda pair: merge(*pair), (hourly, grid))


@settings(max_examples=60)
@given(order=st.permutations(range(40)), twice=st.lists(st.integers(0, 39), max_size=20))
def test_order_and_repetition_change_nothing(order: list[int], twice: list[int]) -> None:
    periods = HOURLY["properties"]["periods"]
    mixed = copy.deepcopy(HOURLY)
    mixed["properties"]["periods"] = [periods[i] for i in [*order, *twice]]
    one, other = parse_hourly(HOURLY), parse_hourly(mixed)
    np.testing.assert_array_equal(one.weather.air_c, other.weather.air_c)
    assert one.weather.start_h == other.weather.start_h
    assert other.flags == ()


@settings(max_examples=60)
@given(start=st.integers(1, 30), length=st.integers(1, 9))
def test_a_gap_is_filled_up_to_three_hours_and_never_beyond(start: int, length: int) -> None:
    holed = copy.deepcopy(HOURLY)
    del holed["properties"]["periods"][start : start + length]
    forecast = tame(parse_hourly, holed)
    assert (forecast is not None) == (length <= 3)
    if forecast:
        assert len(forecast.weather) == 40
        assert len(forecast.flags) == 1


@pytest.mark.parametrize("name", ["hourly.json", "grid.json"])
@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(part=st.floats(0, 1), noise=st.binary(max_size=4))
def test_a_file_cut_short_or_damaged(
    name: str, part: float, noise: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    body = (WEATHER / name).read_bytes()
    cut = int(part * len(body))
    path = tmp_path_factory.getbasetemp() / f"cut-{name}"
    path.write_bytes(body[:cut])
    tame(read_forecast, path)
    path.write_bytes(body[:cut] + noise + body[cut + len(noise) :])
    tame(read_forecast, path)


CELL = st.one_of(
    st.sampled_from(["", "0", "-0", "1e3", "nan", "2027-03-08T06:00Z", '"', "é", "4,5", "1e999"]),
    st.integers(-100, 100).map(str),
    st.text(max_size=6),
)


@many
@given(
    header=st.permutations(["time", "air_c", "rh", "rain_mm", "wind_ms"]),
    cells=st.lists(st.tuples(st.integers(0, 11), st.integers(0, 4), CELL), max_size=5),
    step_min=st.sampled_from([15, 60, 90, 180, 240]),
    tail=st.text(max_size=10),
)
def test_a_bent_table(
    header: list[str], cells: list[tuple[int, int, str]], step_min: int, tail: str
) -> None:
    plain = {"air_c": "3", "rh": "0.8", "rain_mm": "1", "wind_ms": "0"}
    lines = []
    for i in range(12):
        hour, minute = divmod(i * step_min, 60)
        time = f"2027-03-{8 + hour // 24:02}T{hour % 24:02}:{minute:02}Z"
        lines.append([plain.get(name, time) for name in header])
    for i, j, cell in cells:
        lines[i][j] = cell
    text = "\n".join([",".join(header), *(",".join(line) for line in lines), tail])
    tame(parse_table, text)


@many
@given(st.text(max_size=200))
def test_any_text_as_a_table(text: str) -> None:
    tame(parse_table, text)


@many
@given(st.binary(max_size=200))
def test_any_bytes_as_a_file(tmp_path_factory: pytest.TempPathFactory, body: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any"
    path.write_bytes(body)
    tame(read_forecast, path)


OBSERVED = {
    "features": [
        {
            "properties": {
                "timestamp": f"2027-03-08T{i:02}:53:00+00:00",
                "temperature": {"unitCode": "wmoUnit:degC", "value": i, "qualityControl": "V"},
                "rawMessage": "KXYZ 080353Z 10/00 RMK T01020004",
            }
        }
        for i in range(6)
    ]
}


@many
@given(data=st.data())
def test_bent_observations(data: st.DataObject) -> None:
    try:
        rows = parse_observations(bend(OBSERVED, data), "KXYZ")
    except WeatherError:
        return
    assert rows == sorted(rows)
    assert all(-60 <= air_c <= 57 for _, air_c, _ in rows)
