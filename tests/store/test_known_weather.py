"""What was known of the weather at each time: the first source, the second after it, no mixture."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from curecast.clock import unix_h
from curecast.core.weather.series import SPANS, Forecast, HourlyWeather
from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.job.layout import SOURCES
from curecast.job.reader import parse_job
from curecast.outlook.memory import Memory
from curecast.outlook.services import in_us, services_for
from curecast.outlook.trust import check_trust
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for
from curecast.tracking import composed, keep_forecast, kept_forecasts, known_forecasts, place_of

NWS, MET = "National Weather Service, hourly forecast", "MET Norway, Locationforecast"
JOB = parse_job(
    'curecast = 1\nname = "a"\nunits = "si"\n[site]\nplace = "44.10, -69.11"\n'
    'elevation = "300 m"\nlapse = true\n[slab]\nlength = "2.4 m"\nwidth = "2.4 m"\n'
    'thickness = "200 mm"\n'
)


def forecast(source: str, issued_h: float, air_c: float, *, hours: int = 150) -> Forecast:
    silent = np.full(hours, np.nan)
    weather = HourlyWeather(
        int(issued_h), np.full(hours, air_c), silent, silent, silent, silent, silent,
        np.full(hours, SPANS.index("forecast"), dtype=np.int8),
    )  # fmt: skip
    return Forecast(source, issued_h, issued_h, weather, elevation_m=100.0)


@pytest.fixture
def now_h(now: datetime) -> float:
    return unix_h(now)


def test_the_first_is_carried_on_by_the_second(now_h: float) -> None:
    first, second = forecast(NWS, now_h - 3, 1.0), forecast(MET, now_h - 1, 5.0, hours=220)
    outlook = composed([second, first], now_h, SOURCES)
    assert outlook is not None
    assert outlook.issued_h == now_h - 3
    assert outlook.weather.air_c[0] == 1.0
    assert outlook.weather.end_h == second.weather.end_h
    turned = composed([second, first], now_h, ("met-norway", "nws"))
    assert turned is second


def test_what_is_older_than_a_day_gives_way(now_h: float) -> None:
    first, second = forecast(NWS, now_h - 25, 1.0), forecast(MET, now_h - 1, 5.0)
    assert composed([first, second], now_h, SOURCES) is second
    older = replace(second, issued_h=now_h - 30)
    assert composed([older, first], now_h, SOURCES) is first, "the newest, where all are old"
    assert composed([], now_h, SOURCES) is None


def test_history_puts_together_what_was_known_at_each_time(store: Store, now: datetime) -> None:
    at = unix_h(now)
    for source, hours, air_c in ((NWS, 0, 1.0), (MET, 1, 5.0), (NWS, 6, 2.0)):
        more = 220 if source == MET else 150
        keep_forecast(store, place_of(JOB), forecast(source, at + hours, air_c, hours=more))
    known = kept_forecasts(store, place_of(JOB), now + timedelta(hours=9))
    assert [f.weather.air_c[0] for f in known] == [1.0, 1.0, 2.0]
    assert [f.issued_h for f in known] == [at, at, at + 6]
    assert known[0].origins == ()
    assert [o.source for o in known[2].origins] == [NWS, MET]
    early = kept_forecasts(store, place_of(JOB), now + timedelta(minutes=30))
    assert [f.source for f in early] == [NWS]


def test_a_joined_one_is_not_kept_as_if_a_source_had_said_it(store: Store, now: datetime) -> None:
    at = unix_h(now)
    joined = composed([forecast(NWS, at, 1.0), forecast(MET, at, 5.0, hours=220)], at, SOURCES)
    assert joined is not None
    keep_forecast(store, "here", joined)
    assert forecasts_for(store, "here") == ()


def test_height_is_corrected_when_it_is_read_not_when_it_is_kept(
    store: Store, now: datetime
) -> None:
    keep_forecast(store, place_of(JOB), forecast(NWS, unix_h(now), 5.0))
    (plain,) = kept_forecasts(store, place_of(JOB), now)
    (moved,) = known_forecasts(store, JOB, now)
    assert plain.weather.air_c[0] == 5.0
    assert moved.weather.air_c[0] == pytest.approx(3.7)


def test_only_what_can_be_is_believed(store: Store, now_h: float) -> None:
    memory = Memory(store, "here", now_h)
    good = forecast(NWS, now_h - 2, 5.0)
    assert check_trust(good, None, memory) == good
    ahead = check_trust(forecast(NWS, now_h + 0.5, 5.0), None, memory)
    assert ahead.issued_h == now_h
    with pytest.raises(WeatherUnusable, match="2 h after the time that is taken as now"):
        check_trust(forecast(NWS, now_h + 2, 5.0), None, memory)
    with pytest.raises(WeatherUnavailable, match="nothing newer than a forecast of 5 days ago"):
        check_trust(forecast(NWS, now_h - 120, 5.0), None, memory)


def test_a_contradiction_is_believed_when_it_stays(store: Store, now_h: float) -> None:
    kept, odd = forecast(NWS, now_h - 5, 5.0), forecast(NWS, now_h - 1, 20.0)
    for later_h in (0.0, 0.9):
        with pytest.raises(WeatherUnusable, match=r"contradicts its own of [56] h ago by 15 K"):
            check_trust(odd, kept, Memory(store, "here", now_h + later_h))
    assert check_trust(odd, kept, Memory(store, "here", now_h + 1.0)).weather is odd.weather
    old = replace(kept, issued_h=now_h - 30)
    assert check_trust(odd, old, Memory(store, "there", now_h)).weather is odd.weather


@pytest.mark.parametrize(
    ("place", "inside"),
    [((44.1, -69.1), True), ((61.2, -149.9), True), ((19.7, -155.1), True), ((18.4, -66.1), True),
     ((13.5, 144.8), True), ((59.9, 10.7), False), ((-33.9, 151.2), False), ((19.4, -99.1), False)],
)  # fmt: skip
def test_where_the_us_service_is_asked(place: tuple[float, float], inside: bool) -> None:
    assert in_us(*place) is inside


def test_which_services_are_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    site = JOB.site
    assert services_for(site) == ("nws", "met-norway")
    abroad = replace(site, latitude=59.9, longitude=10.7)
    assert services_for(abroad) == ("met-norway",)
    assert services_for(replace(site, sources=("open-meteo",))) == ("open-meteo",)
    monkeypatch.setenv("CURECAST_NWS_URL", "http://127.0.0.1:1")
    assert services_for(abroad) == ("nws",)
    assert services_for(replace(site, sources=("open-meteo",))) == ()
