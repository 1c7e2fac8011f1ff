"""A kept forecast comes back as it was, or with one clear sentence."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnusable
from curecast.sources.kept import dump_forecast, load_forecast

COLUMNS = ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain")
finite = st.floats(allow_nan=False, allow_infinity=False, width=64)


@st.composite
def forecasts(draw: st.DrawFn) -> Forecast:
    n = draw(st.integers(1, 6))
    maybe = st.one_of(finite, st.just(float("nan")))
    columns = {
        name: np.array(draw(st.lists(finite if name == "air_c" else maybe, min_size=n, max_size=n)))
        for name in COLUMNS
    }
    span = np.array(draw(st.lists(st.integers(0, 3), min_size=n, max_size=n)), dtype=np.int8)
    return Forecast(
        source=draw(st.text(max_size=9)),
        issued_h=draw(finite),
        fetched_h=draw(finite),
        weather=HourlyWeather(start_h=draw(st.integers(-(10**6), 10**6)), span=span, **columns),
        elevation_m=draw(st.none() | finite),
        zone=draw(st.none() | st.just("America/New_York")),
        flags=tuple(draw(st.lists(st.text(max_size=5), max_size=2))),
    )


@given(forecasts())
def test_a_forecast_comes_back_exactly(forecast: Forecast) -> None:
    text = dump_forecast(forecast)
    back = load_forecast(text)
    for name in (*COLUMNS, "span"):
        old, new = getattr(forecast.weather, name), getattr(back.weather, name)
        assert old.dtype == new.dtype
        np.testing.assert_array_equal(old, new)
    assert back.weather.start_h == forecast.weather.start_h
    names = ("source", "issued_h", "fetched_h", "elevation_m", "zone", "flags")
    assert [getattr(back, n) for n in names] == [getattr(forecast, n) for n in names]
    assert dump_forecast(back) == text
    assert "NaN" not in json.dumps(json.loads(text)["air_c"])


@pytest.mark.parametrize("text", ["", "{}", "[]", "7", '{"layout":1,"source":"x"}'])
def test_a_damaged_text_is_refused(text: str) -> None:
    with pytest.raises(WeatherUnusable, match="damaged"):
        load_forecast(text)


def test_a_later_layout_is_refused() -> None:
    with pytest.raises(WeatherUnusable, match="layout 2"):
        load_forecast('{"layout":2}')
