"""Open-Meteo's lists become hours, whatever form their times and units have."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import numpy as np
import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.instants import parse_instant_h
from curecast.sources.open_meteo_payload import parse_open_meteo
from tests.fixtures.other_weather import EPOCH, air_c, dew_c, open_meteo

FIRST = int(parse_instant_h("2026-03-07T00:00:00Z"))


def test_sixteen_days() -> None:
    forecast = parse_open_meteo(open_meteo(FIRST), fetched_h=FIRST + 3.0, issued_h=FIRST - 3.0)
    weather = forecast.weather
    assert (weather.start_h, len(weather)) == (FIRST, 384)
    np.testing.assert_allclose(weather.air_c, [air_c(FIRST + i) for i in range(384)])
    np.testing.assert_allclose(weather.dew_point_c, [dew_c(FIRST + i) for i in range(384)])
    assert np.isfinite(weather.cloud[:360]).all()
    assert np.isnan(weather.cloud[360:]).all()
    assert forecast.issued_h == FIRST - 3.0
    assert forecast.elevation_m == 280.0
    assert forecast.credits[0].startswith("Weather data by Open-Meteo.com")


def test_rain_is_labelled_with_the_end_of_its_hour() -> None:
    payload = open_meteo(FIRST)
    payload["hourly"]["precipitation"] = [0.0] * 384
    payload["hourly"]["precipitation"][10] = 4.0
    weather = parse_open_meteo(payload).weather
    assert weather.rain_mm[9] == 4.0
    assert np.nansum(weather.rain_mm) == 4.0


def local(payload: dict[str, Any], offset_h: int) -> dict[str, Any]:
    hours = [second / 3600 + offset_h for second in payload["hourly"]["time"]]
    payload["hourly"]["time"] = [f"{EPOCH + timedelta(hours=h):%Y-%m-%dT%H:%M}" for h in hours]
    payload["hourly_units"]["time"] = "iso8601"
    payload["utc_offset_seconds"] = 3600 * offset_h
    return payload


def test_one_offset_serves_both_sides_of_a_clock_change() -> None:
    """2026-03-08T02:00 does not exist in Toronto, and is listed all the same."""
    payload = local(open_meteo(FIRST), -5)
    assert "2026-03-08T02:00" in payload["hourly"]["time"]
    weather = parse_open_meteo(payload).weather
    np.testing.assert_allclose(weather.air_c, [air_c(FIRST + i) for i in range(384)])


def test_the_time_of_the_current_values_is_that_of_the_issue() -> None:
    payload = local(open_meteo(FIRST), -5)
    payload |= {"current": {"time": "2026-03-06T21:15"}, "current_units": {"time": "iso8601"}}
    forecast = parse_open_meteo(payload)
    assert forecast.issued_h == parse_instant_h("2026-03-07T02:15Z")
    assert forecast.flags == ()


def test_units_of_the_payload_count() -> None:
    payload = open_meteo(FIRST)
    hourly, units = payload["hourly"], payload["hourly_units"]
    for name in ("temperature_2m", "dew_point_2m"):
        hourly[name] = [value * 1.8 + 32 for value in hourly[name]]
        units[name] = "°F"
    hourly["wind_speed_10m"], units["wind_speed_10m"] = [10.0] * 384, "mp/h"
    hourly["precipitation"], units["precipitation"] = [0.1] * 384, "inch"
    weather = parse_open_meteo(payload).weather
    np.testing.assert_allclose(weather.air_c, [air_c(FIRST + i) for i in range(384)], atol=1e-6)
    assert weather.wind_ms[0] == pytest.approx(4.4704)
    assert weather.rain_mm[0] == pytest.approx(2.54)


def test_nulls_at_the_end_shorten_it_and_in_the_middle_are_filled_or_refused() -> None:
    payload = open_meteo(FIRST)
    air = payload["hourly"]["temperature_2m"]
    air[300:] = [None] * 84
    assert len(parse_open_meteo(payload).weather) == 300
    air[100:103] = [None] * 3
    assert "missing and filled in" in " ".join(parse_open_meteo(payload).flags)
    air[100:104] = [None] * 4
    with pytest.raises(WeatherUnusable, match="missing from 2026-03-11 04:00 UTC"):
        parse_open_meteo(payload)


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("hourly", None, "no hours"),
        ("hourly_units", None, "no hours with units"),
        ("hourly_units", {"time": "unixtime", "temperature_2m": "K°"}, "'K°'"),
        ("hourly_units", {"time": "fortnights"}, "'fortnights'"),
        ("hourly", {"time": []}, "holds no times"),
        ("hourly", {"time": [0, 3600]}, "no air temperature"),
        ("hourly", {"time": [0, 3600], "temperature_2m": [1.0]}, "as long as its times"),
        ("hourly", {"time": ["x"], "temperature_2m": [1.0]}, "'x' is no time"),
    ],
)
def test_what_cannot_be_trusted_is_refused(key: str, value: object, said: str) -> None:
    with pytest.raises(WeatherUnusable, match=said):
        parse_open_meteo(open_meteo(FIRST) | {key: value})


def test_local_labels_without_their_offset_are_refused() -> None:
    payload = local(open_meteo(FIRST), -5)
    for offset in (None, True, "x", 1e9):
        with pytest.raises(WeatherUnusable, match="offset"):
            parse_open_meteo(payload | {"utc_offset_seconds": offset})
