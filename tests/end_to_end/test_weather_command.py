"""What is known of the weather: several services, stations and warnings, joined and remembered."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.sources.instants import parse_instant_h
from curecast.store.schema import open_store
from tests.fixtures.command_line import CommandLine, job_text
from tests.fixtures.nws_server import CELL, Reply, StandIn, problem
from tests.fixtures.other_weather import label, met_norway, open_meteo

FIRST = int(parse_instant_h("2027-04-05T10:00:00Z"))
HOURLY, GRID = f"{CELL}/forecast/hourly", CELL
METNO, METEO, ALERTS = "/metno/complete", "/meteo/v1/forecast", "/alerts/active"
STATIONS, REPORTS = f"{CELL}/stations", "/stations/KXYZ/observations"
SITE = {"place": '"45.2, -92.1"', "zone": '"America/Chicago"', "elevation": '"200 m"'}


@pytest.fixture
def server(nws_server: StandIn, monkeypatch: pytest.MonkeyPatch) -> StandIn:
    monkeypatch.setenv("CURECAST_NWS_URL", nws_server.url)
    monkeypatch.setenv("CURECAST_METNO_URL", nws_server.url + "/metno")
    monkeypatch.setenv("CURECAST_OPEN_METEO_URL", nws_server.url + "/meteo")
    nws_server.answer(METNO, met_norway(FIRST, complete=True))
    nws_server.answer(METEO, open_meteo(FIRST - 10))
    nws_server.answer(ALERTS, {"features": []})
    return nws_server


@pytest.fixture
def cli(server: StandIn, capsys: pytest.CaptureFixture[str]) -> CommandLine:
    def read() -> tuple[str, str]:
        told = capsys.readouterr()
        return told.out, told.err

    return CommandLine(read, "2027-04-05T10:30Z")


def write(tmp_path: Path, more: dict[str, str] | None = None, **sections: Any) -> Path:
    path = tmp_path / "winch-bed.toml"
    path.write_text(job_text(site=SITE | (more or {}), **sections), encoding="utf-8")
    return path


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write(tmp_path)


def test_the_first_then_the_second_then_climate(cli: CommandLine, job: Path) -> None:
    answer = cli.ask("weather", job, "--hours", "400")
    names = [row["service"] for row in answer["sources"]]
    assert names == ["nws", "met-norway"]
    assert all(row["used"] and row["why"] == "" for row in answer["sources"])
    hours = answer["hours"]
    assert len(hours) == 400
    seen = [row["from"] for row in hours]
    assert list(dict.fromkeys(seen)) == ["forecast", "second forecast", "climatology"]
    at = {name: seen.index(name) for name in dict.fromkeys(seen)}
    assert 165 < at["second forecast"] < 185
    assert 210 < at["climatology"] < 250
    air = np.array([row["air_c"] for row in hours])
    for seam in (at["second forecast"], at["climatology"]):
        assert abs(air[seam] - air[seam - 1]) < 2.0
    assert hours[0]["source"].startswith("National Weather Service")
    assert hours[at["second forecast"]]["source"] == "MET Norway, Locationforecast"
    assert hours[at["second forecast"]]["issued"] == "2027-04-05T05:30:00-05:00"
    assert hours[-1]["source"] == "climatology"
    assert hours[-1]["issued"] is None
    assert answer["attribution"] == ["Data from MET Norway (CC BY 4.0)"]


def test_in_words_with_a_picture_and_thanks(cli: CommandLine, job: Path) -> None:
    told = cli("weather", job)
    assert "National Weather Service, hourly and grid forecast: made Mon 5 Apr 05:04" in told.out
    assert "(26 min ago)" in told.out
    assert "its ground lies 233 ft above the site; [site] lapse = true" in told.out
    assert "Tue 6 Apr" in told.out
    assert "°F" in told.out
    assert any(mark in told.out for mark in "▁▂▃▄▅▆▇█")
    assert "f forecast, 2 second forecast" in told.out
    assert told.out.rstrip().endswith("Data from MET Norway (CC BY 4.0)")


def test_a_terminal_without_blocks(
    cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    real = sys.stdout.encoding
    monkeypatch.setattr(type(sys.stdout), "encoding", property(lambda _: "ascii"), raising=False)
    told = cli("weather", job)
    assert real
    assert "▁" not in told.out
    assert any(mark in told.out for mark in ("_.", "=+", "*#"))


def test_attribution_stands_wherever_the_data_do(cli: CommandLine, tmp_path: Path) -> None:
    job = write(tmp_path, crew={"days": '"wed"', "from": '"9:00"', "to": '"11:00"'})
    told = cli("best-day", job)
    assert "Data from MET Norway (CC BY 4.0)" in told.out
    answer = cli("best-day", job, json=True).json
    assert answer["forecast"]["attribution"] == ["Data from MET Norway (CC BY 4.0)"]
    page = tmp_path / "page.html"
    assert cli("report", job, "-o", page).code == 0
    assert "Data from MET Norway (CC BY 4.0)" in page.read_text(encoding="utf-8")


def test_the_services_are_not_asked_again_too_soon(
    cli: CommandLine, job: Path, server: StandIn
) -> None:
    body = json.dumps(met_norway(FIRST, complete=True)).encode()
    stamps = {
        "Expires": "Mon, 05 Apr 2027 12:30:00 GMT",
        "Last-Modified": "Mon, 05 Apr 2027 10:20:00 GMT",
    }
    server.next(METNO, Reply(body, headers=stamps), Reply(status=304, headers=stamps))
    cli.ask("weather", job)
    first = len(server.asked)
    for now in ("2027-04-05T10:31Z", "2027-04-05T10:55Z"):
        cli.now = now
        cli.ask("weather", job)
    assert len(server.asked) == first
    cli.now = "2027-04-05T12:00Z"
    cli.ask("weather", job)
    assert server.count(HOURLY) == 2, "younger than an hour no longer"
    assert server.count(METNO) == 1, "it does not want to be asked before half past twelve"
    assert sum(path.startswith("/points/") for path, _ in server.asked) == 1
    cli.now = "2027-04-05T12:31Z"
    answer = cli.ask("weather", job)
    assert server.count(METNO) == 2
    assert server.asked[-1][1]["If-Modified-Since"] == stamps["Last-Modified"]
    assert answer["sources"][1]["why"] == ""
    assert answer["sources"][1]["used"]


def test_the_second_serves_where_the_first_fails(
    cli: CommandLine, job: Path, server: StandIn
) -> None:
    server.next("/points", problem("InvalidPoint", 404))
    told = cli("weather", job, json=True)
    assert told.code == 0
    assert "outside the USA" in told.json["note"]
    assert "the forecast of MET Norway is used" in told.json["note"]
    assert {row["from"] for row in told.json["hours"]} == {"forecast"}
    assert told.json["hours"][0]["source"] == "MET Norway, Locationforecast"


def test_the_third_only_by_choice_and_not_without_a_word(
    cli: CommandLine, tmp_path: Path, server: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = write(tmp_path, {"sources": '["nws", "open-meteo"]'})
    answer = cli.ask("weather", job)
    assert [row["service"] for row in answer["sources"]] == ["nws", "open-meteo"]
    assert len(answer["hours"]) > 370
    assert any("non-commercial" in flag for flag in answer["flags"])
    assert any("Open-Meteo.com" in credit for credit in answer["attribution"])
    assert server.count(METNO) == 0
    monkeypatch.setenv("CURECAST_OPEN_METEO_KEY", "s3cret")
    cli.now = "2027-04-05T12:30Z"
    told = cli("weather", job, json=True)
    assert "apikey=s3cret" in server.asked[-1][0]
    assert "s3cret" not in told.out + told.err
    assert not any("non-commercial" in flag for flag in told.json["flags"])


def test_without_a_contact_met_norway_is_not_asked(
    cli: CommandLine, tmp_path: Path, server: StandIn
) -> None:
    site = {"contact": None}
    answer = cli.ask("weather", write(tmp_path, site))  # type: ignore[arg-type]
    assert server.count(METNO) == 0
    assert "who asks" in answer["sources"][1]["why"]
    assert answer["note"] == ""


def test_outside_the_usa_only_the_world_s_service_is_asked(
    cli: CommandLine, tmp_path: Path, server: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("CURECAST_NWS_URL")
    job = write(tmp_path, {"place": '"47.27, 11.39"'})
    answer = cli.ask("weather", job)
    assert [row["service"] for row in answer["sources"]] == ["met-norway"]
    assert all(path.startswith("/metno/") for path, _ in server.asked)


def test_the_world_outside_is_not_asked_beside_a_stand_in(
    cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("CURECAST_METNO_URL")
    answer = cli.ask("weather", job)
    assert [row["service"] for row in answer["sources"]] == ["nws"]


def test_height_is_shown_and_corrected_where_that_is_asked(
    cli: CommandLine, job: Path, tmp_path: Path
) -> None:
    plain = cli.ask("weather", job, "--hours", "48")
    assert plain["sources"][0]["above_site_m"] == pytest.approx(71.0)
    lapse = cli.ask("weather", write(tmp_path, {"lapse": "true"}), "--hours", "48")
    for one, other in zip(plain["hours"], lapse["hours"], strict=True):
        assert other["air_c"] - one["air_c"] == pytest.approx(0.0065 * 71.0)
    assert any("air corrected by +0.5 K" in flag for flag in lapse["flags"])


def test_normals_carry_on_after_the_forecast(cli: CommandLine, tmp_path: Path) -> None:
    months = ", ".join(['"-20 C"'] * 12)
    job = write(tmp_path, climate={"normals": f"[{months}]"})
    answer = cli.ask("weather", job, "--hours", "1000")
    assert np.mean([row["air_c"] for row in answer["hours"][-240:]]) == pytest.approx(-20, abs=0.7)


def test_warnings_are_told_until_they_are_over(
    cli: CommandLine, job: Path, server: StandIn
) -> None:
    frost = {"event": "Freeze Warning", "ends": "2027-04-06T04:00:00-05:00", "status": "Actual"}
    server.answer(ALERTS, {"features": [{"properties": frost}]})
    told = cli("weather", job, json=True)
    assert told.json["notices"] == [
        {"event": "Freeze Warning", "from": None, "until": "2027-04-06T04:00:00-05:00"}
    ]
    words = "Freeze Warning in force until Tue 6 Apr 04:00 CDT (National Weather Service)"
    assert words in told.json["note"]
    assert f"warning: {words}" in told.err
    server.next(ALERTS, *[problem("UnexpectedProblem", 500)] * 9)
    cli.now = "2027-04-05T12:30Z"
    assert words in cli.ask("weather", job)["note"], "what is known is kept"
    cli.now = "2027-04-06T09:59Z"
    server.answer(ALERTS, {"features": []})
    assert cli.ask("weather", job)["notices"] == []


def report(hour: float, air_c: float | None, raw: str = "") -> dict[str, Any]:
    given = {"unitCode": "wmoUnit:degC", "value": air_c, "qualityControl": "V"}
    return {"properties": {"timestamp": label(hour), "temperature": given, "rawMessage": raw}}


def test_a_poured_slab_s_gap_is_filled_from_the_stations(
    cli: CommandLine, job: Path, server: StandIn, tmp_path: Path
) -> None:
    server.answer(STATIONS, {"features": [{"properties": {"stationIdentifier": "KXYZ"}}]})
    features = [report(FIRST - 60 + i, 1.0) for i in range(61)]
    features[3] = report(FIRST - 57, None, "KXYZ 030100Z 10SM M01/M03 A30 RMK AO2 T10101028")
    server.answer(REPORTS, {"features": features[::-1]})
    assert cli("pour", job, "--start", "2027-04-04T10:00-05:00").code == 0
    answer = cli.ask("weather", "winch-bed")
    hours = answer["hours"]
    assert [row["from"] for row in hours[:61]] == ["observed"] * 61
    assert [row["air_c"] for row in hours[:5]] == [1.0, 1.0, 1.0, -1.0, 1.0]
    assert hours[0]["source"] == "KXYZ (measured)"
    assert hours[61]["from"] == "forecast"
    assert abs(hours[61]["air_c"] - 1.0) < 1.5, "the forecast meets what was measured"
    asked = server.count(REPORTS)
    assert asked == 1
    cli.ask("weather", "winch-bed")
    assert server.count(REPORTS) == asked, "asked again only when an hour is missing"
    with open_store(home=tmp_path / "curecast-home") as store, store.read() as connection:
        kept = connection.exec_driver_sql("SELECT count(*) FROM observation").scalar()
    assert kept == 61


def test_a_saved_forecast_is_shown_as_such(
    cli: CommandLine, job: Path, tmp_path: Path, server: StandIn
) -> None:
    saved = tmp_path / "met.json"
    saved.write_text(json.dumps(met_norway(FIRST)), encoding="utf-8")
    answer = cli.ask("weather", job, "--forecast", saved)
    assert [row["service"] for row in answer["sources"]] == ["own"]
    assert answer["hours"][0]["source"] == "MET Norway, Locationforecast"
    assert server.asked == []
    saved.write_text(json.dumps(open_meteo(FIRST)), encoding="utf-8")
    assert len(cli.ask("weather", job, "--forecast", saved)["hours"]) == 384


def test_a_job_without_a_place(cli: CommandLine, tmp_path: Path) -> None:
    told = cli("weather", write(tmp_path, {"place": '"unknown"'}))
    assert (told.code, "does not say where the slab lies" in told.err) == (69, True)


@pytest.mark.parametrize("said", ["soon", "0", "600", "nan"])
def test_a_wait_that_is_none(
    cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch, said: str
) -> None:
    monkeypatch.setenv("CURECAST_WAIT_S", said)
    told = cli("weather", job)
    assert (told.code, "CURECAST_WAIT_S" in told.err) == (65, True)


def test_an_archive_is_asked_once_for_the_months_where_its_service_is_named(
    cli: CommandLine, tmp_path: Path, server: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CURECAST_OPEN_METEO_ARCHIVE_URL", server.url + "/archive")
    days = [f"{year}-{month:02}-{day:02}" for year in range(2017, 2027)
            for month in range(1, 13) for day in range(1, 29)]  # fmt: skip
    past = {
        "daily_units": {"temperature_2m_mean": "°C"},
        "daily": {"time": days, "temperature_2m_mean": [-15.0] * len(days)},
    }
    server.answer("/archive/v1/archive", past)
    job = write(tmp_path, {"sources": '["nws", "open-meteo"]'})
    for now in ("2027-04-05T10:30Z", "2027-04-05T12:30Z"):
        cli.now = now
        hours = cli.ask("weather", job, "--hours", "1200")["hours"]
        assert np.mean([row["air_c"] for row in hours[-240:]]) == pytest.approx(-15, abs=0.7)
    assert server.count("/archive/v1/archive") == 1
    asked = next(path for path, _ in server.asked if path.startswith("/archive/"))
    assert "start_date=2017-01-01&end_date=2026-12-31" in asked
    cli.ask("weather", write(tmp_path))
    assert server.count("/archive/v1/archive") == 1, "only where the service is named"


def test_a_folder_that_cannot_be_made_keeps_nobody_from_an_answer(
    cli: CommandLine, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path / "file" / "folder"))
    told = cli("weather", job, json=True)
    assert told.code == 0
    assert "what is fetched cannot be kept" in told.err
    assert len(told.json["hours"]) > 160
