"""One run of weather out of several: nothing is lost, nothing jumps, everything has its origin."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from curecast.core.weather.height import at_height
from curecast.core.weather.seams import eased_k, followed, preceded
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather, Origin

FORECAST, SECOND, OBSERVED = (SPANS.index(s) for s in ("forecast", "second forecast", "observed"))


def run(start_h: int, n: int, mean_c: float, *, span: int = FORECAST, bare: bool = False):
    hours = start_h + np.arange(n)
    air_c = mean_c - 4.0 * np.cos(2 * np.pi * (hours - 4) / 24)
    silent = np.full(n, np.nan)
    return HourlyWeather(
        start_h=start_h,
        air_c=air_c,
        dew_point_c=silent if bare else air_c - 2.0,
        wind_ms=silent if bare else np.full(n, 2.0 + mean_c / 10),
        cloud=silent if bare else np.full(n, 0.5),
        rain_mm=silent if bare else np.zeros(n),
        chance_rain=silent,
        span=np.full(n, span, dtype=np.int8),
    )


def forecast(name: str, start_h: int, n: int, mean_c: float, issued_h: float, **more: object):
    weather = run(start_h, n, mean_c, bare=bool(more.pop("bare", False)))
    return Forecast(name, issued_h, issued_h, weather, **more)  # type: ignore[arg-type]


ONE = forecast("one", 100, 48, 5.0, 99.5, credits=("thanks to one",), zone="America/Chicago")
TWO = forecast("two", 96, 120, 8.0, 95.0, credits=("thanks to two",), flags=("coarse",))


def test_the_second_carries_on_without_a_step() -> None:
    joined = followed(ONE, TWO)
    weather = joined.weather
    assert (weather.start_h, weather.end_h) == (100, 215)
    np.testing.assert_array_equal(weather.air_c[:48], ONE.weather.air_c)
    assert weather.span.tolist() == [FORECAST] * 48 + [SECOND] * 68
    own = np.abs(np.diff(TWO.weather.air_c)).max()
    assert np.abs(np.diff(weather.air_c)).max() < own + 3.0 / 24.0
    assert abs(weather.air_c[-1] - TWO.weather.air_c[-1]) < 0.2
    assert np.abs(np.diff(weather.wind_ms)).max() < 0.05
    np.testing.assert_allclose(weather.air_c - weather.dew_point_c, 2.0)


def test_what_came_from_where_and_when() -> None:
    joined = followed(ONE, TWO)
    assert joined.hour_origins() == (
        Origin("one", 99.5, 100, 147),
        Origin("two", 95.0, 148, 215),
    )
    assert joined.hour_issues_h().tolist() == [99.5] * 48 + [95.0] * 68
    assert joined.source == "one; then two"
    assert joined.issued_h == 99.5
    assert joined.credits == ("thanks to one", "thanks to two")
    assert joined.flags == ("two: coarse",)
    assert joined.zone == "America/Chicago"


def test_a_second_that_adds_nothing_is_not_named() -> None:
    assert followed(TWO, ONE) is TWO


def test_a_second_completes_what_the_first_is_silent_about() -> None:
    silent = forecast("one", 100, 130, 5.0, 99.5, bare=True)
    joined = followed(silent, TWO)
    weather = joined.weather
    np.testing.assert_allclose((weather.air_c - weather.dew_point_c)[:116], 2.0)
    assert np.isfinite(weather.wind_ms[:116]).all()
    assert np.isnan(weather.wind_ms[116:]).all()
    np.testing.assert_array_equal(weather.air_c, silent.weather.air_c)
    assert joined.credits == ("thanks to two",)
    assert joined.source == "one"


@pytest.mark.parametrize("gap", [0, 1, 2, 3])
def test_a_short_gap_is_filled_in_and_told(gap: int) -> None:
    later = forecast("two", 148 + gap, 60, 5.0, 140.0)
    joined = followed(ONE, later)
    assert joined.weather.end_h == 207 + gap
    assert np.isfinite(joined.weather.air_c).all()
    assert np.abs(np.diff(joined.weather.air_c)).max() < 2.0
    assert bool(joined.flags) == (gap > 0)
    if gap == 3:
        assert joined.flags == ("filled in from 1970-01-07 04:00 to 1970-01-07 06:00 UTC",)


def test_a_long_gap_is_refused_with_its_hours() -> None:
    joined = followed(ONE, forecast("two", 152, 60, 5.0, 140.0))
    assert joined.weather is ONE.weather
    assert joined.flags == (
        "nothing is known from 1970-01-07 04:00 to 1970-01-07 07:00 UTC: two is left out",
    )


def test_measured_hours_come_first_and_the_forecast_meets_them() -> None:
    seen = run(60, 43, 2.0, span=OBSERVED, bare=True)
    joined = preceded(ONE, seen, "KABC")
    weather = joined.weather
    assert (weather.start_h, weather.end_h) == (60, 147)
    np.testing.assert_array_equal(weather.air_c[:43], seen.air_c)
    assert weather.span.tolist() == [OBSERVED] * 43 + [FORECAST] * 45
    assert np.abs(np.diff(weather.air_c)).max() < 1.1 + 3.0 / 6.0
    assert abs(weather.air_c[-1] - ONE.weather.air_c[-1]) < 0.01
    assert joined.hour_origins() == (
        Origin("KABC", 102.0, 60, 102),
        Origin("one", 99.5, 103, 147),
    )
    np.testing.assert_allclose((weather.air_c - weather.dew_point_c)[43:], 2.0)


def test_observations_that_end_long_before_are_left_out() -> None:
    assert preceded(ONE, run(60, 36, 2.0), "KABC") is ONE
    assert preceded(ONE, None, "") is ONE
    assert preceded(ONE, run(60, 37, 2.0), "KABC").flags == (
        "filled in from 1970-01-05 01:00 to 1970-01-05 03:00 UTC",
    )


def test_three_in_a_row_keep_their_origins() -> None:
    joined = preceded(followed(ONE, TWO), run(90, 15, 2.0, span=OBSERVED), "KABC")
    assert [o.source for o in joined.hour_origins()] == ["KABC", "one", "two"]
    assert joined.hour_issues_h().tolist() == [104.0] * 15 + [99.5] * 43 + [95.0] * 68


def test_height_moves_air_and_dew_point_alike() -> None:
    grid = replace(ONE, elevation_m=500.0)
    moved = at_height(grid, 300.0)
    np.testing.assert_allclose(moved.weather.air_c - grid.weather.air_c, 1.3)
    np.testing.assert_allclose(moved.weather.dew_point_c - grid.weather.dew_point_c, 1.3)
    assert moved.flags == (
        "air corrected by +1.3 K: the site lies 200 m below the forecast's ground",
    )
    assert at_height(ONE, 300.0) is ONE
    assert at_height(moved, 300.0) is moved


@given(
    st.lists(st.booleans(), min_size=3, max_size=60),
    st.floats(-10, 10),
)
def test_easing_never_goes_beyond_what_was_measured(known: list[bool], off: float) -> None:
    mask = np.array(known)
    eased = eased_k(np.arange(len(mask), dtype=float), mask, np.where(mask, off, np.nan))
    assert np.isfinite(eased).all()
    assert np.abs(eased).max() <= abs(off) + 1e-12
    if mask.any():
        np.testing.assert_array_equal(eased[mask], off)
