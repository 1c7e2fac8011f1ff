"""Units, instants and spans of time as payloads write them."""

from __future__ import annotations

import math

import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.fields import quantity_si
from curecast.sources.instants import (
    hour_text,
    parse_duration_h,
    parse_instant_h,
    parse_interval_h,
)
from curecast.sources.units import dew_point_from_rh_c, si_value, wind_text_ms


@pytest.mark.parametrize("prefix", ["unit:", "wmoUnit:", "wmo:", "uc:", ""])
@pytest.mark.parametrize(
    ("value", "code", "quantity", "si"),
    [
        (0, "degC", "temperature", 0.0),
        (32, "degF", "temperature", 0.0),
        (14, "F", "temperature", -10.0),
        (273.15, "K", "temperature", 0.0),
        (0, "percent", "ratio", 0.0),
        (37, "percent", "ratio", 0.37),
        (36, "km_h-1", "speed", 10.0),
        (10, "m_s-1", "speed", 10.0),
        (2.5, "mm", "rain", 2.5),
        (100, "ft", "length", 30.48),
    ],
)
def test_the_code_decides(prefix: str, value: float, code: str, quantity: str, si: float) -> None:
    assert si_value(value, prefix + code, quantity, "x") == pytest.approx(si, abs=1e-9)


@pytest.mark.parametrize(
    "code", ["wmoUnit:degX", "si:degC", "degc", "", None, 3, ["degC"], "wmoUnit:km_h-1", "a:b:degC"]
)
def test_an_unknown_unit_is_named_not_guessed(code: object) -> None:
    with pytest.raises(WeatherUnusable, match="dewpoint is given") as caught:
        si_value(1.0, code, "temperature", "dewpoint")
    assert code is None or repr(str(code)) in caught.value.message


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("10 mph", 4.4704),
        ("5 to 10 mph", 4.4704),
        ("0 mph", 0.0),
        ("16 km/h", 16 / 3.6),
        ("15 to 25 km/h", 25 / 3.6),
        ("", None),
        ("  ", None),
    ],
)
def test_wind_in_words(text: str, ms: float | None) -> None:
    assert wind_text_ms(text) == (None if ms is None else pytest.approx(ms, abs=1e-6))


@pytest.mark.parametrize("text", ["mph", "ten mph", "-5 mph", "5 to mph", "1e9 mph", "1 2 3 4 mph"])
def test_wind_that_is_no_speed(text: str) -> None:
    with pytest.raises(ValueError, match="is no"):
        wind_text_ms(text)


def test_wind_in_an_unknown_unit() -> None:
    with pytest.raises(WeatherUnusable, match="'furlongs'"):
        wind_text_ms("5 furlongs")


def test_a_quantity_may_bring_its_unit_and_zero_is_a_value() -> None:
    brought = {"unitCode": "wmoUnit:degC", "value": 0}
    assert quantity_si(brought, "temperature", "temperature", "F") == 0.0
    assert quantity_si(0, "temperature", "temperature", "C") == 0.0
    assert quantity_si({"unitCode": "wmoUnit:degC", "value": None}, "temperature", "t") is None
    assert quantity_si(None, "temperature", "t", "F") is None
    greatest = {"unitCode": "wmoUnit:km_h-1", "value": None, "minValue": 18, "maxValue": 36}
    assert quantity_si(greatest, "speed", "windSpeed") == pytest.approx(10.0)


@pytest.mark.parametrize("value", ["41", True, [], float("inf"), 10**400, {"value": 3}, 3])
def test_what_is_no_quantity(value: object) -> None:
    with pytest.raises(ValueError, match="t "):
        quantity_si(value, "temperature", "t")


def test_dew_point_turns_the_magnus_formula_round() -> None:
    """e_s = 0.6108 exp(17.27 T / (T + 237.3)): FAO-56 eq. 11; its Table 2.3 gives 1.228 kPa
    at 10 °C and 2.338 kPa at 20 °C, so air of 20 °C with that vapour has its dew point at 10."""
    assert dew_point_from_rh_c(20.0, 1.228 / 2.338) == pytest.approx(10.0, abs=0.02)
    assert dew_point_from_rh_c(0.0, 1.0) == 0.0
    assert dew_point_from_rh_c(-10.0, 1.0) == pytest.approx(-10.0, abs=1e-6)


@pytest.mark.parametrize("rh", [0.0, 0.009, 1.01, -0.5, math.nan])
def test_no_dew_point_of_nonsense(rh: float) -> None:
    with pytest.raises(ValueError, match="no dew point"):
        dew_point_from_rh_c(5.0, rh)


def test_instants_are_keyed_by_utc() -> None:
    assert parse_instant_h("2026-03-08T01:00:00-06:00") + 1 == parse_instant_h(
        "2026-03-08T03:00:00-05:00"
    )
    assert parse_instant_h("2021-11-07T01:00:00-05:00") + 1 == parse_instant_h(
        "2021-11-07T01:00:00-06:00"
    )
    assert parse_instant_h("1970-01-01T01:30Z") == 1.5


@pytest.mark.parametrize(
    "text", ["", "yesterday", None, 5, "2026-02-30T00:00Z", "0001-01-01T00:00+14:00", "9999-12-31Z",
             "NOW", "2026-03-08"],
)  # fmt: skip
def test_no_instant(text: object) -> None:
    with pytest.raises(WeatherUnusable):
        parse_instant_h(text)


def test_an_instant_without_offset_could_be_any_hour() -> None:
    with pytest.raises(WeatherUnusable, match="no offset"):
        parse_instant_h("2026-03-08T02:30:00")


@pytest.mark.parametrize(
    ("text", "hours"),
    [("PT1H", 1), ("PT21H", 21), ("P1D", 24), ("P1DT6H", 30), ("P2DT15H", 63), ("P7DT16H", 184),
     ("PT30M", 0.5), ("P1W", 168), ("PT1H30M36S", 1.51)],
)  # fmt: skip
def test_durations(text: str, hours: float) -> None:
    assert parse_duration_h(text) == pytest.approx(hours)


@pytest.mark.parametrize(
    "text", ["", "P", "PT", "PT0H", "1H", "P-1D", "PT1.5H", "P99999999D", "P61D", "P1Y"]
)
def test_no_duration(text: str) -> None:
    with pytest.raises(WeatherUnusable, match="no length of time"):
        parse_duration_h(text)


def test_the_three_forms_of_a_span() -> None:
    forms = [
        "2026-03-04T12:00:00+00:00/PT2H",
        "2026-03-04T12:00:00Z/2026-03-04T14:00:00Z",
        "PT2H/2026-03-04T14:00:00+00:00",
    ]
    assert len({parse_interval_h(form) for form in forms}) == 1


@pytest.mark.parametrize(
    "text", [None, "", "2026-03-04T12:00Z", "NOW/PT2H", "/", "P1D/P1D",
             "2026-03-04T12:00Z/2026-03-04T12:00Z"],
)  # fmt: skip
def test_no_span(text: object) -> None:
    with pytest.raises(WeatherUnusable):
        parse_interval_h(text)


def test_an_hour_in_words() -> None:
    assert hour_text(parse_instant_h("2027-03-14T03:15:00-04:00")) == "2027-03-14 07:15 UTC"
