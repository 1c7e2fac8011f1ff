"""Torque anchor by anchor: never a permission by itself, complete only when all are full."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
GEAR = {"anchors": 4, "torque": '"50 ft-lb"', "anchor_size": '"1/2 in"'}


@pytest.fixture
def slab(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> CommandLine:
    """Poured, and a few days old: nothing may be torqued yet."""
    air = write_csv(tmp_path / "air.csv", POURED - timedelta(days=2), 288, daily(7.0))
    cli.now = (POURED + timedelta(hours=3)).isoformat()
    cli.ask("pour", job_file(equipment=GEAR), "--start", POURED.isoformat(), "--forecast", air)
    cli.now = (POURED + timedelta(days=4)).isoformat()
    return cli


def test_an_early_torque_is_logged_and_is_no_permission(slab: CommandLine) -> None:
    told = slab("torque", "winch-bed", "--anchor", 1, "--at", "50 ft-lb", json=True)
    assert told.code == 1
    assert "full-torque is not released" in told.err
    assert told.json["logged"]["anchor"] == 1
    assert told.json["full_torque"] != "released"
    hold = slab.hold("winch-bed", "service-load")
    assert hold["state"] not in ("released", "signed-off")
    assert "full-torque, then the torque logged" in hold["needs"]


def test_order_rounds_and_first_loads_are_told(slab: CommandLine) -> None:
    told = slab.ask("torque", "winch-bed")
    assert told["order"] == [1, 3, 2, 4]
    assert [r["name"] for r in told["rounds"]] == ["snug", "half way", "full"]
    said = slab("torque", "winch-bed").out
    assert "handle" in said
    assert any("empty cycle" in step for step in told["first_loads"])
    assert any("nobody beneath" in step for step in told["first_loads"])


def test_the_tag(slab: CommandLine, tmp_path: Path) -> None:
    slab.ask("torque", "winch-bed", "--tag", tmp_path / "tag.html")
    text = (tmp_path / "tag.html").read_text(encoding="utf-8")
    for word in ("DO NOT TORQUE", "DO NOT LOAD", "Who decides", "winch-bed"):
        assert word in text


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--anchor", 5, "--at", "50 ft-lb"), 65),
        (("--anchor", 0, "--at", "50 ft-lb"), 65),
        (("--anchor", 1, "--at", "0 ft-lb"), 65),
        (("--anchor", 1, "--at", "soon"), 65),
        (("--anchor", 1, "--at", "50 ft-lb", "--when", "2027-04-01 8:00"), 65),
        (("--anchor", 1, "--at", "50 ft-lb", "--round", 0), 65),
        (("--anchor", 1), 2),
    ],
)
def test_what_cannot_be(slab: CommandLine, words: tuple, code: int) -> None:
    assert slab("torque", "winch-bed", *words).code == code
