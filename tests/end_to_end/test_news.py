"""Each kind of news from a slab's own course: weather, readings and deeds in, a post out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from curecast.clock import unix_h
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnavailable
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.store.placements import choose_start, record_pour
from curecast.store.readings import add_reading
from curecast.store.record import add_event
from curecast.store.rows import Placement
from curecast.store.schema import open_store
from curecast.watch import watch_once
from tests.end_to_end.test_watch_once import HOUR, START, TEXT, Sky, read_twice_a_day
from tests.faults.sinks import WebSink, running

OPEN = TEXT.replace('exposure = "roofed"', 'exposure = "open"')
PARTS = ("Basis: ", "Margin: ", "Last reading: ", "Who decides: ")


class WetSky(Sky):
    """Rain may fall in every hour."""

    def __call__(self, job: Job, now: datetime) -> Forecast | None:
        made = super().__call__(job, now)
        assert made is not None
        w = made.weather
        wet = HourlyWeather(w.start_h, w.air_c, w.dew_point_c, w.wind_ms, w.cloud, w.rain_mm + 1.0,
                            np.full(len(w), 0.6), w.span)  # fmt: skip
        return Forecast(made.source, made.issued_h, made.fetched_h, wet)


class Thaw(Sky):
    """Hard frost until an instant, mild air after it."""

    def __init__(self, until: datetime) -> None:
        super().__init__(-9.0)
        self.until = until

    def __call__(self, job: Job, now: datetime) -> Forecast | None:
        made = super().__call__(job, now)
        assert made is not None
        w = made.weather
        mild = w.start_h + np.arange(len(w)) >= unix_h(self.until)
        w.air_c[mild], w.dew_point_c[mild] = 15.0, 12.0
        return made


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(home=tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def sink() -> Iterator[WebSink]:
    with running(WebSink()) as server:
        yield server


def pour(store: Store, to: str, text: str = TEXT) -> Placement:
    job = parse_job(text.format(name="crane-base", place="44.1, -69.1", to=to))
    version = save_job(store, job.name, job.text, job.hash, START)
    return record_pour(store, version.job, START, version, START, temperature_c=16.0)


def said(sink: WebSink, kind: str) -> tuple[str, str]:
    """The one message of a kind; every message carries what each must."""
    for post in sink.got:
        lines = post["body"].split("\n")
        for part in PARTS:
            assert sum(line.startswith(part) for line in lines) == 1, (post["title"], part)
        assert any("curecast " in line for line in lines)
    (post,) = [p for p in sink.got if p["kind"] == kind]
    return post["title"], post["body"]


def test_rain_before_final_set(store: Store, sink: WebSink) -> None:
    pour(store, sink.url, OPEN)
    watch_once(store, START + HOUR, get_weather=WetSky(12.0))
    title, body = said(sink, "rain")
    assert title == "crane-base: sheet over it now, edges lapped 12 in: rain before it sets"
    assert body.startswith("60 % chance of rain at crane-base before it has set; from Tue 4 May")


def test_a_reading_below_the_rule(store: Store, sink: WebSink) -> None:
    placement = pour(store, sink.url)
    add_reading(store, placement, "surface", None, 7.0, START + 20 * HOUR, "Ida")
    watch_once(store, START + 21 * HOUR, get_weather=Sky(6.0, night_c=1.0))
    title, body = said(sink, "failing")
    assert title == "crane-base: 45 °F at the surface: add cover, edges lapped 12 in"
    assert "Last reading: 45 °F at the surface, Wed 5 May 05:00 EDT." in body


def test_a_blanket_that_may_come_off_and_how_slowly(store: Store, sink: WebSink) -> None:
    placement = pour(store, sink.url)
    add_event(store, placement, "cover", START + 6 * HOUR, {"layers": 1.0})
    read_twice_a_day(store, placement, 8)
    watch_once(store, START + timedelta(days=8), get_weather=Sky(5.0))
    title, body = said(sink, "uncover")
    assert title == "crane-base: the blanket may come off, slowly"
    assert "ift an edge" in body
    assert "cool it by no more than" in body


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_forecast_that_is_lost_for_so_long_that_doubt_grew(store: Store, sink: WebSink) -> None:
    pour(store, sink.url)
    sky = Sky(15.0)
    watch_once(store, START + 2 * HOUR, get_weather=sky)
    sky.fault = WeatherUnavailable("the service is down")
    watch_once(store, START + 20 * HOUR, get_weather=sky)
    assert [p for p in sink.got if p["kind"] == "weather-lost"] == []
    watch_once(store, START + 30 * HOUR, get_weather=sky)
    watch_once(store, START + 40 * HOUR, get_weather=sky)
    title, body = said(sink, "weather-lost")
    assert title == "crane-base: no new forecast for 1.2 days"
    assert "Dates are less sure: " in body


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_strength_test_that_would_tell(store: Store, sink: WebSink) -> None:
    text = TEXT.replace("[crew]", '[equipment]\nstrength = "24 MPa"\n[crew]')
    placement, sky = pour(store, sink.url, text), Sky(12.0)
    read_twice_a_day(store, placement, 60)
    for day in range(6, 61, 6):  # a forecast kept every six days, as its reach is
        watch_once(store, START + timedelta(days=day), get_weather=sky)
    title, body = said(sink, "test-due")
    assert title == "crane-base: a strength test is due"
    assert "To answer: curecast test crane-base --strength VALUE --by NAME" in body


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_better_day_than_the_chosen_one(store: Store, sink: WebSink) -> None:
    text = TEXT.replace('days = "tue"', 'days = "mon-sun"')
    job = parse_job(text.format(name="crane-base", place="44.1, -69.1", to=sink.url))
    at = START - 40 * HOUR
    version = save_job(store, job.name, job.text, job.hash, at)
    choose_start(store, version.job, START, version, at)
    watch_once(store, at, get_weather=Sky(15.0))
    assert sink.got == []
    watch_once(store, at + 6 * HOUR, get_weather=Thaw(START + 30 * HOUR))
    title, body = said(sink, "day-better")
    assert title.startswith("crane-base: a better day, ")
    assert 'To take it: curecast choose crane-base --start "2027-05-' in body
    assert said(sink, "day-worse")[0] == "crane-base: do not pour Tue 4 May 09:00 EDT"


def test_on_waking_the_gap_and_the_age_are_said(store: Store, sink: WebSink) -> None:
    from curecast.store.watching import sign_of_life

    placement, sky = pour(store, sink.url), Sky(15.0)
    read_twice_a_day(store, placement, 8)
    slept, woke = START + 30 * HOUR, START + timedelta(days=8)
    sign_of_life(store, "laptop", "me", slept)
    watch_once(store, slept, get_weather=sky)
    sink.got.clear()
    sign_of_life(store, "laptop", "me", woke)
    watch_once(store, woke, get_weather=sky)
    released = [p for p in sink.got if p["kind"] == "released"]
    assert released
    gap = "Not watched from Wed 5 May 15:00 EDT to Wed 12 May 09:00 EDT: this was found after it."
    assert all(gap in p["body"] for p in sink.got)
    sink.got.clear()
    add_reading(store, placement, "surface", None, 7.0, woke + HOUR, "Ida")
    sign_of_life(store, "laptop", "me", woke + HOUR)
    watch_once(store, woke + HOUR, get_weather=sky)
    assert not any("Not watched" in p["body"] for p in sink.got)
