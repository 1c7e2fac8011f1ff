"""Recorded payloads of the service: each gives a week, or a clear refusal where it is damaged.

They are not part of the project; without the folder CURECAST_RECORDED these are skipped.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.fixtures.command_line import CommandLine

FOLDER = Path(os.environ.get("CURECAST_RECORDED") or "no-folder-of-recorded-payloads")
REFUSED = ("hostile", "points", "observations", "errors")
JobFile = Callable[..., Path]

pytestmark = [
    pytest.mark.recorded,
    pytest.mark.skipif(not FOLDER.is_dir(), reason="CURECAST_RECORDED names no folder"),
]


def recorded(*kinds: str) -> list[Any]:
    paths = [path for kind in kinds for path in sorted((FOLDER / kind).glob("*"))]
    return [pytest.param(path, id=f"{path.parent.name}-{path.name}") for path in paths]


@pytest.mark.parametrize("path", recorded("hourly", "grid"))
def test_a_recorded_week(cli: CommandLine, job_file: JobFile, path: Path) -> None:
    job = job_file(site={"exposure": '"open"'}, ground={"temperature": '"unknown"'})
    cli.now = ""
    told = cli("best-day", job, "--forecast", path, json=True)
    answer = told.json
    assert told.code == (1 if answer["best"] is None else 0)
    days = Counter(datetime.fromisoformat(s["start"]).date() for s in answer["starts"])
    assert len(days) >= 7
    whole = sorted(days)[1:-1]
    assert {days[day] for day in whole} == {10}
    for start in answer["starts"]:
        assert start["rules"]
        assert all(rule["why"] for rule in start["rules"])
        assert all(dates["count_on"] for dates in start["holds"].values())
    if "subfreezing" in path.name:
        assert "pour" not in {start["verdict"] for start in answer["starts"]}


@pytest.mark.parametrize("path", recorded(*REFUSED))
def test_what_is_no_forecast(cli: CommandLine, job_file: JobFile, path: Path) -> None:
    cli.now = ""
    told = cli("best-day", job_file(), "--forecast", path)
    assert told.code == 65
    assert told.out == ""
    assert told.err.startswith("error: ")
