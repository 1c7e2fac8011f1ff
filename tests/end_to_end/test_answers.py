"""What programs read: one object on stdout with every key that is promised, whoever asks."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from curecast.job.layout import HOLDS
from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
JobFile = Callable[..., Path]
PLACES = {"surface", "middle", "bottom", "edge"}
#: One start in the week: what is answered is looked at, not how it was ranked.
ONE = {"days": '"tue"', "from": '"9:00"', "to": '"10:00"'}


@pytest.fixture
def forecast(tmp_path: Path) -> Path:
    start = POURED - timedelta(days=2)
    return write_csv(tmp_path / "cool.csv", start, 24 * 9, daily(7.0))


@pytest.fixture
def poured(cli: CommandLine, job_file: JobFile, forecast: Path) -> CommandLine:
    cli.now = "2027-04-05T12:00-04:00"
    words = ("--start", "2027-04-05 09:00", "--end", "11:00", "--bags", 31)
    cli.ask("pour", job_file(), *words, "--forecast", forecast)
    cli.ask("log", "52F")
    cli.now = "2027-04-07T12:00-04:00"
    cli.ask("log", "45F, 40F air 11:30")
    return cli


def keys(answer: dict[str, Any], *names: str) -> None:
    assert set(names) <= set(answer), set(names) - set(answer)


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)
    elif isinstance(value, str):
        yield value


def check_offset(answer: dict[str, Any], *offsets: str) -> None:
    """Every instant carries the offset of the job's zone, not that of UTC."""
    instants = [t for t in texts(answer) if len(t) >= 25 and t[4] == "-" and t[10] == "T"]
    assert instants
    assert {t[-6:] for t in instants} <= set(offsets)


def test_check(cli: CommandLine, job_file: JobFile) -> None:
    answer = cli.ask("check", job_file())
    keys(answer, "problems", "takeoff")
    keys(
        answer["takeoff"], "volume_m3", "bags", "bag_kg", "water_l_per_bag",
        "water_l_max_per_bag", "bags_kg", "pallets", "trips",
    )  # fmt: skip
    broken = job_file("broken.toml", slab={"thickness": '"150"', "widht": '"4 ft"'})
    told = cli("check", broken, json=True)
    assert told.code == 65
    found = {problem["key"]: problem for problem in told.json["problems"]}
    assert {"slab.thickness", "slab.widht"} <= set(found)
    assert all(problem["message"] and problem["line"] for problem in found.values())
    short = job_file("short.toml", equipment={"thickness": '"8 in"'})
    answer = cli.ask("check", short, code=1)
    assert [p["key"] for p in answer["problems"]] == ["slab.thickness"]


def test_water_that_is_well_over_the_basic_figure(cli: CommandLine, job_file: JobFile) -> None:
    """A US gallon a bag: inside the widest printed range, well over the basic figure."""
    said = "inside the widest printed range"
    job = job_file(mix={"water": '"1 gal"'})
    notes = cli.ask("check", job)["notes"]
    assert any(said in note and "well over the basic" in note for note in notes)
    cli.now = "2027-03-08T12:00-05:00"
    told = cli.ask("pour", job, "--start", "9:00", "--water-per-bag", "1 gal")
    assert any(said in note and "well over the basic" in note for note in told["notes"])
    told = cli.ask("pour", job, "--start", "9:00", "--water-per-bag", "6 pt")
    assert not any("water" in note for note in told["notes"])


def test_what_42_bags_weigh(cli: CommandLine, job_file: JobFile) -> None:
    """40 bags of 80 lb and 5 % over are 42, and weigh 3,360 lb: common practice."""
    job = job_file(slab={"length": '"12 ft"', "width": '"4 ft"', "thickness": '"6 in"'})
    takeoff = cli.ask("check", job)["takeoff"]
    assert takeoff["bags"] == 42
    assert takeoff["bags_kg"] == pytest.approx(3360 * 0.45359237, abs=0.05)
    assert "42 of 80 lb" in cli("check", job).out
    assert "3360 lb in all" in cli("check", job).out


def test_best_day_and_choose(cli: CommandLine, job_file: JobFile, samples: Path) -> None:
    weather = samples / "weather" / "crane-base-hourly.json"
    job = job_file(crew=ONE)
    answer = cli.ask("best-day", job, "--forecast", weather, code=None)
    keys(answer, "best", "starts", "forecast")
    keys(answer["forecast"], "source", "issued", "until", "stale")
    start = answer["starts"][0]
    keys(
        start, "start", "finished", "verdict", "protection", "chance_freeze", "coldest_c",
        "coldest_at", "rules", "holds",
    )  # fmt: skip
    keys(start["rules"][0], "rule", "verdict", "chance", "at", "why", "source")
    keys(start["holds"]["walk"], "likely", "count_on")
    check_offset(answer, "-05:00", "-04:00")
    # One start in the week, and it is not one to pour at: kept, and said loudly.
    loud = cli("choose", job, "--start", "tue 9:00", "--forecast", weather)
    assert (loud.code, start["verdict"]) == (1, "do-not-pour")
    assert "DO NOT POUR on Tue 9 Mar 09:00 EST" in loud.out.splitlines()[0]
    chosen = cli.ask("choose", job, "--start", "tue 9:00", "--forecast", weather, code=1)
    assert chosen["chosen"] == "2027-03-09T09:00:00-05:00"
    assert chosen["starts"][0]["verdict"] == start["verdict"]


def test_trace(cli: CommandLine, job_file: JobFile, forecast: Path) -> None:
    cli.now = "2027-04-04T12:00-04:00"
    words = ("--start", "2027-04-05 09:00", "--hours", 30, "--forecast", forecast)
    answer = cli.ask("trace", job_file(), *words)
    keys(answer, "parameters", "hours")
    assert len(answer["hours"]) == 31
    for hour in answer["hours"]:
        keys(
            hour, "t_h", "air_c", "wind_slab_ms", "temperature_c", "heat_age_h",
            "strength_age_h", "ttf_c_h", "strength_mpa", "cover_m2k_w",
        )  # fmt: skip
        for name in ("temperature_c", "heat_age_h", "strength_age_h", "ttf_c_h", "strength_mpa"):
            assert set(hour[name]) >= PLACES
    assert answer["start"] == "2027-04-05T09:00:00-04:00"
    assert answer["hours"][0]["temperature_c"]["middle"] == pytest.approx(12.0)
    assert "strength" in cli("trace", job_file(), *words).out


def test_pour_and_log(poured: CommandLine) -> None:
    told = poured.ask("pour", "winch-bed", "--start", "2027-04-05 09:00", "--bags", 31)
    keys(told, "placement")
    assert told["placement"] == {
        "start": "2027-04-05T09:00:00-04:00",
        "end": None,
        "bags": 31,
        "water_l_per_bag": None,
        "temperature_c": None,
    }
    told = poured.ask("log", "44F under-cover, 46F 75mm")
    keys(told, "added", "flagged", "refused")
    assert [(r["where"], r["value_c"]) for r in told["added"]] == [
        ("under-cover", pytest.approx(6.667, abs=1e-3)),
        ("inside", pytest.approx(7.778, abs=1e-3)),
    ]
    assert told["added"][1]["depth_m"] == pytest.approx(0.075)
    check_offset(told, "-04:00")
    assert "under-cover 44 °F (6.7 °C), Wed 7 Apr 12:00 EDT" in poured("log", "44F under-cover").out


def test_holds(poured: CommandLine) -> None:
    answer = poured.ask("holds", "winch-bed")
    slab = answer["slab"]
    keys(slab, "temperature_c", "heat_age_h", "strength_age_h", "ttf_c_h", "strength_mpa")
    for name in ("temperature_c", "heat_age_h", "strength_age_h", "ttf_c_h"):
        assert set(slab[name]) == PLACES
        assert all(value > 0 for value in slab[name].values())
    assert slab["strength_mpa"]["likely"] > slab["strength_mpa"]["count_on"] > 0
    assert slab["frozen_early"] == "no"
    names = [hold["name"] for hold in answer["holds"]]
    assert set(names) == set(HOLDS)
    for hold in answer["holds"]:
        keys(hold, "name", "state", "likely", "count_on", "closes", "needs", "basis", "evidence")
        keys(
            hold["evidence"], "kind", "fraction", "longest_gap_h", "last_reading_at",
            "next_reading_by",
        )  # fmt: skip
        assert hold["likely"]
        assert hold["count_on"]
    check_offset(answer, "-04:00")
    assert poured.hold("winch-bed", "saw-cut")["closes"] is not None


def test_watch_and_report(poured: CommandLine, tmp_path: Path, forecast: Path) -> None:
    answer = poured.ask("watch", "--once", "--forecast", forecast)
    keys(answer, "sent", "queued", "failed")
    assert answer["job"] is None
    page = tmp_path / "winch-bed.html"
    answer = poured.ask("report", "winch-bed", "-o", page, "--forecast", forecast)
    assert answer["file"] == str(page)
    html = page.read_text(encoding="utf-8")
    assert "<svg" in html
    assert "winch-bed" in html
    assert "full-torque" in html


def test_a_webhook_gets_what_is_news(
    poured: CommandLine, tmp_path: Path, forecast: Path, job_file: JobFile
) -> None:
    """A hook that nobody answers waits; the pass itself ends well."""
    job = job_file(
        "hook.toml",
        top={"name": '"hook"'},
        mix={"strength": '"4000 psi"', "bag": '"80 lb"'},
    )
    job.write_text(job.read_text() + '[[alert]]\nto = "http://127.0.0.1:9/hook"\n')
    poured.now = "2027-04-05T12:00-04:00"
    poured.ask("pour", job, "--start", "2027-04-05 09:00", "--forecast", forecast)
    poured.ask("log", "hook", "50F")
    poured.now = "2027-04-06T12:00-04:00"
    poured.ask("log", "hook", "-1C")
    answer = poured.ask("watch", "--once", "--forecast", forecast)
    assert answer["queued"]
    message = answer["queued"][0]
    keys(message, "key", "kind", "hold", "title", "to", "last_error")
    assert message["job"] == "hook"


def test_an_error_is_one_object_too(cli: CommandLine) -> None:
    told = cli("holds", "none.toml", json=True)
    assert told.code == 65
    assert told.json["error"]["exit_code"] == 65
    assert told.json["error"]["message"]
    assert told.json["job"] is None


def test_alone_as_json(poured: CommandLine) -> None:
    answer = poured.ask()
    assert any(step["command"].startswith("curecast holds") for step in answer["next"])


def test_a_slab_s_units(poured: CommandLine) -> None:
    us = poured("holds", "winch-bed").out
    si = poured("holds", "winch-bed", "--units", "si").out
    assert "psi" in us.splitlines()[1]
    assert "MPa" in si.splitlines()[1]
    assert "°C" in si.splitlines()[1]
    echo = poured("log", "45F", "--units", "si").out
    assert "surface 7.2 °C (45 °F)" in echo


def test_the_whole_story_a_process_a_command(
    job_file: JobFile, tmp_path: Path, own_home: Path
) -> None:
    """Nothing lives in a program's memory: every command is a program of its own."""
    forecast = write_csv(tmp_path / "w.csv", POURED - timedelta(days=3), 24 * 14, daily(9.0))
    job = job_file()
    environment = {
        **os.environ,
        "CURECAST_HOME": str(own_home),
        "CURECAST_NWS_URL": "http://127.0.0.1:9",
    }

    def run(now: str, *words: object) -> tuple[int, dict[str, Any]]:
        line = [sys.executable, "-m", "curecast", *map(str, words), "--json", "--now", now]
        done = subprocess.run(
            line, capture_output=True, text=True, env=environment, cwd=tmp_path, timeout=120
        )
        assert "Traceback" not in done.stderr
        return done.returncode, json.loads(done.stdout)

    sunday, monday = "2027-04-04T12:00-04:00", "2027-04-05T12:00-04:00"
    saved = ("--forecast", forecast)
    assert run(sunday, "check", job)[0] == 0
    assert run(sunday, "choose", job, "--start", "mon 9:00", *saved)[0] == 0
    assert run(monday, "pour", "winch-bed", "--start", "9:00", "--end", "11:30", *saved)[0] == 0
    assert run(monday, "log", "52F")[0] == 0
    assert run("2027-04-06T12:00-04:00", "log", "50F, 45F air")[0] == 0
    code, answer = run("2027-04-06T12:05-04:00", "holds", "walk", *saved)
    walk = next(h for h in answer["holds"] if h["name"] == "walk")
    assert (code, walk["state"]) == (0, "released")
    assert run("2027-04-06T12:05-04:00", "holds", "full-torque", *saved)[0] == 1
    assert run("2027-04-06T12:10-04:00", "report", "-o", tmp_path / "x.html", *saved)[0] == 0
    assert run("2027-04-06T12:15-04:00", "watch", "--once", *saved)[0] == 0
