"""The calendar of the holds, read back by a reader of our own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from curecast.alerts.calendar import calendar_entries, render_calendar
from curecast.alerts.feeds import calendar_of_jobs
from curecast.cli.app import execute
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.store.placements import choose_start
from curecast.store.readings import readings, take_back_reading
from curecast.store.rows import Placement
from curecast.store.schema import open_store
from curecast.tracking import assess_and_record, stored_job
from curecast.watch import watch_once
from tests.end_to_end.test_watch_once import HOUR, START, TEXT, Sky, poured, read_twice_a_day


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(home=tmp_path / "data") as opened:
        yield opened


def parse(text: str) -> list[dict[str, str]]:
    """Events by name of property, alarms under ALARM; RFC 5545 3.1, 3.3.11."""
    raw = text.encode()
    assert raw.endswith(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    physical = raw.split(b"\r\n")[:-1]
    assert max(len(line) for line in physical) <= 75
    logical = text.replace("\r\n ", "").split("\r\n")[:-1]
    assert logical[0] == "BEGIN:VCALENDAR"
    assert logical[-1] == "END:VCALENDAR"
    assert "VERSION:2.0" in logical
    assert not any(line.startswith("METHOD") for line in logical)
    events: list[dict[str, str]] = []
    inside: list[str] = []
    for line in logical:
        name, _, value = line.partition(":")
        if name == "BEGIN":
            inside.append(value)
            if value == "VEVENT":
                events.append({})
        elif name == "END":
            assert inside.pop() == value
        elif inside[-1] == "VEVENT":
            assert name not in events[-1]
            events[-1][name] = value.replace("\\,", ",").replace("\\;", ";").replace("\\n", "\n")
        elif inside[-1] == "VALARM" and name == "TRIGGER":
            events[-1]["ALARM"] = value
    assert inside == []
    return events


def calendar(store: Store, placement: Placement, now: datetime) -> dict[str, dict[str, str]]:
    job = stored_job(placement.version)
    forecasts = [f for f in (Sky(15.0)(job, now),) if f is not None]
    answer = assess_and_record(store, job, placement, forecasts, now, write=True)
    entries = calendar_entries(store, placement, job, answer, now)
    events = parse(render_calendar(job, placement, entries, now))
    by_hold = {e["UID"].removeprefix(f"{placement.id}-").removesuffix("@curecast"): e
               for e in events}  # fmt: skip
    assert len(by_hold) == len(events)
    return by_hold


def test_dates_move_under_one_id_and_what_is_withdrawn_is_cancelled(store: Store) -> None:
    placement = poured(store, "desktop:")
    read_twice_a_day(store, placement, 8)
    now = START + timedelta(days=8)
    first = calendar(store, placement, now)
    load, torque = first["light-load"], first["full-torque"]
    assert load["STATUS"] == "CONFIRMED"
    assert load["SUMMARY"] == "crane-base: light-load is released"
    assert load["DTSTART"] == f"{now:%Y%m%dT%H%M%SZ}"
    assert "ALARM" not in load
    assert torque["STATUS"] == "TENTATIVE"
    assert torque["SUMMARY"] == "crane-base: full-torque (by the model, not a go-ahead)"
    assert torque["ALARM"] == "-PT30M"
    assert datetime.strptime(torque["DTSTART"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC) > now

    again = calendar(store, placement, now + timedelta(minutes=1))
    assert {n: e["SEQUENCE"] for n, e in again.items()} == dict.fromkeys(first, "0")
    assert again["light-load"]["DTSTART"] == load["DTSTART"]

    for reading in readings(store, placement)[2:]:
        take_back_reading(store, placement, reading.id, "Ida", now + HOUR)
    taken_back = calendar(store, placement, now + 2 * HOUR)
    stop = taken_back["light-load"]
    assert (stop["STATUS"], stop["SEQUENCE"]) == ("CANCELLED", "1")
    assert stop["UID"] == load["UID"]
    assert stop["SUMMARY"] == "STOP, crane-base: light-load is withdrawn"
    assert stop["DTSTART"] == load["DTSTART"]
    assert "ALARM" not in stop


def test_before_the_pour_the_chosen_start_is_the_only_date(store: Store) -> None:
    job = parse_job(TEXT.format(name="crane-base", place="44.1, -69.1", to="desktop:"))
    at = START - 40 * HOUR
    version = save_job(store, job.name, job.text, job.hash, at)

    def chosen(start: datetime) -> dict[str, str]:
        placement = choose_start(store, version.job, start, version, at)
        entries = calendar_entries(store, placement, job, None, at)
        (event,) = parse(render_calendar(job, placement, entries, at))
        return event

    first, moved = chosen(START), chosen(START + HOUR)
    assert (first["DTSTART"], moved["DTSTART"]) == ("20270504T130000Z", "20270504T140000Z")
    assert first["UID"] == moved["UID"]
    assert (first["SEQUENCE"], moved["SEQUENCE"]) == ("0", "1")


def test_a_kept_calendar_moves_with_the_watch_and_the_commands(
    store: Store,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path / "data"))
    placement = poured(store, "desktop:")
    other = poured(store, "desktop:", "pad", "45.0, -69.1")
    feed, one = tmp_path / "slabs.ics", tmp_path / "one.ics"
    assert execute(["calendar", "--keep", str(feed)]) == 0
    assert execute(["calendar", "crane-base", "--keep", str(one)]) == 0
    assert parse(feed.read_bytes().decode()) == []
    read_twice_a_day(store, placement, 8)
    now = START + timedelta(days=8)

    def watched(at: datetime) -> dict[str, dict[str, str]]:
        assert watch_once(store, at, get_weather=Sky(15.0), channels=lambda _: lambda *_: None)
        assert list(tmp_path.glob(".*.ics.*")) == []
        return {e["UID"]: e for e in parse(feed.read_bytes().decode())}

    first = watched(now)
    load = f"{placement.id}-light-load@curecast"
    assert first[load]["STATUS"] == "CONFIRMED"
    assert any(uid.startswith(other.id) for uid in first)
    assert all(e["UID"].startswith(placement.id) for e in parse(one.read_bytes().decode()))
    before = feed.stat().st_mtime_ns
    assert watched(now + timedelta(minutes=10)) == first
    assert feed.stat().st_mtime_ns == before, "nothing moved, so nothing is written"
    for reading in readings(store, placement)[2:]:
        take_back_reading(store, placement, reading.id, "Ida", now + HOUR)
    stop = watched(now + 2 * HOUR)[load]
    assert (stop["STATUS"], stop["SEQUENCE"]) == ("CANCELLED", "1")

    at = f"{now + 3 * HOUR:%Y-%m-%dT%H:%M:%SZ}"
    assert execute(["close", "crane-base", "--now", at]) == 0
    events = parse(one.read_bytes().decode())
    assert {e["STATUS"] for e in events} == {"CONFIRMED", "CANCELLED"}
    assert execute(["calendar", "--forget", str(feed)]) == 0
    assert execute(["calendar", "--forget", str(feed)]) == 1
    one.unlink()
    one.mkdir()
    report = watch_once(store, now + 4 * HOUR, get_weather=Sky(15.0))
    assert any("cannot be written" in note for note in report.notes)
    assert execute(["calendar", "--keep", str(tmp_path / "no" / "x.ics")]) == 65
    capsys.readouterr()


def test_an_independent_reader_takes_the_feed(store: Store) -> None:
    from icalendar import Calendar

    placement = poured(store, "desktop:")
    job = stored_job(placement.version)
    now = START + timedelta(days=8)
    answer = assess_and_record(store, job, placement, [Sky(15.0)(job, now)], now, write=True)  # type: ignore[list-item]
    entries = calendar_entries(store, placement, job, answer, now)
    text = calendar_of_jobs(store, now)
    read = Calendar.from_ical(text)
    assert len(read.walk("VEVENT")) == len(entries)
    for event in read.walk("VEVENT"):
        assert event.errors == []
        assert event.decoded("dtstart") < event.decoded("dtend")
        assert event.decoded("dtstamp").tzinfo is not None
