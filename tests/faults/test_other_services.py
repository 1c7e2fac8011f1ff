"""MET Norway and Open-Meteo over real sockets: how they are asked, and what their faults give."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from curecast.errors import WeatherError, WeatherUnavailable, WeatherUnusable
from curecast.sources.fetched import Fetched, Remembered
from curecast.sources.instants import parse_instant_h
from curecast.sources.met_norway import get_met_norway
from curecast.sources.open_meteo import FREE_NOTE, get_open_meteo
from curecast.sources.patience import Patience
from tests.fixtures.nws_server import Reply, StandIn, page, problem
from tests.fixtures.other_weather import met_norway, open_meteo

NOW_H = parse_instant_h("2027-04-05T10:30:00Z")
FIRST = int(NOW_H)
QUICK = Patience(connect_s=1.0, read_s=0.4, total_s=3.0, tries=3, backoff_s=0.01)
METNO, METEO = "/metno/complete", "/v1/forecast"


@pytest.fixture
def server(nws_server: StandIn) -> StandIn:
    nws_server.answer(METNO, met_norway(FIRST, complete=True))
    nws_server.answer(METEO, open_meteo(FIRST - 10))
    return nws_server


def norway(server: StandIn, **more: Any) -> Fetched:
    more = {"contact": "crew@example.org", "now_h": NOW_H, "patience": QUICK} | more
    return get_met_norway(45.234567, -92.1, base_url=server.url + "/metno", **more)


def meteo(server: StandIn, **more: Any) -> Fetched:
    return get_open_meteo(
        45.2, -92.1, None, now_h=NOW_H, base_url=server.url, patience=QUICK, **more
    )


def test_met_norway_is_asked_by_its_terms(server: StandIn) -> None:
    fetched = norway(server, elevation_m=310.4)
    path, headers = server.asked[-1]
    assert path == "/metno/complete?lat=45.2346&lon=-92.1&altitude=310"
    assert headers["User-Agent"] == "curecast/0.1.0 (crew@example.org)"
    assert "If-Modified-Since" not in headers
    assert fetched.forecast is not None
    assert fetched.forecast.fetched_h == NOW_H
    assert fetched.forecast.weather.start_h == FIRST


def test_without_a_contact_it_is_not_asked(server: StandIn) -> None:
    with pytest.raises(WeatherUnavailable, match="who asks") as caught:
        norway(server, contact=None)
    assert "contact" in caught.value.hint
    assert server.asked == []


def test_expires_and_last_modified_are_remembered_and_given_back(server: StandIn) -> None:
    said = "Mon, 05 Apr 2027 10:02:03 GMT"
    body = json.dumps(met_norway(FIRST)).encode()
    stamps = {"Expires": "Mon, 05 Apr 2027 11:00:00 GMT", "Last-Modified": said}
    server.next(METNO, Reply(body, headers=stamps), Reply(status=304, headers=stamps))
    first = norway(server)
    assert first.remembered == Remembered(parse_instant_h("2027-04-05T11:00:00Z"), said)
    again = norway(server, before=first.remembered)
    assert again == Fetched(None, first.remembered)
    assert server.asked[-1][1]["If-Modified-Since"] == said


@pytest.mark.parametrize(
    "stamp", ["", "yesterday", "Mon, 05 Apr 2027 09:00:00 GMT", "Mon, 99 Apr 2027 09:00:00 GMT"]
)
def test_an_expiry_that_is_no_use_keeps_nobody_away(server: StandIn, stamp: str) -> None:
    body = json.dumps(met_norway(FIRST)).encode()
    server.next(METNO, Reply(body, headers={"Expires": stamp}))
    assert norway(server).remembered.not_before_h is None


def test_an_expiry_in_the_far_future_keeps_nobody_away_for_long(server: StandIn) -> None:
    body = json.dumps(met_norway(FIRST)).encode()
    server.next(METNO, Reply(body, headers={"Expires": "Mon, 05 Apr 2099 09:00:00 GMT"}))
    assert norway(server).remembered.not_before_h == NOW_H + 6


def test_nothing_has_changed_though_nobody_asked(server: StandIn) -> None:
    server.next(METNO, Reply(status=304))
    with pytest.raises(WeatherUnavailable, match="304"):
        norway(server)


def test_a_form_that_will_end_is_told(server: StandIn) -> None:
    server.next(METNO, Reply(json.dumps(met_norway(FIRST)).encode(), status=203))
    forecast = norway(server).forecast
    assert forecast is not None
    assert any("will end" in flag for flag in forecast.flags)


def test_open_meteo_is_asked_in_utc_and_says_who_may_use_it(server: StandIn) -> None:
    forecast = meteo(server).forecast
    assert forecast is not None
    asked = server.asked[-1][0]
    for part in ("timezone=GMT", "timeformat=unixtime", "wind_speed_unit=ms", "forecast_days=16"):
        assert part in asked
    assert "apikey" not in asked
    assert FREE_NOTE in forecast.flags
    assert forecast.weather.start_h == FIRST
    assert forecast.issued_h == NOW_H - 6


def test_a_customers_key_is_sent_and_never_told(server: StandIn) -> None:
    forecast = meteo(server, key="s3cret").forecast
    assert "apikey=s3cret" in server.asked[-1][0]
    assert forecast is not None
    assert FREE_NOTE not in forecast.flags
    server.next(METEO, Reply(b'{"error":true,"reason":"key?"}', 400), *[Reply(delay_s=9)] * 3)
    for _ in range(2):
        with pytest.raises(WeatherError) as caught:
            meteo(server, key="s3cret")
        assert "s3cret" not in caught.value.message + caught.value.hint
        assert caught.value.__cause__ is None


def test_the_reason_of_a_refusal_is_told_on_one_line(server: StandIn) -> None:
    reason = b'{"error":true,"reason":"no\\n such\\u001b[2J thing"}'
    server.next(METEO, Reply(reason, 400, kind="application/json"))
    with pytest.raises(WeatherUnavailable, match=r"error 400: no such\[2J thing$"):
        meteo(server)


@pytest.mark.parametrize(
    ("reason", "asked"),
    [
        ("Daily API request limit exceeded. Please try again tomorrow.", 1),
        ("Hourly API request limit exceeded. Please try again in the next hour.", 1),
        ("Minutely API request limit exceeded. Please try again in one minute.", 2),
    ],
)
def test_a_limit_that_lasts_is_not_tried_again(server: StandIn, reason: str, asked: int) -> None:
    server.next(METEO, Reply(json.dumps({"error": True, "reason": reason}).encode(), 429))
    if asked == 1:
        with pytest.raises(WeatherUnavailable, match="429"):
            meteo(server)
    else:
        assert meteo(server).forecast is not None
    assert server.count(METEO) == asked


FAULTS: dict[str, Callable[[bytes], list[Reply]]] = {
    "blocked": lambda body: [page(403)],
    "gone": lambda body: [problem("NotFound", 404)],
    "outside its area": lambda body: [Reply(b"", 422)],
    "down": lambda body: [page(503)] * 3,
    "slow": lambda body: [Reply(body, delay_s=9)] * 3,
    "cut": lambda body: [Reply(body, cut=True)] * 3,
    "a page": lambda body: [page(200)],
    "empty": lambda body: [Reply(b"")] * 3,
    "no text": lambda body: [Reply(b'{"a": "\xff"}')],
    "deep": lambda body: [Reply(b'{"a":' * 100_000)],
    "a list": lambda body: [Reply(b"[1]")],
    "an empty object": lambda body: [Reply(b"{}")],
    "huge": lambda body: [Reply(b" " * 6_000_000, zipped=True)],
}


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize(("get", "path"), [(norway, METNO), (meteo, METEO)])
def test_every_fault_is_one_sentence(
    server: StandIn, get: Callable[[StandIn], Fetched], path: str, fault: str
) -> None:
    server.next(path, *FAULTS[fault](server.files[path]))
    with pytest.raises((WeatherUnavailable, WeatherUnusable)) as caught:
        get(server)
    assert "\n" not in caught.value.message
    assert 10 < len(caught.value.message) < 300
    assert get(server).forecast is not None, "the next asking is served"
