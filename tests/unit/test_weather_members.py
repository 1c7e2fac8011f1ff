"""Members: seeded, exact without error, and as wide as they say."""

from __future__ import annotations

import os
import time
from dataclasses import replace

import numpy as np
import pytest

from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.heat.forcing import Exposure, MemberForcing
from curecast.core.weather.climate import extended
from curecast.core.weather.doubt import CLIMATE_SD_C, air_error_c, forecast_sigma_c, season_of
from curecast.core.weather.ensemble import Members, members, site_air_c
from curecast.core.weather.series import SPANS, HourlyWeather

MARCH_H = 501_384  # 14 March 2027, 00:00 UTC: the night North America's clocks change
HOURS = 120


def weather(start_h: int = MARCH_H, hours: int = HOURS, span: str = "forecast") -> HourlyWeather:
    t = np.arange(hours)
    air = 6.0 + 5.0 * np.cos(2 * np.pi * (t - 20) / 24) + 0.02 * t
    return HourlyWeather(
        start_h, air, air - 3.0, 2.0 + 1.0 * np.cos(t), np.clip(0.5 + 0.4 * np.sin(t / 9), 0, 1),
        np.zeros(hours), np.zeros(hours), np.full(hours, SPANS.index(span), dtype=np.int8),
    )  # fmt: skip


def leads(hours: int) -> np.ndarray:
    return np.arange(hours) / 24.0 + 0.5


def drawn(count: int = 50, seed: int = 5, **more: int) -> Members:
    w = weather(**more)
    return members(w, leads(len(w)), count=count, seed=seed, latitude=44.0)


def test_the_first_member_is_the_forecast() -> None:
    w, m = weather(), drawn()
    assert np.array_equal(m.air_c[:, 0], w.air_c)
    assert np.array_equal(m.dew_point_c[:, 0], w.dew_point_c)
    assert np.array_equal(m.wind_ms[:, 0], w.wind_ms)
    assert np.array_equal(m.cloud[:, 0], w.cloud)
    assert m.end_h == w.end_h


def test_no_members_means_the_forecast_alone() -> None:
    assert drawn(count=0).air_c.shape == (HOURS, 1)


def test_same_seed_same_members_other_seed_others() -> None:
    a, b, c = drawn(seed=5), drawn(seed=5), drawn(seed=6)
    for name in ("air_c", "dew_point_c", "wind_ms", "cloud"):
        assert np.array_equal(getattr(a, name), getattr(b, name))
        assert not np.array_equal(getattr(a, name), getattr(c, name))


def test_a_longer_look_ahead_changes_no_hour_before() -> None:
    short, long = drawn(), drawn(hours=HOURS + 72)
    assert np.array_equal(short.air_c, long.air_c[:HOURS])
    assert np.array_equal(short.wind_ms, long.wind_ms[:HOURS])


def test_members_are_as_wide_as_the_doubt() -> None:
    w = weather(hours=240)
    lead = leads(240)
    error = air_error_c(w, lead, 3000, 1, 44.0)
    wide = forecast_sigma_c(lead, np.zeros(240, dtype=bool))
    np.testing.assert_allclose(error.std(axis=1), wide, rtol=0.06)
    assert np.abs(error.mean(axis=1)).max() < 0.25
    # correlation from hour to hour on the first day: 0.2 cos(15°) + 0.8 x 0.857
    pairs = [np.corrcoef(error[i], error[i + 1])[0, 1] for i in range(6, 18)]
    assert np.mean(pairs) == pytest.approx(0.2 * np.cos(np.pi / 12) + 0.8 * 0.857, abs=0.02)
    # on day seven nearly half of it lasts for days
    far = np.corrcoef(error[150], error[162])[0, 1]
    w7 = 0.08 * (lead[150] - 1.0)
    alone = w7 * np.exp(-12 / 138) - 0.2 + (0.8 - w7) * 0.857**12
    assert far == pytest.approx(alone, abs=0.06)


def test_winter_is_less_sure() -> None:
    january, july = season_of([MARCH_H - 60 * 24, MARCH_H + 120 * 24], 44.0)
    assert (january, july) == (0, 2)
    south = season_of([MARCH_H - 60 * 24, MARCH_H + 120 * 24], -44.0)
    assert south.tolist() == [2, 0]
    assert forecast_sigma_c([1.0, 1.0], [False, True]).tolist() == pytest.approx([1.8, 2.34])


def test_doubt_passes_over_to_the_season_without_a_step() -> None:
    w = extended(weather(hours=168), MARCH_H + 168 + 600, 44.0)
    lead = np.concatenate([leads(168), np.full(601, leads(168)[-1])])
    wide = air_error_c(w, lead, 2000, 3, 44.0).std(axis=1)
    assert np.abs(np.diff(wide[160:])).max() < 0.35
    spring = np.hypot(CLIMATE_SD_C[1], np.hypot(1.5, 1.5))
    assert wide[-100:].mean() == pytest.approx(spring, rel=0.05)


def test_observed_hours_are_surer_than_forecast_ones() -> None:
    w = weather()
    seen = replace(w, span=np.full(HOURS, SPANS.index("observed"), dtype=np.int8))
    assert air_error_c(seen, leads(HOURS), 500, 1, 44.0).std() < 0.8


def test_humidity_is_kept_and_dew_moves_with_the_air() -> None:
    m = drawn()
    rh = saturation_kpa(m.dew_point_c) / saturation_kpa(m.air_c)
    np.testing.assert_allclose(rh, np.repeat(rh[:, :1], m.air_c.shape[1], axis=1), rtol=1e-9)
    assert np.all(m.dew_point_c <= m.air_c + 1e-9)


def test_wind_and_cloud_change_once_a_member_and_day() -> None:
    m = drawn()
    factor = m.wind_ms[:, 1:] / m.wind_ms[:, :1]
    day = (MARCH_H + np.arange(HOURS)) // 24
    for d in np.unique(day):
        assert np.ptp(factor[day == d], axis=0).max() < 1e-9
    assert np.log(factor[::24]).std() == pytest.approx(0.3, abs=0.05)
    assert m.cloud.min() >= 0.0
    assert m.cloud.max() <= 1.0
    assert np.abs(m.cloud - m.cloud[:, :1]).max() <= 0.2 + 1e-12


def test_what_the_source_keeps_silent_about_has_a_stand_in() -> None:
    none = np.full(HOURS, np.nan)
    m = members(
        replace(weather(), dew_point_c=none, wind_ms=none, cloud=none), leads(HOURS),
        count=3, seed=1, latitude=None,
    )  # fmt: skip
    rh = saturation_kpa(m.dew_point_c) / saturation_kpa(m.air_c)
    np.testing.assert_allclose(rh, 0.75, rtol=1e-9)
    assert np.all(m.wind_ms[:, 0] == 3.0)
    assert np.all(m.cloud[:, 0] == 0.5)
    assert np.isfinite(m.air_c).all()


def test_no_clock_of_this_machine_plays_a_part(monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for zone in ("UTC", "America/New_York", "Australia/Adelaide"):
        monkeypatch.setitem(os.environ, "TZ", zone)
        time.tzset()
        w = extended(weather(), MARCH_H + 500, 44.0)
        found.append(members(w, leads(len(w)), count=4, seed=9, latitude=44.0).air_c)
    monkeypatch.undo()
    time.tzset()
    assert np.array_equal(found[0], found[1])
    assert np.array_equal(found[0], found[2])


def test_site_air() -> None:
    air = weather().air_c[:, None]
    flat = site_air_c(air, 1.5, 0.0)
    assert np.ptp(flat[24:-24] - 0.02 * np.arange(HOURS)[24:-24, None]) < 0.01
    np.testing.assert_allclose(site_air_c(air, 1.5, 1.0), air + 1.5)
    half = site_air_c(air, 0.0, 0.5)
    np.testing.assert_allclose(half, 0.5 * (air + site_air_c(air, 0.0, 0.0)), atol=1e-12)
    each = site_air_c(np.repeat(air, 2, axis=1), np.array([0.0, 2.0]), np.array([1.0, 0.5]))
    np.testing.assert_allclose(each[:, :1], air, atol=1e-12)
    np.testing.assert_allclose(each[:, 1:], half + 2.0, atol=1e-12)


def test_weather_is_read_in_straight_lines_start_by_start_and_member_by_member() -> None:
    m = drawn(count=1)
    forcing = MemberForcing(m, Exposure(None, None), MARCH_H + np.array([0.0, 10.5]))
    now = forcing(2.25)
    expected = [0.75 * m.air_c[2] + 0.25 * m.air_c[3], 0.25 * m.air_c[12] + 0.75 * m.air_c[13]]
    np.testing.assert_allclose(now.air_c.reshape(2, 2), expected)
    assert np.all(now.sun_w_m2 == 0.0)  # no place, no sun
    late = forcing(1e4)
    np.testing.assert_allclose(late.air_c.reshape(2, 2), np.repeat(m.air_c[-1:], 2, axis=0))
    sunny = MemberForcing(m, Exposure(44.0, -69.0, sun=0.5), np.array([MARCH_H + 16.0]))
    full = MemberForcing(m, Exposure(44.0, -69.0), np.array([MARCH_H + 16.0]))
    np.testing.assert_allclose(sunny(0.0).sun_w_m2, 0.5 * full(0.0).sun_w_m2)
    assert full(0.0).sun_w_m2[0] > 100.0
