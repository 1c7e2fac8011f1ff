"""MET Norway's steps become hours: as given where they are hourly, bent by the day after that."""

from __future__ import annotations

import copy
from typing import Any

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.instants import parse_instant_h
from curecast.sources.met_norway_payload import parse_met_norway
from tests.fixtures.other_weather import air_c, dew_c, met_norway

FIRST = int(parse_instant_h("2027-04-05T10:00:00Z"))


def test_hours_as_they_are_given() -> None:
    forecast = parse_met_norway(met_norway(FIRST, complete=True))
    weather = forecast.weather
    assert weather.start_h == FIRST
    np.testing.assert_allclose(weather.air_c[:60], [air_c(FIRST + i) for i in range(60)])
    np.testing.assert_allclose(weather.dew_point_c[:60], [dew_c(FIRST + i) for i in range(60)])
    assert set(weather.wind_ms.tolist()) == {3.1}
    assert set(weather.cloud.tolist()) == {0.5}
    np.testing.assert_allclose(weather.rain_mm[:-1], 0.1)
    assert np.isnan(weather.chance_rain).all()
    assert forecast.issued_h == FIRST + 0.6
    assert forecast.elevation_m == 271.0
    assert forecast.credits == ("Data from MET Norway (CC BY 4.0)",)


def test_the_end_follows_the_run_of_the_day() -> None:
    """Noons and nights between six-hourly values are kept, which a straight line cuts off."""
    forecast = parse_met_norway(met_norway(FIRST))
    weather = forecast.weather
    hours = weather.start_h + np.arange(len(weather))
    true = np.array([air_c(int(hour)) for hour in hours])
    assert np.abs(weather.air_c - true)[66:].max() < 0.4
    knots = hours[hours % 6 == 0]
    straight = np.interp(hours, knots, [air_c(int(hour)) for hour in knots])
    assert np.abs(straight - true)[66:].max() > 0.9
    assert forecast.flags == (
        "six-hourly from 2027-04-08 00:00 UTC on: the hours between are filled in",
    )


def test_dew_points_come_from_the_humidity_where_they_are_left_out() -> None:
    weather = parse_met_norway(met_norway(FIRST)).weather
    np.testing.assert_allclose(
        weather.dew_point_c[:60], [dew_c(FIRST + i) for i in range(60)], atol=0.05
    )
    assert not (weather.dew_point_c > weather.air_c).any()


def test_only_hours_are_not_bent() -> None:
    forecast = parse_met_norway(met_norway(FIRST, coarse=0))
    assert len(forecast.weather) == 60
    assert forecast.flags == ()


def test_only_six_hour_steps_are_straight() -> None:
    payload = met_norway(FIRST)
    steps = payload["properties"]["timeseries"]
    payload["properties"]["timeseries"] = steps[-20:]
    weather = parse_met_norway(payload).weather
    assert weather.air_c[3] == pytest.approx(0.5 * (weather.air_c[0] + weather.air_c[6]))


def test_six_lost_hours_among_the_hourly_ones_are_a_gap() -> None:
    payload = met_norway(FIRST)
    del payload["properties"]["timeseries"][20:25]
    with pytest.raises(WeatherUnusable, match="missing from 2027-04-06 06:00 UTC"):
        parse_met_norway(payload)


def change(payload: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    payload = copy.deepcopy(payload)
    inside: Any = payload
    *keys, last = path.split(".")
    for key in keys:
        inside = inside[int(key) if key.isdecimal() else key]
    inside[last] = value
    return payload


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("properties.timeseries", [], "holds no times"),
        ("properties.timeseries", None, "no list of times"),
        ("properties.meta.units", None, "no list of times with units"),
        ("properties.meta.units.air_temperature", "kelvins", "'kelvins'"),
        ("properties.meta.units.air_temperature", "fahrenheit", "contradict"),
        ("properties.meta.units.wind_speed", None, "wind_speed|wind"),
        ("properties", None, "no properties"),
    ],
)
def test_what_cannot_be_trusted_is_refused(path: str, value: object, said: str) -> None:
    with pytest.raises(WeatherUnusable, match=said):
        parse_met_norway(change(met_norway(FIRST, complete=True), path, value))


def test_zero_is_a_value() -> None:
    path = "properties.timeseries.5.data.instant.details.air_temperature"
    forecast = parse_met_norway(change(met_norway(FIRST), path, 0))
    assert forecast.weather.air_c[5] == 0.0
    assert len(forecast.flags) == 1


def test_one_bad_hour_is_dropped_and_told() -> None:
    path = "properties.timeseries.5.data.instant.details.air_temperature"
    forecast = parse_met_norway(change(met_norway(FIRST), path, 99.0))
    assert any("99 °C at 2027-04-05 15:00 UTC" in flag for flag in forecast.flags)
    assert abs(forecast.weather.air_c[5] - air_c(FIRST + 5)) < 1.0
