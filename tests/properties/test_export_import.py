"""A record that is exported and imported loses nothing and gains nothing."""

from __future__ import annotations

import json
import tempfile
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.errors import InputError, Refused
from curecast.store.connection import Store
from curecast.store.forecasts import save_forecast
from curecast.store.holds import add_hold_change
from curecast.store.jobs import close_job, save_job
from curecast.store.placements import amend_job, record_pour
from curecast.store.portable import add_record
from curecast.store.readings import add_reading, readings, take_back_reading
from curecast.store.record import add_event, add_sign_off, add_strength_test, events
from curecast.store.rows import JobRow
from curecast.store.schema import open_store
from curecast.tracking.portable import dump_record, parse_record, take_in
from tests.fixtures.command_line import job_text

T0 = datetime(2027, 4, 5, 13, tzinfo=UTC)
TEXT = job_text()
steps = st.lists(
    st.tuples(st.integers(0, 8), st.integers(0, 500), st.floats(-9.0, 40.0)), max_size=25
)


def digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()


def play(store: Store, todo: list[tuple[int, int, float]]) -> JobRow:
    """A pour, and what people did to its record."""
    version = save_job(store, "winch-bed", TEXT, digest(TEXT), T0)
    pour = record_pour(store, version.job, T0, version, T0, bags=30.0, temperature_c=0.0)
    for kind, hour, value in todo:
        at = T0 + timedelta(hours=hour)
        seen, done = readings(store, pour), events(store, pour)
        if kind == 0:
            add_reading(store, pour, "surface", None, value, at, "person", ("odd – 5 °C",))
        elif kind == 1 and seen:
            take_back_reading(store, pour, seen[hour % len(seen)].id, "person", at)
        elif kind == 2 and seen:
            old = seen[hour % len(seen)]
            add_reading(store, pour, old.where, None, value, old.at, "person", supersedes=old.id)
        elif kind == 3:
            add_event(store, pour, "cover", at, {"layers": value})
        elif kind == 4 and done:
            add_event(store, pour, "taken-back", at, {}, supersedes=done[0].id)
        elif kind == 5:
            add_strength_test(store, pour, "cylinder", abs(value), at, "Ida", "näss")
        elif kind == 6:
            add_sign_off(store, pour, "walk", "signed-off", "Ida", "seen", at)
        elif kind == 7:
            add_hold_change(
                store, pour, "walk", "not-poured", "projected", at, {"n": None}, "0", ""
            )
        elif kind == 8:
            text = TEXT.replace('"winch-bed"', f'"winch-bed" # {hour}')
            amend_job(store, version.job, text, digest(text), "Ida", "letter", at)
            save_forecast(store, "nws", "44.1000,-69.1100", at, at, f"body {hour}")
    return version.job


def rows(store: Store, job: JobRow) -> dict[str, object]:
    return dict(parse_record(dump_record(store, job, T0), "there"))


@settings(max_examples=15, deadline=None)
@given(steps)
def test_into_an_empty_store_and_twice(todo: list[tuple[int, int, float]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        here, there = open_store(home=Path(folder, "a")), open_store(home=Path(folder, "b"))
        with here, there:
            job = play(here, todo)
            text = dump_record(here, job, T0)
            name, added = take_in(there, text, "record")
            assert name == "winch-bed"
            assert sum(added.values()) == sum(map(len, parse_record(text, "record").values()))
            assert rows(there, job) == rows(here, job)
            assert sum(take_in(there, text, "record")[1].values()) == 0
            assert sum(take_in(here, text, "record")[1].values()) == 0
            assert rows(there, job) == rows(here, job)


@settings(max_examples=10, deadline=None)
@given(steps)
def test_both_sides_go_on_and_meet_again(todo: list[tuple[int, int, float]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        here, there = open_store(home=Path(folder, "a")), open_store(home=Path(folder, "b"))
        with here, there:
            job = play(here, todo)
            take_in(there, dump_record(here, job, T0), "record")
            play(here, [(0, 600, 5.0), (8, 7, 0.0)])
            play(there, [(0, 601, 6.0), (8, 7, 0.0)])
            take_in(there, dump_record(here, job, T0), "record")
            take_in(here, dump_record(there, job, T0), "record")
            for table in ("reading", "event", "strength_test", "sign_off", "hold_change"):
                assert rows(there, job)[table] == rows(here, job)[table]
            close_job(here, job, T0)
            take_in(there, dump_record(here, job, T0), "record")
            assert rows(there, job)["job"] == rows(here, job)["job"]


def test_what_was_altered_or_is_newer_is_refused(tmp_path: Path) -> None:
    with open_store(home=tmp_path / "a") as here, open_store(home=tmp_path / "b") as there:
        job = play(here, [(0, 5, 9.25), (6, 9, 0.0)])
        text = dump_record(here, job, T0)
        data = json.loads(text)
        newer = json.dumps({**data, "curecast_record": 2})
        for wrong in (
            text[:-40], "[]", "{}", newer, text.replace("9.25", "9.75"), text.replace("Ida", "Eva"),
            json.dumps({**data, "tables": {}}), "not json",
        ):  # fmt: skip
            with pytest.raises(InputError):
                take_in(there, wrong, "record")
        for table, column, wrong_value in (
            ("reading", "value_c", "warm"), ("reading", "at", "noon"), ("sign_off", "by", 7),
            ("reading", "where", None), ("reading", "value_c", float("nan")),
        ):  # fmt: skip
            rows = json.loads(text)["tables"]
            rows[table][0][column] = wrong_value
            with pytest.raises(InputError):
                add_record(there, rows)
        other = TEXT.replace("8 ft", "9 ft")
        save_job(there, "winch-bed", other, digest(other), T0)
        with pytest.raises(Refused, match="another job"):
            take_in(there, text, "record")
