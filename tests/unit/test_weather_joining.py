"""Weather from several hands: which hour counts, and no step where they meet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.weather.climate import FORGETTING_H, extended, season_c, seasonal_k
from curecast.core.weather.joining import joined
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather
from curecast.errors import WeatherUnusable

START_H = 498_120
NONE = np.array([])


def forecast(issued_h: float, air: float, hours: int = 96, first: int | None = None) -> Forecast:
    begin = int(np.floor(issued_h)) if first is None else first
    t = begin + np.arange(hours)
    temps = air + 4.0 * np.cos(2 * np.pi * (t % 24 - 15) / 24)
    weather = HourlyWeather(
        begin, temps, temps - 2.0, np.full(hours, 4.0), np.full(hours, 0.3), np.zeros(hours),
        np.zeros(hours), np.full(hours, SPANS.index("forecast"), dtype=np.int8),
    )  # fmt: skip
    return Forecast("made up", issued_h, issued_h, weather)


def test_the_newest_forecast_counts_ahead_and_the_newest_of_its_time_behind() -> None:
    old, new = forecast(START_H, 5.0), forecast(START_H + 24.0, 9.0)
    weather, lead = joined([new, old], NONE, NONE, START_H, 45.0)
    t = START_H + np.arange(len(weather))
    assert np.allclose(weather.air_c[t < START_H + 24], old.weather.air_c[:24])
    assert np.allclose(weather.air_c[t >= START_H + 24], new.weather.air_c)
    assert lead[0] == 0.5
    assert lead[24] == 0.5
    assert lead[36] == pytest.approx(1.0)


def test_an_issue_on_the_half_hour_holds_from_its_hour() -> None:
    weather, lead = joined([forecast(START_H + 0.5, 5.0)], NONE, NONE, START_H, 45.0)
    assert weather.span[0] == SPANS.index("forecast")
    assert lead[0] == 0.5


def test_observed_hours_replace_forecast_ones_and_take_the_dew_point_along() -> None:
    f = forecast(START_H, 5.0)
    seen_h = START_H + np.array([3.0, 4.0, 5.9])
    seen = np.array([0.0, 1.0, 2.9])  # 0 °C is a reading like any other
    weather, _ = joined([f], seen_h, seen, START_H, 45.0)
    assert weather.air_c[3:6].tolist() == pytest.approx([0.0, 1.0, 2.0])
    assert weather.air_c[6] == pytest.approx(2.9)
    assert (weather.span[3:7] == SPANS.index("observed")).all()
    assert (weather.span[7:] == SPANS.index("forecast")).all()
    np.testing.assert_allclose(weather.air_c[3:7] - weather.dew_point_c[3:7], 2.0)


def test_observations_far_apart_say_nothing_of_the_hours_between() -> None:
    f = forecast(START_H, 5.0)
    seen_h, seen = START_H + np.array([3.0, 9.0]), np.array([-20.0, -20.0])
    weather, _ = joined([f], seen_h, seen, START_H, 45.0)
    assert weather.span[3] == weather.span[9] == SPANS.index("observed")
    assert (weather.span[4:9] == SPANS.index("forecast")).all()
    assert weather.air_c[6] > -20.0
    broken = np.array([np.nan, -20.0])
    weather, _ = joined([f], seen_h, broken, START_H, 45.0)
    assert weather.span[3] == SPANS.index("forecast")
    assert np.isfinite(weather.air_c).all()


def test_hours_before_any_forecast_are_filled_without_a_step() -> None:
    f = forecast(START_H + 48.0, 5.0)
    weather, lead = joined([f], NONE, NONE, START_H, 45.0)
    assert (weather.span[:48] == SPANS.index("climatology")).all()
    assert (lead[:48] == 8.0).all()
    steps = np.abs(np.diff(weather.air_c))
    assert steps.max() <= np.abs(np.diff(f.weather.air_c)).max() + 0.2


def test_a_gap_between_two_forecasts_is_bridged() -> None:
    early, late = forecast(START_H, 2.0, 30), forecast(START_H + 60.0, 12.0, 60)
    weather, _ = joined([early, late], NONE, NONE, START_H, 45.0)
    usual = np.abs(np.diff(early.weather.air_c)).max()
    assert np.abs(np.diff(weather.air_c)).max() < usual + 0.5
    middle = weather.air_c[30:60].mean()
    assert 2.0 < middle < 12.0


def test_no_forecast_at_all_is_refused() -> None:
    with pytest.raises(WeatherUnusable, match="no forecast"):
        joined([], NONE, NONE, START_H, 45.0)


def test_a_second_source_keeps_its_name() -> None:
    f = forecast(START_H, 5.0)
    mixed = f.weather.span.copy()
    mixed[48:] = SPANS.index("second forecast")
    weather, _ = joined(
        [replace(f, weather=replace(f.weather, span=mixed))], NONE, NONE, START_H, 45.0
    )
    assert (weather.span[48:] == SPANS.index("second forecast")).all()


def test_climatology_goes_on_where_the_forecast_ends() -> None:
    known = forecast(START_H, 5.0, 240).weather
    # a cold front at the very end: an anomaly of -8 K that has to fade
    air = known.air_c - 8.0 * np.clip((np.arange(240) - 228) / 12.0, 0.0, 1.0)
    depression = np.linspace(6.0, 1.0, 240)
    known = replace(known, air_c=air, dew_point_c=air - depression)
    more = extended(known, START_H + 240 + 480, 45.0)
    assert np.array_equal(more.air_c[:240], known.air_c)
    assert (more.span[240:] == SPANS.index("climatology")).all()
    for name, step in (("air_c", 1.6), ("dew_point_c", 1.7), ("wind_ms", 0.1), ("cloud", 0.02)):
        values = getattr(more, name)
        assert abs(values[240] - values[239]) < step, name
    at = 239 + int(FORGETTING_H)
    day_like = known.air_c[:228].reshape(-1, 12)
    assert np.isfinite(day_like).all()
    usual = 5.0 + 4.0 * np.cos(2 * np.pi * ((START_H + at) % 24 - 15) / 24)
    assert more.air_c[at] == pytest.approx(usual - 8.0 * np.exp(-1), abs=1.5)
    assert np.isnan(more.rain_mm[240:]).all()


def test_climatology_follows_the_season() -> None:
    known = forecast(START_H, 5.0, 240).weather  # November
    january = START_H + 80 * 24
    more = extended(known, january, 45.0)
    cooled = more.air_c[-240:].mean() - known.air_c.mean()
    turn = seasonal_k(january, 45.0) - seasonal_k(START_H + 120, 45.0)
    assert cooled == pytest.approx(float(turn), abs=1.0)
    assert seasonal_k(january, -45.0) == pytest.approx(-seasonal_k(january, 45.0))
    assert extended(known, january, None).air_c[-1] == pytest.approx(more.air_c[-1])
    assert extended(known, START_H + 10, 45.0) is known


@pytest.mark.parametrize("latitude", [30.0, 44.1, 51.5, 60.0, -44.0])
@pytest.mark.parametrize("day", [20.0, 74.0, 120.0, 201.0, 300.0])
@pytest.mark.parametrize("mean_c", [-8.0, 2.0, 9.0, 16.0])
def test_a_warm_week_makes_no_hot_summer(latitude: float, day: float, mean_c: float) -> None:
    """Nobody gave the months: the year turns through the week, and on its cool side."""
    year = 24.0 * np.arange(0.0, 365.0, 5.0)
    found = season_c(year, mean_c, [24.0 * day], latitude)
    plain = mean_c - seasonal_k([24.0 * day], latitude)[0] + seasonal_k(year, latitude)
    assert (found <= plain + 1e-9).all()
    hottest = {30.0: 28.0, 44.1: 22.5, 51.5: 20.0, 60.0: 18.0, -44.0: 22.5}[latitude]
    assert found.max() <= max(hottest, mean_c)
    here = float(season_c([24.0 * day], mean_c, [24.0 * day], latitude)[0])
    assert mean_c - 3.0 - 1e-9 <= here <= mean_c + 1e-9


def test_a_cold_week_is_taken_as_it_is() -> None:
    march = 24.0 * 74.0
    assert season_c([march], -5.0, [march], 44.1)[0] == pytest.approx(-5.0)
