"""Recorded answers of the services, where CURECAST_RECORDED holds them, through the commands."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.sources.instants import hour_text, parse_instant_h, parse_interval_h
from curecast.sources.nws_walk import get_point
from tests.fixtures.command_line import CommandLine, job_text
from tests.fixtures.nws_server import CELL, StandIn

FOLDER = Path(os.environ.get("CURECAST_RECORDED") or "no-folder-of-recorded-payloads")
HOURLY, GRID = f"{CELL}/forecast/hourly", CELL

pytestmark = [
    pytest.mark.recorded,
    pytest.mark.skipif(not FOLDER.is_dir(), reason="CURECAST_RECORDED names no folder"),
]


def recorded(kind: str) -> list[Any]:
    return [pytest.param(path, id=path.name) for path in sorted((FOLDER / kind).glob("*"))]


def properties(path: Path) -> dict[str, Any]:
    value: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))["properties"]
    return value


@pytest.fixture
def cli(
    nws_server: StandIn, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> CommandLine:
    monkeypatch.setenv("CURECAST_NWS_URL", nws_server.url)

    def read() -> tuple[str, str]:
        told = capsys.readouterr()
        return told.out, told.err

    return CommandLine(read, "")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "winch-bed.toml"
    crew = {"days": '"mon-sun"', "from": '"9:00"', "to": '"10:00"'}
    path.write_text(job_text(crew=crew), encoding="utf-8")
    return path


def now_of(found: dict[str, Any]) -> str:
    at_h = parse_instant_h(found.get("generatedAt") or found["updateTime"])
    return hour_text(at_h + 0.1).replace(" UTC", "Z").replace(" ", "T")


@pytest.mark.parametrize("path", recorded("hourly"))
def test_every_hour_as_it_was_recorded(
    cli: CommandLine, job: Path, nws_server: StandIn, path: Path
) -> None:
    nws_server.serve("hourly", path)
    nws_server.files.pop(GRID)
    grid = FOLDER / "grid" / path.name
    if grid.is_file():
        nws_server.serve("grid", grid)
    found = properties(path)
    cli.now = now_of(found)
    answer = cli.ask("weather", job)
    given = {
        parse_instant_h(period["startTime"]): (period["temperature"] - 32) / 1.8
        for period in found["periods"]
    }
    told = {parse_instant_h(row["time"]): row["air_c"] for row in answer["hours"]}
    shared = sorted(set(given) & set(told))
    assert len(shared) >= 150
    np.testing.assert_allclose(
        [told[hour] for hour in shared], [given[hour] for hour in shared], atol=1e-6
    )
    week = cli("best-day", job, json=True)
    assert week.code in (0, 1), week.err
    assert len(week.json["starts"]) >= 6


@pytest.mark.parametrize("path", recorded("grid"))
def test_the_grid_alone(cli: CommandLine, job: Path, nws_server: StandIn, path: Path) -> None:
    nws_server.files.pop(HOURLY)
    nws_server.serve("grid", path)
    found = properties(path)
    cli.now = now_of(found)
    answer = cli.ask("weather", job)
    ends = [parse_interval_h(item["validTime"])[1] for item in found["temperature"]["values"]]
    assert parse_instant_h(answer["hours"][-1]["time"]) == max(ends) - 1
    assert any("without the hourly forecast" in flag for flag in answer["flags"])


@pytest.mark.parametrize("path", recorded("hostile"))
def test_doctored_temperatures_are_not_weather(
    cli: CommandLine, job: Path, nws_server: StandIn, path: Path
) -> None:
    for where in (HOURLY, GRID):
        nws_server.files[where] = path.read_bytes()
    found = properties(path)
    cli.now = now_of(found)
    told = cli("weather", job)
    assert told.code == 65
    assert told.err.startswith("error: no forecast: ")


@pytest.mark.parametrize("path", recorded("points"))
def test_every_shape_of_a_point(nws_server: StandIn, path: Path) -> None:
    from curecast.sources.http import Caller

    nws_server.files["/points"] = path.read_bytes()
    with Caller(nws_server.url, None) as caller:
        point = get_point(caller, 44.1, -69.11)
    assert point.hourly_url
    assert point.grid_url
    assert point.zone
