"""One pass of the watch, from forecast and readings to a receiver on loopback."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from http.server import ThreadingHTTPServer
from pathlib import Path

import numpy as np
import pytest

from curecast.clock import unix_h
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnavailable
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for
from curecast.store.holds import hold_changes
from curecast.store.jobs import save_job
from curecast.store.placements import choose_start, record_pour
from curecast.store.readings import add_reading, readings, take_back_reading
from curecast.store.rows import Placement
from curecast.store.schema import open_store
from curecast.watch import WatchReport, watch_once
from tests.faults import sinks
from tests.faults.sinks import WebSink, running

TEXT = """
curecast = 1
name = "{name}"
units = "us"
[site]
place = "{place}"
zone = "America/New_York"
exposure = "roofed"
[slab]
length = "8 ft"
width = "8 ft"
thickness = "8 in"
[mix]
preset = "ready-mix"
[crew]
days = "tue"
from = "9:00"
to = "19:00"
[[alert]]
to = "{to}"
"""
START = datetime(2027, 5, 4, 13, tzinfo=UTC)  # 09:00 EDT
HOUR = timedelta(hours=1)


class Sky:
    """Weather of the same kind for ever, with a forecast issued at each asking."""

    def __init__(self, air_c: float, night_c: float | None = None) -> None:
        self.air_c, self.night_c = air_c, air_c if night_c is None else night_c
        self.asked: list[str] = []
        self.fault: Exception | None = None

    def __call__(self, job: Job, now: datetime) -> Forecast | None:
        self.asked.append(job.name)
        if self.fault is not None:
            raise self.fault
        now_h = unix_h(now)
        hours = int(now_h) + np.arange(156)
        local = (hours - 4) % 24
        night = (local >= 21) | (local < 7)
        air = np.where(night, self.night_c, self.air_c).astype(float)
        steady, unknown = np.ones(156), np.full(156, np.nan)
        weather = HourlyWeather(
            int(hours[0]), air, air - 3.0, 2.0 * steady, 0.8 * steady, 0.0 * steady, unknown,
            np.ones(156, dtype=np.int8),
        )  # fmt: skip
        return Forecast("a service", now_h, now_h, weather)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(home=tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def sink() -> Iterator[WebSink]:
    with running(WebSink()) as server:
        yield server


def poured(
    store: Store, to: str, name: str = "crane-base", place: str = "44.1, -69.1"
) -> Placement:
    job = parse_job(TEXT.format(name=name, place=place, to=to))
    version = save_job(store, job.name, job.text, job.hash, START)
    return record_pour(store, version.job, START, version, START, temperature_c=16.0)


def read_twice_a_day(store: Store, placement: Placement, days: int, value_c: float = 16.0) -> None:
    for step in range(1, 2 * days + 1):
        at = START + step * 12 * HOUR - HOUR
        add_reading(store, placement, "surface", None, value_c, at, "Ida")


def told(sink: WebSink, kind: str) -> list[str]:
    return [post["hold"] for post in sink.got if post["kind"] == kind]


def test_a_release_is_sent_once_and_taken_back_first(store: Store, sink: WebSink) -> None:
    placement, sky = poured(store, sink.url), Sky(15.0)
    read_twice_a_day(store, placement, 8)
    now = START + timedelta(days=8)
    first = watch_once(store, now, get_weather=sky)
    assert first.failed == ()
    assert first.notes == ()
    released = told(sink, "released")
    assert "light-load" in released
    assert "full-torque" not in released
    assert len(released) == len(set(released))
    post = next(p for p in sink.got if p["hold"] == "light-load")
    assert post["title"] == "crane-base: light-load is released"
    assert post["job"] == "crane-base"
    assert post["repeat"] is False
    assert "Last reading: 61 °F at the surface" in post["body"]
    assert {m.key for m in first.sent} == {p["key"] for p in sink.got}

    before = len(sink.got)
    again = watch_once(store, now + HOUR, get_weather=sky)
    assert again.sent == again.queued == ()
    assert len(sink.got) == before

    for reading in readings(store, placement)[2:]:
        take_back_reading(store, placement, reading.id, "Ida", now + HOUR)
    watch_once(store, now + 2 * HOUR, get_weather=sky)
    news = sink.got[before:]
    withdrawn = [p["hold"] for p in news if p["kind"] == "withdrawn"]
    assert "light-load" in withdrawn
    assert [p["kind"] for p in news[: len(withdrawn)]] == ["withdrawn"] * len(withdrawn)
    moves = [(c.from_state, c.to_state) for c in hold_changes(store, placement, "light-load")]
    assert moves == [("not-poured", "released"), ("released", "withdrawn")]
    stop = next(p for p in news if p["hold"] == "light-load")
    assert stop["title"] == "STOP, crane-base: light-load is withdrawn"
    assert "released" not in stop["title"] + stop["body"]


class LateSink(WebSink):
    """A receiver that comes up on a port that was closed before."""

    def __init__(self, port: int) -> None:
        ThreadingHTTPServer.__init__(self, ("127.0.0.1", port), sinks._Post)
        self.got, self.bodies, self.headers, self.answers, self.on_post = [], [], [], [], None


def test_a_receiver_that_is_down_gets_each_message_once_when_it_is_up(store: Store) -> None:
    probe = WebSink()
    port, url = probe.server_address[1], probe.url
    probe.server_close()
    placement, sky = poured(store, url), Sky(15.0)
    read_twice_a_day(store, placement, 8)
    now = START + timedelta(days=8)
    down = watch_once(store, now, get_weather=sky)
    assert down.sent == ()
    assert "light-load" in [m.hold for m in down.queued]
    with running(LateSink(port)) as up:
        later = watch_once(store, now + HOUR, get_weather=sky)
        assert later.queued == ()
        assert len(up.got) == len(down.queued)
        assert {p["key"] for p in up.got} == {m.key for m in down.queued}
        assert not any(p["repeat"] for p in up.got)
        watch_once(store, now + 2 * HOUR, get_weather=sky)
        assert len(up.got) == len(down.queued)


def test_a_freeze_ahead_is_told_with_hours_of_warning(store: Store, sink: WebSink) -> None:
    poured(store, sink.url)
    sky = Sky(8.0, night_c=-4.0)
    watch_once(store, START + 3 * HOUR, get_weather=sky)
    (freeze,) = [p for p in sink.got if p["kind"] == "freeze"]
    assert ": cover it by Tue " in freeze["title"]
    assert ", edges lapped 12 in: " in freeze["title"]
    assert "What to do: cover it by Tue 4 May" in freeze["body"]
    assert "lapped 12 in over the edges and down." in freeze["body"]
    assert "Last reading: none yet." in freeze["body"]
    watch_once(store, START + 4 * HOUR, get_weather=sky)
    assert len([p for p in sink.got if p["kind"] == "freeze"]) == 1


def test_one_job_that_cannot_be_judged_stops_no_other(
    store: Store, sink: WebSink, monkeypatch: pytest.MonkeyPatch
) -> None:
    poured(store, sink.url, "no-weather", "45.0, -70.0")
    poured(store, sink.url, "at-fault", "45.0, -71.0")
    read_twice_a_day(store, poured(store, sink.url), 8)
    sky = Sky(15.0)

    def get_weather(job: Job, now: datetime) -> Forecast | None:
        if job.name == "no-weather":
            raise WeatherUnavailable("the service is down")
        if job.name == "at-fault":
            raise ZeroDivisionError("a slip")
        return sky(job, now)

    seen: list[str] = []
    now = START + timedelta(days=8)
    report: WatchReport = watch_once(store, now, get_weather=get_weather, told=seen.append)
    assert seen == ["no-weather", "at-fault", "crane-base"]
    assert report.notes == (
        "no-weather: no forecast: the service is down",
        "at-fault: a fault in curecast (ZeroDivisionError: a slip)",
    )
    assert "light-load" in told(sink, "released")


def test_weather_is_asked_once_for_each_place_and_a_kept_one_serves_for_a_day(
    store: Store, sink: WebSink
) -> None:
    poured(store, sink.url, "one"), poured(store, sink.url, "two")
    sky = Sky(15.0)
    watch_once(store, START + 2 * HOUR, get_weather=sky)
    assert sky.asked == ["one"]
    sky.fault = WeatherUnavailable("the service is down")
    report = watch_once(store, START + 12 * HOUR, get_weather=sky)
    assert sky.asked == ["one", "one"]
    said = "the service is down; the forecast kept from 10 h ago is used"
    assert report.notes == (f"one: {said}", f"two: {said}")
    report = watch_once(store, START + 30 * HOUR, get_weather=sky)
    assert report.notes[0] == "one: no forecast: the service is down"
    assert len(forecasts_for(store, "44.1000,-69.1000")) == 1


def test_a_slab_is_watched_on_when_no_forecast_comes_any_more(store: Store, sink: WebSink) -> None:
    placement, sky = poured(store, sink.url), Sky(15.0)
    read_twice_a_day(store, placement, 8)
    now = START + timedelta(days=8)
    watch_once(store, now - timedelta(days=2), get_weather=sky)
    sky.fault = WeatherUnavailable("the service is down")
    for reading in readings(store, placement):
        take_back_reading(store, placement, reading.id, "Ida", now)
    watch_once(store, now, get_weather=sky)
    assert "end-protection" in told(sink, "withdrawn")


def chosen(store: Store, to: str, start: datetime, at: datetime) -> Placement:
    job = parse_job(TEXT.format(name="crane-base", place="44.1, -69.1", to=to))
    version = save_job(store, job.name, job.text, job.hash, at)
    return choose_start(store, version.job, start, version, at)


def test_a_chosen_day_that_no_longer_works_is_told_and_then_restored(
    store: Store, sink: WebSink
) -> None:
    now = START - 40 * HOUR
    chosen(store, sink.url, START, now)
    warm, frost = Sky(14.0), Sky(-6.0)
    assert watch_once(store, now, get_weather=warm).notes == ()
    assert sink.got == []
    assert watch_once(store, now + 6 * HOUR, get_weather=frost).notes == ()
    worse = [p for p in sink.got if p["kind"] == "day-worse"]
    assert [p["title"] for p in worse] == ["crane-base: do not pour Tue 4 May 09:00 EDT"]
    assert "The chosen start no longer works: Tue 4 May 09:00 EDT was “" in worse[0]["body"]
    watch_once(store, now + 12 * HOUR, get_weather=warm)
    assert sink.got[-1]["kind"] == "day-restored"


def test_a_chosen_start_that_has_passed_is_a_note(store: Store, sink: WebSink) -> None:
    chosen(store, sink.url, START, START - 24 * HOUR)
    report = watch_once(store, START + HOUR, get_weather=Sky(14.0))
    assert report.notes == (
        "crane-base: the chosen start Tue 4 May 09:00 EDT has passed; if it is poured, say so: "
        "curecast pour crane-base --start TIME",
    )
    assert sink.got == []


def test_nobody_is_told_without_an_address(store: Store) -> None:
    job = parse_job(TEXT.split("[[alert]]")[0].format(name="crane-base", place="44.1, -69.1"))
    version = save_job(store, job.name, job.text, job.hash, START)
    placement = record_pour(store, version.job, START, version, START)
    report = watch_once(store, START + 2 * HOUR, get_weather=Sky(14.0))
    assert report == replace(report, sent=(), queued=(), failed=())
    assert report.notes == ("crane-base: no [[alert]] in the job file, so nobody is told",)
    assert hold_changes(store, placement) != ()


def test_slabs_judged_together_are_told_of_as_each_alone(
    sink: WebSink, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Six jobs at two places: the same messages and moves, weather asked once for each place."""
    from curecast.watch import ahead

    told_of: list[list[tuple[str, str]]] = []
    for together in (8, 1):
        monkeypatch.setattr(ahead, "TOGETHER", together)
        sky = Sky(3.0, night_c=-4.0)
        with open_store(home=tmp_path / str(together)) as own:
            for i in range(6):
                slab = poured(own, sink.url, f"pad-{i}", f"44.{i % 2 + 1}, -69.1")
                read_twice_a_day(own, slab, i % 3, 6.0)
            report = watch_once(own, START + 30 * HOUR, get_weather=sky)
            assert not report.notes
            assert len(sky.asked) == 2
            told_of.append(sorted((m.job, m.title) for m in report.sent))
    assert told_of[0] == told_of[1] != []
