"""A slab's record as the store knows it, and the moves of its holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from curecast.clock import unix_h
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.reader import parse_job
from curecast.prospect.record import Seen, Signed
from curecast.store.connection import Store
from curecast.store.forecasts import forecasts_for
from curecast.store.holds import add_hold_change, hold_changes
from curecast.store.jobs import save_job
from curecast.store.observations import save_observations
from curecast.store.placements import record_pour
from curecast.store.readings import add_reading
from curecast.store.record import add_event, add_sign_off
from curecast.store.rows import NewObservation, Placement
from curecast.tracking import (
    assess_and_record,
    governing_job,
    keep_forecast,
    kept_forecasts,
    load_record,
    place_of,
)

TEXT = """
curecast = 1
name = "crane-base"
units = "si"
[site]
place = "44.10, -69.11"
zone = "America/New_York"
[slab]
length = "2.4 m"
width = "2.4 m"
thickness = "200 mm"
"""


@pytest.fixture
def slab(store: Store, now: datetime) -> Placement:
    job = parse_job(TEXT)
    version = save_job(store, job.name, job.text, job.hash, now)
    return record_pour(store, version.job, now, version, now, temperature_c=14.0)


def forecast(now: datetime, *, hours: int = 156, air_c: float = 10.0) -> Forecast:
    start = int(unix_h(now))
    unknown = np.full(hours, np.nan)
    weather = HourlyWeather(
        start, np.full(hours, air_c), unknown, unknown, unknown, unknown, unknown,
        np.ones(hours, dtype=np.int8),
    )  # fmt: skip
    return Forecast("a service", start + 0.25, start + 0.5, weather)


def test_a_place_is_written_one_way() -> None:
    job = parse_job(TEXT)
    assert place_of(job) == "44.1000,-69.1100"
    nowhere = replace(job, site=replace(job.site, latitude=None, longitude=None))
    assert place_of(nowhere) == "job:crane-base"


def test_what_is_left_of_a_kept_issue_is_not_kept_again(store: Store, now: datetime) -> None:
    whole = forecast(now)
    later = now + timedelta(hours=2)
    keep_forecast(store, "here", whole)
    rest = replace(
        whole, fetched_h=unix_h(later), weather=whole.weather.from_hour(int(unix_h(later)))
    )
    keep_forecast(store, "here", rest)
    assert len(forecasts_for(store, "here")) == 1
    mended = replace(rest, weather=replace(rest.weather, air_c=rest.weather.air_c + 1.0))
    keep_forecast(store, "here", mended)
    assert len(forecasts_for(store, "here")) == 2
    assert [f.issued_h for f in kept_forecasts(store, "here", later)] == [whole.issued_h] * 2
    assert kept_forecasts(store, "here", now - timedelta(hours=1)) == ()


def test_a_record_holds_what_was_known_by_then(
    store: Store, slab: Placement, now: datetime
) -> None:
    add_reading(store, slab, "surface", None, 0.0, now + timedelta(hours=4), "Ada")
    add_reading(store, slab, "inside", 0.1, 12.0, now + timedelta(hours=40), "Ada")
    add_event(store, slab, "cover", now + timedelta(hours=5), {"layers": 2, "note": "old ones"})
    add_sign_off(store, slab, "walk", "signed-off", "Ada", "looked", now + timedelta(hours=6))
    add_sign_off(store, slab, "walk", "withdrawn", "Bo", "soft", now + timedelta(hours=7))
    for station, at, air_c in (("A", 1, 3.0), ("B", 1, 0.0), ("B", 2, 1.0), ("B", 30, 9.0)):
        new = NewObservation(now + timedelta(hours=at), air_c)
        save_observations(store, "44.1000,-69.1100", station, [new])
    record = load_record(store, slab, now + timedelta(hours=10))
    start = unix_h(now)
    assert record.start_h == start
    assert record.placed_c == 14.0
    assert record.seen == (Seen(start + 4.0, 0.0, "surface"),)
    assert [(d.kind, d.numbers) for d in record.done] == [("cover", {"layers": 2.0})]
    assert record.signed[1] == Signed(start + 7.0, "walk", "Bo", "soft", withdrawn=True)
    assert record.observed == ((start + 1.0, 0.0), (start + 2.0, 1.0))


def test_moves_are_recorded_once_with_what_they_rest_on(
    store: Store, slab: Placement, now: datetime
) -> None:
    job, later = governing_job(slab), now + timedelta(hours=3)
    known = (forecast(now),)
    assess_and_record(store, job, slab, known, later, write=False)
    assert hold_changes(store, slab) == ()
    first = assess_and_record(store, job, slab, known, later, write=True)
    rows = hold_changes(store, slab)
    assert {row.hold: row.to_state for row in rows} == {n: h.state for n, h in first.holds.items()}
    assert {row.from_state for row in rows} == {"not-poured"}
    torque = next(row for row in rows if row.hold == "full-torque")
    assert torque.why == "its date lies ahead"
    assert torque.inputs["job_version"] == slab.version.hash
    assert torque.inputs["readings"] == 0
    assert torque.inputs["count_on"] >= torque.inputs["likely"] > later.isoformat()
    again = assess_and_record(store, job, slab, known, later, write=True)
    assert again.record.states == {row.hold: row.to_state for row in rows}
    assert len(hold_changes(store, slab)) == len(rows)


def test_a_clock_set_back_does_not_see_later_moves(
    store: Store, slab: Placement, now: datetime
) -> None:
    ahead = now + timedelta(days=90)
    add_hold_change(store, slab, "drill", "not-poured", "released", ahead, {}, "0", "wrong clock")
    now += timedelta(hours=3)
    assert load_record(store, slab, now).states == {}
    answer = assess_and_record(store, governing_job(slab), slab, (forecast(now),), now, write=True)
    assert answer.holds["drill"].state == "projected"
    assert hold_changes(store, slab, "drill")[-1].from_state == "not-poured"


def test_a_slab_is_judged_anew_when_another_program_moved_it(
    store: Store, slab: Placement, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    import curecast.tracking.moves as moves

    real = moves.assess_slab
    later = now + timedelta(hours=3)

    def meddled(*given: object) -> object:
        answer = real(*given)  # type: ignore[arg-type]
        if not hold_changes(store, slab):
            add_hold_change(
                store, slab, "drill", "not-poured", "released", now, {}, "0", "the other program"
            )
        return answer

    monkeypatch.setattr(moves, "assess_slab", meddled)
    answer = assess_and_record(
        store, governing_job(slab), slab, (forecast(now),), later, write=True
    )
    assert answer.holds["drill"].state == "withdrawn"
    drill = [(row.from_state, row.to_state) for row in hold_changes(store, slab, "drill")]
    assert drill == [("not-poured", "released"), ("released", "withdrawn")]
