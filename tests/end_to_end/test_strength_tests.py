"""Strength tests: one that fails bars until a later one; several re-fit the curve; and the end."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv, write_logger

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
IDA = ("--by", "Ida Brandt")


def hour(number: float) -> str:
    return (POURED + timedelta(hours=number)).isoformat()


@pytest.fixture
def a_month(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> CommandLine:
    """A month of mild weather with two readings a day."""
    forecast = write_csv(tmp_path / "mild.csv", POURED - timedelta(days=2), 24 * 40, daily(13.0))
    cli.now = hour(2.1)
    cli.ask("pour", job_file(), "--start", POURED.isoformat(), "--forecast", forecast)
    cli.now = hour(24 * 30)
    first, last = POURED + timedelta(hours=6), POURED + timedelta(days=30)
    cli.ask("log", "--csv", write_logger(tmp_path / "slab.csv", first, last, daily(13.5, 2.0)))
    return cli


def test_a_failed_test_bars_until_a_later_one(a_month: CommandLine) -> None:
    assert a_month.hold("winch-bed", "drill")["state"] == "released"
    a_month.ask("test", "winch-bed", "--strength", "11 MPa", *IDA)
    hold = a_month.hold("winch-bed", "drill")
    assert hold["state"] == "barred"
    assert "11.0 MPa" in hold["why"]
    refused = a_month("release", "winch-bed", "drill", *IDA, "--reason", "looks sound")
    assert refused.code == 65
    assert "strength test" in refused.err
    a_month.now = hour(24 * 31)
    a_month.ask("test", "winch-bed", "--strength", "24 MPa", *IDA)
    assert a_month.hold("winch-bed", "drill")["state"] == "released"
    moves = [
        (e["numbers"]["from"], e["numbers"]["to"])
        for e in a_month.ask("history", "winch-bed")["entries"]
        if e["what"] == "hold" and e["numbers"]["hold"] == "drill"
    ]
    assert moves[-2:] == [("released", "barred"), ("barred", "released")]


def test_three_tests_shrink_the_doubt_and_are_shown(a_month: CommandLine) -> None:
    assert a_month.ask("holds", "winch-bed")["fit"] is None
    for mpa in (29.0, 30.0, 31.0):
        a_month.ask("test", "winch-bed", "--strength", f"{mpa} MPa", "--kind", "lab-cylinder", *IDA)
    answer = a_month.ask("holds", "winch-bed")
    assert answer["fit"]["doubt"] < 0.15
    assert answer["fit"]["tolerance_factor"] == pytest.approx(4.2582, abs=1e-4)
    assert len(answer["fit"]["tests"]) == 3
    assert any(note.startswith("tests: 28-day strength fitted") for note in answer["notes"])
    # A warm laboratory's cylinder says what the mix is worth, not what the slab has.
    torque = next(h for h in answer["holds"] if h["name"] == "full-torque")
    assert torque["evidence"]["kind"] != "strength test"


def test_nothing_is_added_to_a_closed_job(a_month: CommandLine) -> None:
    a_month.ask("close", "winch-bed", *IDA, "--reason", "handed over")
    assert a_month("log", "winch-bed", "50F").code == 65
    assert a_month("test", "winch-bed", "--strength", "24 MPa", *IDA).code == 65
    assert a_month("release", "winch-bed", "drill", *IDA, "--reason", "why not").code == 65
    assert a_month("pour", "winch-bed", "--start", POURED.isoformat()).code == 65
    assert "closed" in a_month("history", "winch-bed").out
    assert a_month.ask("close", "winch-bed")["closed_at"]
