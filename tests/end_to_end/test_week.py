"""Which day this week: every payload of the project ranked, live and from a file."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.fixtures.command_line import CommandLine, daily, job_text, write_csv
from tests.fixtures.nws_server import StandIn

WEATHER = Path(__file__).resolve().parents[1] / "fixtures" / "weather"
VERDICTS = ["pour", "pour-with-protection", "at-risk", "do-not-pour"]
INLAND = {"place": '"45.20, -92.10"', "zone": '"America/Chicago"', "exposure": '"open"'}
#: The clock changes on a Sunday; two days of the week are enough to see all of it.
CREW = {"days": '"sat, sun"', "from": '"7:00"', "to": '"18:00"'}
#: A single start in the week, for what is said beside the ranking.
ONE = {"days": '"tue"', "from": '"9:00"', "to": '"10:00"'}
JobFile = Callable[..., Path]


def check_starts(answer: dict[str, Any], zone: str) -> None:
    """A sane ranking: every hour of the crew's week once, the best first, nothing left out."""
    starts = answer["starts"]
    at = [datetime.fromisoformat(start["start"]) for start in starts]
    assert len(set(at)) == len(at) > 0
    for when in at:
        local = when.astimezone(ZoneInfo(zone))
        assert local.utcoffset() == when.utcoffset(), when
        assert 7 <= local.hour <= 17
        assert local.minute == 0
    days = {when.date() for when in at}
    first = datetime.fromisoformat(answer["now"]).astimezone(ZoneInfo(zone))
    last = first + timedelta(days=7)
    for day in days:
        hours = sorted(when.hour for when in at if when.date() == day)
        if first.date() < day < last.date():
            assert hours == list(range(7, 18)), day
    ranks = [VERDICTS.index(start["verdict"]) for start in starts]
    assert ranks == sorted(ranks)
    works = ranks[0] < 3
    assert answer["best"] == (starts[0] if works else None)
    for start in starts:
        assert 0.0 <= start["chance_freeze"] <= 1.0
        assert start["rules"], "a verdict without a reason"
        assert {rule["verdict"] for rule in start["rules"]} <= {"kept", "at-risk", "broken"}
        assert all(rule["why"] and rule["source"] for rule in start["rules"])
        for dates in start["holds"].values():
            assert dates["likely"] is not None
            assert dates["count_on"] is not None


@pytest.mark.parametrize(
    "name", ["hourly", "hourly-old-shape", "hourly-march", "hourly-november", "grid"]
)
def test_every_payload_gives_a_week(cli: CommandLine, job_file: JobFile, name: str) -> None:
    """Old and new shape, both clock changes, hourly and grid."""
    job = job_file(site=INLAND, crew=CREW)
    cli.now = ""
    told = cli("best-day", job, "--forecast", WEATHER / f"{name}.json", json=True)
    answer = told.json
    assert told.code == (0 if answer["best"] else 1)
    check_starts(answer, "America/Chicago")
    dates = {datetime.fromisoformat(start["start"]).date() for start in answer["starts"]}
    assert len(dates) == 2
    if name == "hourly-march":
        assert {s["start"][-6:] for s in answer["starts"]} == {"-06:00", "-05:00"}
    if name == "hourly-november":
        assert {s["start"][-6:] for s in answer["starts"]} == {"-05:00", "-06:00"}


FROST = {"site": INLAND, "ground": {"temperature": '"unknown"'}}


def test_a_week_below_freezing_has_no_start(cli: CommandLine, job_file: JobFile) -> None:
    job = job_file(**FROST, crew=CREW)
    cli.now = ""
    told = cli("best-day", job, "--forecast", WEATHER / "hourly-frost.json", json=True)
    answer = told.json
    assert told.code == 1
    check_starts(answer, "America/Chicago")
    assert answer["best"] is None
    assert {start["verdict"] for start in answer["starts"]} == {"do-not-pour"}
    assert "What would make it work:" in " ".join(answer["reasons"])


def test_what_would_make_a_frozen_week_work_is_said(cli: CommandLine, job_file: JobFile) -> None:
    job = job_file(**FROST, crew={"days": '"wed"', "from": '"8:00"', "to": '"18:00"'})
    cli.now = ""
    told = cli("best-day", job, "--forecast", WEATHER / "grid-frost.json")
    assert told.code == 1
    assert "No start this week works." in told.out
    assert "What would make it work:" in told.out
    assert "choose" not in told.out


def test_concrete_must_not_freeze_in_the_first_night(
    cli: CommandLine, job_file: JobFile, tmp_path: Path
) -> None:
    """Concrete must not fall below 32 °F in the first 24 h: common practice."""
    start = datetime(2027, 4, 5, 4, tzinfo=UTC)

    def air_c(at: datetime) -> float:
        # Mild, but for one clear night from Thursday to Friday.
        cold = datetime(2027, 4, 9, 9, tzinfo=UTC)
        off = abs((at - cold).total_seconds()) / 3600.0
        return daily(9.0)(at) - max(0.0, 20.0 - 1.6 * off)

    job = job_file(
        site={"exposure": '"open"'},
        crew={"days": '"wed, thu, fri"', "from": '"8:00"', "to": '"18:00"'},
        ground={"temperature": '"6 C"'},
        protection={"sheet": "false", "blankets": 0},
        placement={"temperature": '"10 C"'},
    )
    forecast = write_csv(tmp_path / "one-cold-night.csv", start, 24 * 7, air_c)
    cli.now = "2027-04-05T06:00-04:00"
    answer = cli.ask("best-day", job, "--forecast", forecast, code=None)
    thursday = [s for s in answer["starts"] if s["start"].startswith("2027-04-08")]
    assert thursday
    for start_of_day in thursday:
        assert start_of_day["verdict"] not in ("pour", "pour-with-protection")
        assert start_of_day["chance_freeze"] > 0.05
        freeze = next(r for r in start_of_day["rules"] if r["rule"] == "freeze")
        assert freeze["verdict"] != "kept"
    pours = [s for s in answer["starts"] if s["verdict"] in ("pour", "pour-with-protection")]
    assert all(s["coldest_c"] > 0.0 for s in pours)


def test_live_from_a_service_on_this_machine(
    cli: CommandLine,
    job_file: JobFile,
    nws_server: StandIn,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Points lead to the hourly and the grid forecast; both go into one week."""
    monkeypatch.setenv("CURECAST_NWS_URL", nws_server.url)
    site = {"place": '"45.20, -92.10"', "zone": None, "exposure": '"roofed"'}
    job = job_file(site=site, crew=CREW)
    cli.now = "2027-04-05T06:00-05:00"
    answer = cli.ask("best-day", job, code=None)
    check_starts(answer, "America/Chicago")
    paths = [asked for asked, _ in nws_server.asked]
    assert any(path.startswith("/points/45.2,-92.1") for path in paths)
    assert any(path.startswith("/gridpoints/XCC/7,9/forecast/hourly") for path in paths)
    assert "/gridpoints/XCC/7,9" in [path.split("?")[0] for path in paths]
    assert answer["forecast"]["stale"] is False
    until = datetime.fromisoformat(answer["forecast"]["until"])
    assert until.utcoffset() == timedelta(hours=-5)
    assert until > datetime(2027, 4, 12, tzinfo=UTC)


def test_live_forecast_of_yesterday_is_refused(
    cli: CommandLine, job_file: JobFile, nws_server: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CURECAST_NWS_URL", nws_server.url)
    cli.now = "2027-04-07T09:00-05:00"
    told = cli("best-day", job_file(site=INLAND, crew=CREW))
    assert told.code == 69
    assert "nothing newer than a forecast of 2 days ago" in told.err


def test_no_service_is_exit_code_69(cli: CommandLine, job_file: JobFile) -> None:
    told = cli("best-day", job_file())
    assert told.code == 69
    assert "cannot be reached" in told.err
    assert "--forecast" in told.err


def test_a_saved_forecast_of_another_time(
    cli: CommandLine, job_file: JobFile, samples: Path
) -> None:
    job, forecast = job_file(crew=ONE), samples / "weather" / "crane-base-hourly.json"
    cli.now = "2027-05-20T07:00-04:00"
    told = cli("best-day", job, "--forecast", forecast)
    assert told.code == 65
    assert "ends within a day of now" in told.err
    cli.now = "2027-02-20T07:00-05:00"
    assert cli("best-day", job, "--forecast", forecast).code == 65
    cli.now = ""
    told = cli("best-day", job, "--forecast", forecast, json=True)
    assert "its own issue is taken as now" in told.err
    assert told.json["now"] == "2027-03-08T06:04:12-05:00"


def test_several_jobs_at_once(cli: CommandLine, job_file: JobFile, tmp_path: Path) -> None:
    """Each is judged as if alone, and each gets a day of its own."""
    start = datetime(2027, 3, 8, 12, tzinfo=UTC)
    forecast = write_csv(tmp_path / "mild.csv", start, 24 * 8, daily(15.0))
    crew = {"days": '"wed, thu"', "from": '"8:00"', "to": '"16:00"'}
    first = job_file(crew=crew)
    second = job_file("two.toml", top={"name": '"two"'}, crew=crew, site={"zone": '"UTC"'})
    answer = cli.ask("best-day", first, second, "--forecast", forecast, code=None)
    assert [job["job"] for job in answer["jobs"]] == ["winch-bed", "two"]
    offsets = [{s["start"][-6:] for s in job["starts"]} for job in answer["jobs"]]
    assert offsets == [{"-05:00"}, {"+00:00"}]
    assert answer["shared"]["heaters"] == 0
    assert all(job["best"] for job in answer["jobs"])
    starts = [one["start"] for one in answer["placed"]]
    days = [start["start"][:10] for start in starts if start]
    assert len(set(days)) == len(days) == 2
    for one, job in zip(answer["placed"], answer["jobs"], strict=True):
        assert one["start"] is None or one["start"] in job["starts"]
        assert one["start"] == job["best"] or one["why"]
    told = cli("best-day", first, second, "--forecast", forecast)
    assert told.code == (0 if all(starts) else 1)
    assert "2 slabs, one crew:" in told.out
    assert told.out.count("Next: curecast choose") == len(days)


def test_two_forecasts_are_both_followed(
    cli: CommandLine, job_file: JobFile, tmp_path: Path
) -> None:
    start = datetime(2027, 3, 8, 12, tzinfo=UTC)
    job = job_file(crew=ONE)
    mild = write_csv(tmp_path / "mild.csv", start, 24 * 8, daily(8.0))
    cold = write_csv(tmp_path / "cold.csv", start, 24 * 8, daily(2.0))
    words = ("best-day", job, "--forecast", mild)
    alone = cli.ask(*words, code=None)
    assert alone["forecast"]["beside"] == []
    both = cli.ask(*words, "--forecast", cold, code=None)
    (other,) = both["forecast"]["beside"]
    assert "cold.csv" in other["source"]
    assert other["largest_difference_k"] == pytest.approx(6.0, abs=0.02)
    assert both["starts"][0]["coldest_c"] < alone["starts"][0]["coldest_c"]
    told = cli(*words, "--forecast", cold)
    assert "Two forecasts are followed" in told.out
    assert "the colder then is" in told.out


def test_dates_beyond_the_horizon_are_words(
    cli: CommandLine, job_file: JobFile, samples: Path
) -> None:
    forecast = samples / "weather" / "crane-base-hourly.json"
    job = job_file(crew=ONE, equipment={"strength": '"4500 psi"'})
    answer = cli.ask("best-day", job, "--forecast", forecast, code=None)
    dates = answer["starts"][0]["holds"]["full-torque"]
    assert dates["count_on"] == "not within 180 days"
    assert "strength test" in cli("best-day", job, "--forecast", forecast).out


def test_units_are_those_that_are_asked_for(
    cli: CommandLine, tmp_path: Path, samples: Path
) -> None:
    job = tmp_path / "winch-bed.toml"
    job.write_text(job_text(crew=ONE), encoding="utf-8")
    forecast = samples / "weather" / "crane-base-hourly.json"
    us = cli("best-day", job, "--forecast", forecast).out
    si = cli("best-day", job, "--forecast", forecast, "--units", "si").out
    assert "°F" in us
    assert "°C  " not in us
    assert "°F" not in si.replace("140 °F", "")
    us, si = (cli("check", job, "--units", units).out for units in ("us", "si"))
    assert "psi" in us
    assert "MPa" not in us
    assert "MPa" in si
    assert "psi" not in si
    assert "m2K/W" in si


def older(saved: Path, path: Path, colder_f: int) -> Path:
    """The same forecast as it was made twelve hours before, colder then."""
    said = json.loads(saved.read_text(encoding="utf-8"))
    told = said["properties"]
    for key in ("generatedAt", "updateTime"):
        told[key] = told[key].replace("2027-03-08T11", "2027-03-07T23")
    for period in told["periods"]:
        period["temperature"] -= colder_f
        period["dewpoint"]["value"] -= colder_f / 1.8
        period["relativeHumidity"]["value"] = None
    path.write_text(json.dumps(said), encoding="utf-8")
    return path


def test_how_the_answer_moved_since_the_forecast_before(
    cli: CommandLine, job_file: JobFile, samples: Path, tmp_path: Path
) -> None:
    """The forecast before is kept by whatever command it served; it was colder."""
    saved = samples / "weather" / "crane-base-hourly.json"
    job = job_file(crew={"days": '"thu"', "from": '"8:00"', "to": '"17:00"'})
    first = cli.ask("best-day", job, "--forecast", saved, code=None)
    assert first["moved"] is None
    assert first["changes"]
    before = older(saved, tmp_path / "before.json", 9)
    cli.ask("choose", job, "--start", "thu 8:00", "--forecast", before, code=None)
    answer = cli.ask("best-day", job, "--forecast", saved, code=None)
    assert answer["moved"]["since"].startswith("2027-03-07T18:04")
    (one,) = answer["moved"]["starts"]
    now = next(s for s in answer["starts"] if s["start"] == one["start"])
    assert one["verdict"] == now["verdict"]
    assert one["likely_coldest_was_c"] < now["likely_coldest_c"]
    assert one["chance_freeze_was"] >= now["chance_freeze"]
