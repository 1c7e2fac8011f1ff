"""The forecast service at its worst: a real server that fails in every way that is known."""

from __future__ import annotations

import json
import time

import numpy as np
import pytest

from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.sources.forecast_file import read_forecast
from curecast.sources.freshness import check_fresh
from curecast.sources.http import PATIENCE, Caller, Patience
from curecast.sources.instants import parse_instant_h
from curecast.sources.merge import MERGED_SOURCE
from curecast.sources.nws import get_nws
from curecast.sources.nws_payload import GRID_SOURCE, HOURLY_SOURCE
from tests.fixtures.nws_server import CELL, WEATHER, Reply, StandIn, page, problem

HOURLY, GRID = f"{CELL}/forecast/hourly", CELL
NOW_H = parse_instant_h("2027-04-05T10:30:00+00:00")
QUICK = Patience(connect_s=1.0, read_s=0.4, total_s=4.0, tries=3, backoff_s=0.01)


def fetch(server: StandIn, now_h: float = NOW_H, patience: Patience = QUICK):
    return get_nws(
        45.2, -92.1, "crew@example.org", now_h=now_h, base_url=server.url, patience=patience
    )


def test_hourly_and_grid_become_one_forecast(nws_server: StandIn) -> None:
    forecast = fetch(nws_server)
    hourly = read_forecast(WEATHER / "hourly.json")
    grid = read_forecast(WEATHER / "grid.json")
    assert forecast.source == MERGED_SOURCE
    assert forecast.zone == "America/Chicago"
    assert forecast.elevation_m == 271.0
    assert forecast.flags == ()
    assert forecast.fetched_h == NOW_H
    assert forecast.issued_h == hourly.issued_h
    assert forecast.weather.start_h == 501922 == hourly.weather.start_h
    assert forecast.weather.end_h == grid.weather.end_h > hourly.weather.end_h
    np.testing.assert_array_equal(forecast.weather.air_c[:156], hourly.weather.air_c)
    np.testing.assert_array_equal(forecast.weather.air_c[156:], grid.weather.air_c[162:])
    np.testing.assert_array_equal(forecast.weather.cloud, grid.weather.cloud[6:])


def test_the_service_learns_who_calls_and_what_is_wanted(nws_server: StandIn) -> None:
    get_nws(45.123456, -92.10, "Ann\r\nX: y ☂", now_h=NOW_H, base_url=nws_server.url)
    assert nws_server.asked[0][0] == "/points/45.1235,-92.1"
    for _, headers in nws_server.asked:
        assert headers["User-Agent"] == "curecast/0.1.0 (Ann X: y)"
        assert headers["Accept"] == "application/geo+json"
    assert len(nws_server.asked) == 3


def test_hours_that_are_over_are_dropped(nws_server: StandIn) -> None:
    later_h = NOW_H + 5
    forecast = fetch(nws_server, later_h)
    assert forecast.weather.start_h == np.floor(later_h)


def test_two_failures_then_an_answer(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, problem("UnexpectedProblem", 500), page(502))
    assert fetch(nws_server).source == MERGED_SOURCE
    assert nws_server.count(HOURLY) == 3


def test_an_expired_grid_is_not_asked_for_again_and_again(nws_server: StandIn) -> None:
    nws_server.next(GRID, *[problem("ForecastGridExpired", 503)] * 9)
    forecast = fetch(nws_server)
    assert nws_server.count(GRID) == 1
    assert forecast.source == HOURLY_SOURCE
    assert len(forecast.flags) == 1
    assert "without the grid forecast" in forecast.flags[0]
    assert "c0ffee" in forecast.flags[0]


def test_both_expired_is_said_in_one_sentence(nws_server: StandIn) -> None:
    for path in (HOURLY, GRID):
        nws_server.next(path, problem("ForecastGridExpired", 503))
    with pytest.raises(WeatherUnavailable, match="takes hours") as caught:
        fetch(nws_server)
    assert "\n" not in caught.value.message
    assert caught.value.message.count("takes hours") == 1


def test_a_block_is_not_hammered(nws_server: StandIn) -> None:
    nws_server.next("/points", *[page(403)] * 9)
    with pytest.raises(WeatherUnavailable, match="403") as caught:
        fetch(nws_server)
    assert len(nws_server.asked) == 1
    assert "contact" in caught.value.hint


def test_open_water_still_has_a_grid(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, *[problem("MarineForecastNotSupported", 404)] * 2)
    forecast = fetch(nws_server)
    assert forecast.source == GRID_SOURCE
    assert "open water" in forecast.flags[0]
    assert forecast.weather.start_h == np.floor(NOW_H)


def test_a_cell_that_moved_is_looked_up_once_more(nws_server: StandIn) -> None:
    moved = "/gridpoints/XCC/8,9"
    nws_server.serve("hourly", WEATHER / "hourly.json", moved)
    nws_server.serve("grid", WEATHER / "grid.json", moved)
    old = Reply(nws_server.files["/points"])
    nws_server.point(moved)
    nws_server.next("/points", old)
    del nws_server.files[HOURLY]
    assert fetch(nws_server).source == MERGED_SOURCE
    again = [headers for path, headers in nws_server.asked if path.startswith("/points/")]
    assert len(again) == 2
    assert again[1]["Cache-Control"] == "no-cache"


def test_a_cell_that_is_gone_for_good_is_not_looked_up_for_ever(nws_server: StandIn) -> None:
    del nws_server.files[HOURLY], nws_server.files[GRID]
    with pytest.raises(WeatherUnavailable, match="404"):
        fetch(nws_server)
    assert len(nws_server.asked) == 4


def test_outside_the_country(nws_server: StandIn) -> None:
    nws_server.next("/points", problem("InvalidPoint", 404))
    with pytest.raises(WeatherUnavailable, match="outside the USA"):
        fetch(nws_server)


def test_a_body_that_is_cut_off_is_asked_for_again(nws_server: StandIn) -> None:
    whole = nws_server.files[HOURLY]
    nws_server.next(HOURLY, Reply(whole, cut=True), Reply(whole[: len(whole) // 2]))
    assert fetch(nws_server).source == MERGED_SOURCE
    assert nws_server.count(HOURLY) == 3


def test_a_body_that_is_always_cut_off(nws_server: StandIn) -> None:
    whole = nws_server.files[HOURLY]
    nws_server.next(HOURLY, *[Reply(whole, cut=True)] * 9)
    nws_server.next(GRID, *[Reply(whole[: len(whole) // 2])] * 9)
    with pytest.raises(WeatherUnavailable, match="broke off"):
        fetch(nws_server)


def test_a_slow_answer_is_given_up_and_the_other_used(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, *[Reply(delay_s=30.0)] * 9)
    began = time.monotonic()
    forecast = fetch(nws_server)
    assert time.monotonic() - began < QUICK.total_s
    assert forecast.source == GRID_SOURCE
    assert nws_server.count(HOURLY) == QUICK.tries


@pytest.mark.parametrize("path", ["/points", HOURLY])
def test_an_answer_that_drips_ends_at_the_deadline(nws_server: StandIn, path: str) -> None:
    nws_server.next(path, *[Reply(b'{"a": ' + b" " * 5000, drip_s=0.05)] * 9)
    patience = Patience(connect_s=1.0, read_s=0.5, total_s=1.5, tries=3, backoff_s=0.01)
    began = time.monotonic()
    if path == "/points":
        with pytest.raises(WeatherUnavailable, match="too long"):
            fetch(nws_server, patience=patience)
    else:
        assert fetch(nws_server, patience=patience).source == GRID_SOURCE
    assert time.monotonic() - began < 2.5


def test_the_whole_walk_ends_before_45_seconds() -> None:
    assert PATIENCE.total_s < 45
    assert PATIENCE.connect_s == 5
    assert PATIENCE.read_s == 20


def test_a_redirect_is_followed_on_the_same_server(nws_server: StandIn) -> None:
    nws_server.next(
        "/points", Reply(status=301, headers={"Location": "https://api.weather.gov/points/45,-92"})
    )
    assert fetch(nws_server).source == MERGED_SOURCE
    assert nws_server.asked[1][0] == "/points/45,-92"


def test_redirects_in_circles_end(nws_server: StandIn) -> None:
    nws_server.next("/points", *[Reply(status=302, headers={"Location": "/points/1,1"})] * 20)
    with pytest.raises(WeatherUnavailable, match="circles"):
        fetch(nws_server)
    assert len(nws_server.asked) == 6


def test_a_packed_answer(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, Reply(nws_server.files[HOURLY], zipped=True))
    assert fetch(nws_server).source == MERGED_SOURCE


def test_a_bomb_in_a_packed_answer(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, Reply(b" " * 30_000_000, zipped=True))
    forecast = fetch(nws_server, patience=Patience(read_s=5.0, total_s=20.0))
    assert forecast.source == GRID_SOURCE
    assert "larger than 5 MB" in forecast.flags[0]


def test_no_periods_at_all(nws_server: StandIn) -> None:
    nws_server.answer(HOURLY, {"properties": {"periods": []}})
    forecast = fetch(nws_server)
    assert forecast.source == GRID_SOURCE
    assert "empty" in forecast.flags[0]


def test_a_wrong_content_type_is_no_matter(nws_server: StandIn) -> None:
    nws_server.next(HOURLY, Reply(nws_server.files[HOURLY], kind="text/plain"))
    assert fetch(nws_server).source == MERGED_SOURCE


def test_a_page_in_place_of_data(nws_server: StandIn) -> None:
    nws_server.next("/points", page(200))
    with pytest.raises(WeatherUnavailable, match="web page"):
        fetch(nws_server)


def test_a_wait_that_is_asked_for_is_kept(nws_server: StandIn) -> None:
    nws_server.next("/points", problem("TooMany", 429, Retry_After="1"))
    began = time.monotonic()
    assert fetch(nws_server).source == MERGED_SOURCE
    assert time.monotonic() - began >= 1.0


def test_a_wait_beyond_the_deadline_is_not_waited(nws_server: StandIn) -> None:
    nws_server.next("/points", problem("TooMany", 429, Retry_After="3600"))
    began = time.monotonic()
    with pytest.raises(WeatherUnavailable, match="asked too often"):
        fetch(nws_server)
    assert time.monotonic() - began < 1.0


def test_days_old_from_a_cache_is_asked_for_in_the_other_form(nws_server: StandIn) -> None:
    """Here 30 h after the issue; the other media type holds the newer answer, flattened."""
    newer = json.loads(nws_server.files[HOURLY])["properties"]
    newer["updateTime"] = "2027-04-06T15:00:00+00:00"
    old = Reply(nws_server.files[HOURLY])
    nws_server.next(HOURLY, old, Reply(json.dumps(newer).encode()))
    forecast = fetch(nws_server, NOW_H + 30)
    accepts = [headers["Accept"] for path, headers in nws_server.asked if path == HOURLY]
    assert accepts == ["application/geo+json", "application/ld+json"]
    assert forecast.source == HOURLY_SOURCE
    assert forecast.issued_h == parse_instant_h("2027-04-06T15:00:00Z")
    assert forecast.flags[0] == "without the grid forecast: it is more than a day old"


def test_an_old_hourly_forecast_does_not_hide_a_fresh_grid(nws_server: StandIn) -> None:
    grid = json.loads(nws_server.files[GRID])
    grid["properties"]["updateTime"] = "2027-04-06T15:00:00+00:00"
    nws_server.answer(GRID, grid)
    forecast = fetch(nws_server, NOW_H + 30)
    assert forecast.source == GRID_SOURCE
    assert "hourly forecast: it is more than a day old" in forecast.flags[0]


def test_both_old_is_left_to_the_caller(nws_server: StandIn) -> None:
    forecast = fetch(nws_server, NOW_H + 30)
    assert forecast.source == MERGED_SOURCE
    assert check_fresh(forecast, NOW_H + 30)[0]


def test_a_forecast_that_begins_late_says_so(nws_server: StandIn) -> None:
    forecast = fetch(nws_server, NOW_H - 6)
    assert "begins only at 2027-04-05 10:00 UTC" in forecast.flags[0]


def test_a_forecast_that_is_over(nws_server: StandIn) -> None:
    with pytest.raises(WeatherUnusable, match="in the past"):
        fetch(nws_server, NOW_H + 24 * 30)


def test_a_short_reach_is_told(nws_server: StandIn) -> None:
    forecast = fetch(nws_server, NOW_H + 80)
    assert any("reaches only" in flag for flag in forecast.flags)


@pytest.mark.parametrize(
    "base_url", ["", "api.weather.gov", "ftp://127.0.0.1", "http://", "http://127.0.0.1:0",
                 "http://[1", "http://127.0.0.1:99999"],
)  # fmt: skip
def test_an_address_that_is_none(base_url: str) -> None:
    with pytest.raises(WeatherUnavailable, match="no web address"):
        get_nws(45.0, -92.0, None, now_h=NOW_H, base_url=base_url)


def test_nobody_at_the_address() -> None:
    with pytest.raises(WeatherUnavailable, match="cannot be reached"):
        get_nws(45.0, -92.0, None, now_h=NOW_H, base_url="http://127.0.0.1:9", patience=QUICK)


@pytest.mark.parametrize("value", [None, [], 3, "x", {"properties": None}, {"properties": {}},
                                   {"properties": {"forecastHourly": "http://[1"}}])  # fmt: skip
def test_a_point_that_says_nothing_of_use(nws_server: StandIn, value: object) -> None:
    nws_server.answer("/points", value)
    with pytest.raises((WeatherUnavailable, WeatherUnusable)):
        fetch(nws_server)


def test_a_base_address_with_a_path(nws_server: StandIn) -> None:
    nws_server.answer("/nws/anything", {"a": 1})
    with Caller(nws_server.url + "/nws/", None, QUICK) as caller:
        assert caller.get_json("https://api.weather.gov/anything") == {"a": 1}
