"""Hourly weather from CSV: what a person or a spreadsheet writes."""

from __future__ import annotations

import time

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.instants import parse_instant_h
from curecast.sources.table import parse_table

FIRST_H = parse_instant_h("2027-03-08T06:00-05:00")


def table(*lines: str, header: str = "time,air_c") -> str:
    return "\n".join((header, *lines)) + "\n"


def rows(temperatures: list[float], step_h: float = 1.0) -> list[str]:
    out = []
    for i, air_c in enumerate(temperatures):
        minutes = round(60 * i * step_h)
        day, hour, minute = 8 + minutes // 1440, minutes // 60 % 24, minutes % 60
        out.append(f"2027-03-{day:02}T{hour:02}:{minute:02}-05:00,{air_c}")
    return out


def test_all_columns_in_any_order() -> None:
    text = table(
        "2,2027-03-08T06:00-05:00,0.3,0.5,1.5,4,0.2",
        "3,2027-03-08T07:00-05:00,0.4,0.5,0,0,0",
        header="Air_C, time ,chance_rain,cloud,rain_mm,wind_ms,dew_point_c",
    )
    forecast = parse_table(text, "a.csv")
    weather = forecast.weather
    assert forecast.source == "a.csv"
    assert weather.start_h == FIRST_H == forecast.issued_h
    assert weather.air_c.tolist() == [2, 3]
    assert weather.chance_rain.tolist() == [0.3, 0.4]
    assert weather.cloud.tolist() == [0.5, 0.5]
    assert weather.rain_mm.tolist() == [1.5, 0]
    assert weather.wind_ms.tolist() == [4, 0]
    assert weather.dew_point_c.tolist() == [0.2, 0]


def test_marks_that_spreadsheets_leave() -> None:
    text = '\ufefftime,air_c,note\r\n\r\n2027-03-08T06:00-05:00,0,"cold, clear"\r\n'
    assert parse_table(text).weather.air_c.tolist() == [0.0]


def test_times_in_two_offsets_are_one_clock() -> None:
    text = table("2027-03-14T01:00-05:00,1", "2027-03-14T03:00-04:00,2", "2027-03-14T08:00Z,3")
    assert parse_table(text).weather.air_c.tolist() == [1, 2, 3]


def test_humidity_becomes_a_dew_point() -> None:
    text = table("2027-03-08T06:00Z,10,1", "2027-03-08T07:00Z,10,0.5", "2027-03-08T08:00Z,10,",
                 header="time,air_c,rh")  # fmt: skip
    dew_point_c = parse_table(text).weather.dew_point_c
    assert dew_point_c[0] == pytest.approx(10.0)
    # Magnus by hand: ln 0.5 + 17.27*10/247.3 = 0.005196; 237.3 x/(17.27 - x) = 0.0714
    assert dew_point_c[1] == pytest.approx(0.0714, abs=5e-4)
    assert np.isnan(dew_point_c[2])


def test_times_beside_the_hour_are_brought_to_it() -> None:
    text = table("2027-03-08T05:40Z,1", "2027-03-08T06:40Z,4", "2027-03-08T07:40Z,7")
    weather = parse_table(text).weather
    assert weather.start_h == parse_instant_h("2027-03-08T06:00Z")
    assert weather.air_c == pytest.approx([2.0, 5.0])
    assert "filled in" in parse_table(text).flags[0]


def test_rain_falls_from_one_line_to_the_next() -> None:
    text = table("2027-03-08T06:00Z,5,3", "2027-03-08T09:00Z,5,0.6", "2027-03-08T12:00Z,5,0",
                 header="time,air_c,rain_mm")  # fmt: skip
    weather = parse_table(text).weather
    assert weather.rain_mm == pytest.approx([1, 1, 1, 0.2, 0.2, 0.2, 0])
    halves = table("2027-03-08T06:30Z,5,3", "2027-03-08T07:30Z,5,1", "2027-03-08T08:30Z,5,0",
                   header="time,air_c,rain_mm")  # fmt: skip
    assert parse_table(halves).weather.rain_mm == pytest.approx([2.0, 0.5])
    between = table("2027-03-08T06:00Z,5,1", "2027-03-08T06:30Z,5,1", "2027-03-08T07:00Z,5,2",
                    "2027-03-08T08:00Z,5,3", "2027-03-08T09:00Z,5,0",
                    header="time,air_c,rain_mm")  # fmt: skip
    assert parse_table(between).weather.rain_mm == pytest.approx([2.0, 2.0, 3.0, 0.0])


@pytest.mark.parametrize("step_h", [2, 3])
def test_a_wide_step_is_accepted_and_told(step_h: int) -> None:
    forecast = parse_table(table(*rows([0, 3, 6, 3], step_h)))
    assert len(forecast.weather) == 3 * step_h + 1
    assert forecast.weather.air_c[step_h] == 3.0
    assert "filled in" in forecast.flags[0]


def test_a_wider_step_is_refused() -> None:
    with pytest.raises(WeatherUnusable, match="only every 4 h"):
        parse_table(table(*rows([0, 3, 6, 3], 4)))


def test_a_gap_is_refused_with_its_hours() -> None:
    lines = rows([1.0] * 24)
    del lines[8:13]
    with pytest.raises(
        WeatherUnusable, match=r"missing from 2027-03-08 13:00 UTC to 2027-03-08 17:00 UTC"
    ):
        parse_table(table(*lines))


def test_three_lines_left_out_are_filled_in() -> None:
    lines = rows(list(range(24)))
    del lines[8:11]
    assert parse_table(table(*lines)).weather.air_c.tolist() == list(range(24))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("2027-03-08 07:00,1", "line 3: the time '2027-03-08 07:00' has no offset"),
        ("08.03.2027 07:00,1", "line 3: '08.03.2027 07:00' is no time"),
        ("2027-03-08T07:00Z,41F", "line 3: air_c is '41F', not a plain number"),
        ("2027-03-08T07:00Z,inf", "line 3: air_c is 'inf', not a plain number"),
        ("2027-03-08T07:00Z,1_0", "line 3: air_c is '1_0', not a plain number"),
        ("2027-03-08T07:00Z,4,5", "line 3: 3 fields, but the header has 2"),
        ("2027-03-08T07:00Z", "line 3: 1 fields, but the header has 2"),
        (",1", "line 3: '' is no time"),
        ('2027-03-08T07:00Z,"1', "line 3: unexpected end of data"),
    ],
)
def test_a_fault_is_told_with_its_line(line: str, says: str) -> None:
    with pytest.raises(WeatherUnusable) as caught:
        parse_table(table("2027-03-08T06:00Z,1", line), "a.csv")
    assert caught.value.message.startswith("a.csv, line")
    assert says in caught.value.message
    assert caught.value.hint


@pytest.mark.parametrize("name", ["rh", "cloud", "chance_rain"])
def test_percent_is_not_a_part_of_one(name: str) -> None:
    with pytest.raises(WeatherUnusable, match=f"line 2: {name} is 85, but it runs from 0 to 1"):
        parse_table(table("2027-03-08T06:00Z,1,85", header=f"time,air_c,{name}"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        ("time,air_c\n", "no lines of weather"),
        ("time,air_f\n2027-03-08T06:00Z,41\n", "no column air_c; it has: time, air_f"),
        ("when;air_c\n", "no column time"),
        ("time,air_c,air_c\n", "air_c twice"),
        ("time,air_c\n2027-03-08T06:00Z,\n", "holds no air temperature"),
    ],
)
def test_no_table(text: str, says: str) -> None:
    with pytest.raises(WeatherUnusable, match=says):
        parse_table(text)


def test_one_absurd_value_is_dropped_and_told_many_are_refused() -> None:
    lines = rows([2.0] * 48)
    lines[20] = lines[20].replace(",2.0", ",250")
    forecast = parse_table(table(*lines))
    assert forecast.weather.air_c.max() == 2.0
    assert "250 °C at 2027-03-09 01:00 UTC" in forecast.flags[0]
    with pytest.raises(WeatherUnusable, match="48 of 48"):
        parse_table(table(*rows([250.0] * 48)))


def test_sixty_days_load_at_once() -> None:
    first_h = round(FIRST_H)
    lines = [
        f"{np.datetime64(first_h + i, 'h')}:00Z,{5 + 5 * np.sin(i / 4):.1f},0.8,3,0.5,0,0.1"
        for i in range(24 * 60)
    ]
    text = table(*lines, header="time,air_c,rh,wind_ms,cloud,rain_mm,chance_rain")
    began = time.perf_counter()
    forecast = parse_table(text)
    assert time.perf_counter() - began < 0.5
    assert len(forecast.weather) == 24 * 60
    assert forecast.flags == ()
