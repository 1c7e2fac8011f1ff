"""A named person's word on a hold: when it is taken, when it is refused, what ends it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
IDA = ("--by", "Ida Brandt", "--reason", "seen and sounded")


def hour(number: float) -> str:
    return (POURED + timedelta(hours=number)).isoformat()


@pytest.fixture
def cool(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> CommandLine:
    """Placed in cool weather that stays above freezing; 27 h on, nothing logged."""
    forecast = write_csv(tmp_path / "cool.csv", POURED - timedelta(days=2), 288, daily(7.0))
    cli.now = hour(2.1)
    cli.ask("pour", job_file(), "--start", POURED.isoformat(), "--forecast", forecast)
    cli.now = hour(27)
    return cli


def test_signed_withdrawn_and_released_again_on_newer_evidence(cool: CommandLine) -> None:
    told = cool.ask("release", "winch-bed", "walk", *IDA)
    assert (told["from"], told["state"]) == ("unproven", "signed-off")
    assert "signed off" in cool("holds", "winch-bed", "walk").out
    cool.now = hour(27.5)
    assert cool.ask("withdraw", "winch-bed", "walk", *IDA)["state"] == "withdrawn"
    assert cool.hold("winch-bed", "walk")["state"] == "withdrawn"
    cool.now = hour(28)
    cool.ask("log", "50F")
    assert cool.hold("winch-bed", "walk")["state"] == "released"


def test_evidence_older_than_a_withdrawal_does_not_undo_it(cool: CommandLine) -> None:
    cool.ask("withdraw", "winch-bed", "walk", *IDA)
    cool.now = hour(28)
    cool.ask("log", "50F", "--at", hour(26))
    assert cool.hold("winch-bed", "walk")["state"] == "withdrawn"


@pytest.mark.parametrize("hold", ["full-torque", "service-load"])
def test_no_word_stands_for_a_test(cool: CommandLine, hold: str) -> None:
    told = cool("release", "winch-bed", hold, *IDA)
    assert told.code == 65
    assert "strength test" in told.err


def test_a_decision_needs_a_name_a_reason_and_a_hold(cool: CommandLine) -> None:
    assert cool("release", "winch-bed", "walk", "--by", "Ida").code == 2
    assert cool("withdraw", "winch-bed", *IDA).code == 2
    assert cool("release", "winch-bed", "dance", *IDA).code == 2
