"""The two payloads of the forecast service, in the shapes of all years."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.instants import parse_instant_h
from curecast.sources.nws_payload import merge, parse_grid, parse_hourly
from tests.fixtures import make_weather

WEATHER = Path(__file__).resolve().parents[1] / "fixtures" / "weather"


def load(name: str) -> dict[str, Any]:
    payload: dict[str, Any] = json.loads((WEATHER / f"{name}.json").read_text(encoding="utf-8"))
    return payload


def period(start: str, **changes: Any) -> dict[str, Any]:
    return {
        "startTime": start,
        "temperature": 41,
        "temperatureUnit": "F",
        "windSpeed": "10 mph",
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 1},
    } | changes


def hours(n: int, **changes: Any) -> list[dict[str, Any]]:
    return [
        period(f"2027-01-{1 + i // 24:02}T{i % 24:02}:00:00+00:00", **changes) for i in range(n)
    ]


def hourly(periods: list[Any], **properties: Any) -> dict[str, Any]:
    return {"properties": {"periods": periods, "updateTime": "2027-01-01T00:00:00Z"} | properties}


def layer(*spans: tuple[str, Any], uom: str = "wmoUnit:degC") -> dict[str, Any]:
    values = [{"validTime": f"2027-01-01T{span}", "value": value} for span, value in spans]
    return {"uom": uom, "values": values}


def grid(**layers: Any) -> dict[str, Any]:
    base = {"temperature": layer(("00:00Z/PT6H", 5), ("06:00Z/PT6H", 0))}
    return {"properties": {"updateTime": "2027-01-01T03:00:00Z"} | base | layers}


def test_what_is_committed_is_what_the_generator_writes(tmp_path: Path) -> None:
    for name, payload in make_weather.payloads().items():
        make_weather.write_payload(tmp_path / name, payload)
        assert (tmp_path / name).read_bytes() == (WEATHER / name).read_bytes()


def test_the_new_hourly_shape() -> None:
    forecast = parse_hourly(load("hourly"))
    weather = forecast.weather
    first = load("hourly")["properties"]["periods"][0]
    assert len(weather) == 156
    assert weather.start_h == parse_instant_h(first["startTime"])
    assert weather.air_c[0] == pytest.approx((first["temperature"] - 32) / 1.8)
    assert weather.dew_point_c[0] == pytest.approx(first["dewpoint"]["value"])
    assert weather.wind_ms[0] == pytest.approx(int(first["windSpeed"].split()[0]) * 0.44704)
    chance = first["probabilityOfPrecipitation"]["value"] / 100
    assert weather.chance_rain[0] == pytest.approx(chance)
    assert forecast.issued_h == pytest.approx(parse_instant_h("2027-04-05T10:04:12Z"))
    assert forecast.fetched_h == pytest.approx(parse_instant_h("2027-04-05T10:21:40Z"))
    assert forecast.elevation_m == 271.0
    assert forecast.flags == ()
    assert np.isnan(weather.cloud).all()
    assert np.isnan(weather.rain_mm).all()


def test_the_old_hourly_shape_lacks_humidity_and_nothing_else() -> None:
    old, new = parse_hourly(load("hourly-old-shape")), parse_hourly(load("hourly"))
    np.testing.assert_array_equal(old.weather.air_c, new.weather.air_c)
    np.testing.assert_array_equal(old.weather.wind_ms, new.weather.wind_ms)
    assert old.elevation_m == 271.0
    assert np.isnan(old.weather.dew_point_c).all()
    assert np.isnan(old.weather.chance_rain).all()


def test_the_old_grid_shape_says_the_same() -> None:
    old, new = parse_grid(load("grid-old-shape")), parse_grid(load("grid"))
    for name in ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain"):
        a, b = getattr(old.weather, name), getattr(new.weather, name)
        np.testing.assert_allclose(a, b, atol=1e-5)


def test_the_hourly_forecast_is_the_grid_rounded() -> None:
    a, b = parse_hourly(load("hourly")).weather, parse_grid(load("grid")).weather
    offset = a.start_h - b.start_h
    np.testing.assert_allclose(a.air_c, b.air_c[offset : offset + 156], atol=1e-8)


@pytest.mark.parametrize(
    ("name", "skipped", "repeated"), [("march", "02", None), ("november", None, "01")]
)
def test_clock_changes_are_invisible_in_utc(
    name: str, skipped: str | None, repeated: str | None
) -> None:
    """March leaves out a local hour, November has one twice; 156 hours stay 156 hours."""
    payload = load(f"hourly-{name}")
    day = {"march": "2027-03-14T", "november": "2026-11-01T"}[name]
    labels = [p["startTime"][:13] for p in payload["properties"]["periods"]]
    if skipped:
        assert day + skipped not in labels
    if repeated:
        assert labels.count(day + repeated) == 2
    weather = parse_hourly(payload).weather
    assert len(weather) == 156
    fahrenheit = [p["temperature"] for p in payload["properties"]["periods"]]
    np.testing.assert_allclose(weather.air_c * 1.8 + 32, fahrenheit, atol=1e-6)


@pytest.mark.parametrize("name", ["hourly-frost", "grid-frost"])
def test_a_week_of_frost(name: str) -> None:
    parse = parse_hourly if name.startswith("hourly") else parse_grid
    weather = parse(load(name)).weather
    assert len(weather) >= 156
    assert weather.air_c.max() < 0


@pytest.mark.parametrize(
    ("value", "unit", "air_c"),
    [
        (32, "F", 0.0),
        (0, "C", 0.0),
        (-3.5, "C", -3.5),
        ({"unitCode": "wmoUnit:degC", "value": 0}, "F", 0.0),
        ({"unitCode": "unit:degF", "value": 14}, None, -10.0),
    ],
)
def test_every_form_of_a_temperature(value: object, unit: str | None, air_c: float) -> None:
    periods = hours(3, temperature=value, temperatureUnit=unit, dewpoint=None)
    assert parse_hourly(hourly(periods)).weather.air_c == pytest.approx([air_c] * 3, abs=1e-9)


def test_an_unknown_unit_is_named() -> None:
    with pytest.raises(WeatherUnusable, match="'R'"):
        parse_hourly(hourly(hours(3, temperatureUnit="R")))
    with pytest.raises(WeatherUnusable, match="windSpeed is given in 'wmoUnit:degC'"):
        parse_grid(grid(windSpeed=layer(("00:00Z/PT6H", 5))))


def test_a_missing_dew_point_comes_from_humidity() -> None:
    humid = {"unitCode": "wmoUnit:percent", "value": 100}
    none = {"unitCode": "wmoUnit:percent", "value": 0}
    periods = hours(2, dewpoint=None, relativeHumidity=humid)
    periods += [hours(3)[2] | {"dewpoint": None, "relativeHumidity": none}]
    weather = parse_hourly(hourly(periods)).weather
    assert weather.dew_point_c[:2] == pytest.approx([5.0, 5.0])
    assert np.isnan(weather.dew_point_c[2])


def test_periods_are_sorted_and_given_once() -> None:
    periods = hours(30)
    for i, row in enumerate(periods):
        row["temperature"] = 35 + i
    shuffled = periods[::-1] + periods[5:9]
    assert parse_hourly(hourly(shuffled)).weather.air_c[0] == pytest.approx(5 / 3)
    assert len(parse_hourly(hourly(shuffled)).weather) == 30


def test_two_values_for_one_hour_are_none() -> None:
    periods = hours(30)
    periods.append(period("2027-01-01T05:00:00Z", temperature=60))
    forecast = parse_hourly(hourly(periods))
    assert forecast.weather.air_c[5] == pytest.approx(5.0)
    assert "both 5 and 15.556" in forecast.flags[0]


@pytest.mark.parametrize("gap", [1, 2, 3])
def test_a_short_gap_is_filled_and_told(gap: int) -> None:
    periods = hours(30)
    periods[10 + gap]["temperature"] = 41 + 9 * (gap + 1)
    for row in periods[11 + gap :]:
        row["temperature"] = 41 + 9 * (gap + 1)
    del periods[10 : 10 + gap]
    forecast = parse_hourly(hourly(periods))
    assert len(forecast.weather) == 30
    assert forecast.weather.air_c[9 : 11 + gap] == pytest.approx(5.0 + 5.0 * np.arange(gap + 2))
    assert len(forecast.flags) == 1
    assert "2027-01-01 10:00 UTC" in forecast.flags[0]


def test_a_long_gap_is_refused_with_its_hours() -> None:
    periods = hours(30)
    del periods[10:14]
    with pytest.raises(WeatherUnusable, match=r"from 2027-01-01 10:00 UTC to 2027-01-01 13:00 UTC"):
        parse_hourly(hourly(periods))


def test_null_is_a_gap_not_a_zero() -> None:
    periods = hours(30)
    for row in periods[10:12]:
        row["temperature"] = None
    assert "filled in" in parse_hourly(hourly(periods)).flags[0]
    for row in periods[10:16]:
        row["temperature"] = None
    with pytest.raises(WeatherUnusable, match="missing from"):
        parse_hourly(hourly(periods))


@pytest.mark.parametrize("value", [999, -100, "41", True, [], float("inf"), 120])
def test_one_bad_value_is_dropped_and_told(value: object) -> None:
    periods = hours(30)
    periods[10]["temperature"] = value
    forecast = parse_hourly(hourly(periods))
    assert forecast.weather.air_c[10] == pytest.approx(5.0)
    assert "1 value was not to be trusted" in forecast.flags[0]


def test_many_bad_values_spoil_the_payload() -> None:
    periods = hours(100)
    for row in periods[::15]:
        row["temperature"] = 400
    with pytest.raises(WeatherUnusable, match="7 of 100 values of the air temperature"):
        parse_hourly(hourly(periods))


def test_heat_and_frost_by_turns_are_refused_although_few() -> None:
    """Sixteen hours of 0 °C and 100 °C by turns: 8 of 190 values, each gap only one hour."""
    spans = [(f"{i:02}:00Z/PT1H", 100 if i % 2 else 0) for i in range(16)]
    calm = ("16:00Z/P7DT6H", 2)
    with pytest.raises(WeatherUnusable, match="8 of 190 values of the air temperature"):
        parse_grid(grid(temperature=layer(*spans, calm)))


def test_turns_within_the_bounds_are_refused_too() -> None:
    spans = [(f"{i:02}:00Z/PT1H", 40 if i % 2 else -10) for i in range(16)]
    with pytest.raises(WeatherUnusable, match="air temperature"):
        parse_grid(grid(temperature=layer(*spans, ("16:00Z/P7DT6H", 2))))


def test_a_spike_is_dropped_a_jump_is_refused_a_front_is_told() -> None:
    spike = grid(temperature=layer(("00:00Z/PT6H", 2), ("06:00Z/PT1H", 40), ("07:00Z/P2D", 2)))
    forecast = parse_grid(spike)
    assert forecast.weather.air_c.max() == 2.0
    assert "stands alone" in forecast.flags[0]
    with pytest.raises(WeatherUnusable, match="jumps by 25 K"):
        parse_grid(grid(temperature=layer(("00:00Z/PT6H", 2), ("06:00Z/P2D", 27))))
    front = parse_grid(grid(temperature=layer(("00:00Z/PT6H", 17), ("06:00Z/P2D", 2))))
    assert "changes by 15 K" in front.flags[0]


def test_a_dew_point_above_the_air_is_bad() -> None:
    periods = hours(30)
    periods[3]["dewpoint"] = {"unitCode": "wmoUnit:degC", "value": 9}
    periods[4]["dewpoint"] = {"unitCode": "wmoUnit:degC", "value": 5.5}
    forecast = parse_hourly(hourly(periods))
    assert np.isnan(forecast.weather.dew_point_c[3])
    assert forecast.weather.dew_point_c[4] == pytest.approx(5.0)
    assert "lies above the air" in forecast.flags[0]
    with pytest.raises(WeatherUnusable, match="dew point"):
        parse_hourly(hourly(hours(30, dewpoint={"unitCode": "wmoUnit:degC", "value": 9})))


def test_grid_spans_hold_and_totals_are_shared_out() -> None:
    weather = parse_grid(
        grid(
            quantitativePrecipitation=layer(("00:00Z/PT6H", 3), ("06:00Z/PT2H", 0), uom="unit:mm"),
            skyCover=layer(("00:00Z/PT4H", 50), uom="wmoUnit:percent"),
            probabilityOfPrecipitation=layer(("00:00Z/P1D", 20), uom="wmoUnit:percent"),
            windSpeed=layer(("00:00Z/PT6H", 10), ("06:00Z/PT6H", 0), uom="unit:m_s-1"),
        )
    ).weather
    assert weather.air_c == pytest.approx([5.0] * 6 + [0.0] * 6)
    assert weather.rain_mm[:8] == pytest.approx([0.5] * 6 + [0.0] * 2)
    assert np.isnan(weather.rain_mm[8:]).all()
    assert weather.cloud[:4] == pytest.approx([0.5] * 4)
    assert np.isnan(weather.cloud[4:]).all()
    assert weather.chance_rain == pytest.approx([0.2] * 12)
    assert weather.wind_ms == pytest.approx([10.0] * 6 + [0.0] * 6)


def test_zero_humidity_in_the_tail_is_no_data() -> None:
    humid = layer(("00:00Z/PT9H", 80), ("09:00Z/PT3H", 0), uom="wmoUnit:percent")
    weather = parse_grid(grid(relativeHumidity=humid)).weather
    assert np.isfinite(weather.dew_point_c[:9]).all()
    assert np.isnan(weather.dew_point_c[9:]).all()


def test_layers_without_values_are_unknown() -> None:
    weather = parse_grid(grid(skyCover={"values": []}, windSpeed=None)).weather
    assert np.isnan(weather.cloud).all()
    assert np.isnan(weather.wind_ms).all()


def test_the_issue_time_is_looked_for() -> None:
    payload = hourly(hours(3), updateTime=None, generatedAt="2027-01-01T01:00:00Z")
    assert parse_hourly(payload).issued_h == parse_instant_h("2027-01-01T01:00:00Z")
    payload = hourly(hours(3), updateTime="?", validTimes="2026-12-31T20:00:00Z/P7D")
    assert parse_hourly(payload).issued_h == parse_instant_h("2026-12-31T20:00:00Z")
    nothing = parse_hourly(hourly(hours(3), updateTime=None))
    assert nothing.issued_h == parse_instant_h("2027-01-01T00:00:00Z")
    assert "does not say when" in nothing.flags[0]


def test_half_days_are_told_apart() -> None:
    periods = [
        period("2027-01-01T06:00:00Z", endTime="2027-01-01T18:00:00Z"),
        period("2027-01-01T18:00:00Z", endTime="2027-01-02T06:00:00Z"),
    ]
    with pytest.raises(WeatherUnusable, match="12-hour forecast") as caught:
        parse_hourly(hourly(periods))
    assert "forecast/hourly" in caught.value.hint


@pytest.mark.parametrize(
    "payload",
    [None, [], {}, {"properties": []}, {"properties": {}}, {"properties": {"periods": []}}],
)
@pytest.mark.parametrize("parse", [parse_hourly, parse_grid])
def test_no_payload(parse: Any, payload: object) -> None:
    with pytest.raises(WeatherUnusable):
        parse(payload)


def test_merging_prefers_the_hourly_and_takes_the_rest_from_the_grid() -> None:
    a, b = parse_hourly(load("hourly")), parse_grid(load("grid"))
    both = merge(a, b)
    np.testing.assert_array_equal(both.weather.air_c[:156], a.weather.air_c)
    np.testing.assert_array_equal(both.weather.rain_mm, b.weather.rain_mm[6:])
    assert both.weather.end_h == b.weather.end_h
    assert both.flags == ()
    assert merge(a, None) is a
    assert merge(None, b) is b
    with pytest.raises(WeatherUnusable, match="neither"):
        merge(None, None)


def test_merging_fills_what_the_old_shape_lacks() -> None:
    a, b = parse_hourly(load("hourly-old-shape")), parse_grid(load("grid"))
    known = np.isfinite(b.weather.dew_point_c[6:])
    assert known.sum() > 150
    np.testing.assert_array_equal(np.isfinite(merge(a, b).weather.dew_point_c), known)


def test_merging_tells_of_contradictions() -> None:
    a, b = parse_hourly(load("hourly")), parse_grid(load("grid"))
    other = copy.deepcopy(load("grid"))
    for span in other["properties"]["temperature"]["values"]:
        span["value"] += 5
    other["properties"]["updateTime"] = "2027-04-04T20:00:00Z"
    flags = merge(a, parse_grid(other)).flags
    assert any("differ by 5 K" in flag for flag in flags)
    assert any("14 h apart" in flag for flag in flags)
    assert merge(a, parse_grid(other)).issued_h < a.issued_h
    np.testing.assert_array_equal(merge(a, parse_grid(other)).weather.air_c[:156], a.weather.air_c)
    far = parse_hourly(load("hourly-frost"))
    assert "left out" in " ".join(merge(far, b).flags)
    assert len(merge(far, b).weather) == len(far.weather)
