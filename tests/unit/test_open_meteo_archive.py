"""Means of months from an archive's days: each month its own, and nothing on thin ice."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.open_meteo_archive import parse_normals


def answer(**more: Any) -> dict[str, Any]:
    days = [date(2017, 1, 1) + timedelta(days=i) for i in range(3652)]
    return {
        "daily_units": {"time": "iso8601", "temperature_2m_mean": "°C"},
        "daily": {
            "time": [day.isoformat() for day in days],
            "temperature_2m_mean": [float(day.month) for day in days],
        },
    } | more


def test_each_month_has_its_own_mean() -> None:
    assert parse_normals(answer()) == tuple(float(month) for month in range(1, 13))


def test_days_that_are_not_known_are_left_out() -> None:
    given = answer()
    given["daily"]["temperature_2m_mean"][:300:2] = [None] * 150
    assert parse_normals(given)[0] == 1.0
    given["daily"]["temperature_2m_mean"][:2900] = [None] * 2900
    with pytest.raises(WeatherUnusable, match="too few days"):
        parse_normals(given)


def test_the_unit_is_the_payload_s() -> None:
    units = {"temperature_2m_mean": "°F"}
    assert parse_normals(answer(daily_units=units))[0] == pytest.approx(-17.22)
    with pytest.raises(WeatherUnusable, match="'R'"):
        parse_normals(answer(daily_units={"temperature_2m_mean": "R"}))


@pytest.mark.parametrize("daily", [None, {}, {"time": [1], "temperature_2m_mean": []}])
def test_another_payload(daily: object) -> None:
    with pytest.raises(WeatherUnusable):
        parse_normals(answer(daily=daily))


def test_days_that_no_weather_has() -> None:
    given = answer()
    given["daily"]["temperature_2m_mean"][5] = 90.0
    with pytest.raises(WeatherUnusable, match="90 °C"):
        parse_normals(given)
