"""What if: dates move with the covers, the shock rule speaks, and nothing is put on record."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)


@pytest.fixture
def covered(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> CommandLine:
    """Placed in cool weather, a blanket since the evening; the next morning."""
    forecast = write_csv(tmp_path / "cool.csv", POURED - timedelta(days=2), 288, daily(7.0))
    cli.now = (POURED + timedelta(hours=2.1)).isoformat()
    cli.ask("pour", job_file(), "--start", POURED.isoformat(), "--forecast", forecast)
    cli.now = (POURED + timedelta(hours=24)).isoformat()
    cli.ask("log", "blanket on", "--at", (POURED + timedelta(hours=6)).isoformat())
    cli.ask("log", "55F")
    return cli


def later_h(answer: dict[str, Any]) -> dict[str, float]:
    return {h["name"]: h["later_h"] for h in answer["holds"]}


def test_the_blanket_off_too_soon(covered: CommandLine) -> None:
    before = covered("history", "winch-bed", json=True).json["entries"]
    answer = covered.ask("holds", "winch-bed", "--if", "blanket off now", code=1)
    assert answer["uncovering"]["asked"]
    assert not answer["uncovering"]["may_come_off"]
    assert any("protection is not over" in why for why in answer["uncovering"]["against"])
    moved = later_h(answer)
    assert all(hours >= 0.0 for hours in moved.values())
    assert moved["light-load"] > 24.0
    after = covered("history", "winch-bed", json=True).json["entries"]
    assert [e["id"] for e in after if e["what"] == "cover"] == [
        e["id"] for e in before if e["what"] == "cover"
    ]


def test_heat_brings_dates_forward_and_asks_no_uncovering(covered: CommandLine) -> None:
    answer = covered.ask("holds", "winch-bed", "--if", "heat to 15C")
    assert not answer["uncovering"]["asked"]
    moved = later_h(answer)
    assert moved["light-load"] < -24.0
    assert moved["drill"] < -24.0
    assert covered("holds", "winch-bed", "--if", "45F").code == 65


def test_a_plan_of_evidence_says_what_each_way_saves(covered: CommandLine) -> None:
    plan = {w["title"]: w for w in covered.ask("holds", "winch-bed", "--plan")["plan"]}
    assert plan["A paid test"]["saves_d"]["full-torque"] > 5.0
    cast = " ".join(plan["Cylinders or a spare pad"]["steps"])
    assert "from bag 9 and from bag 18 of 27" in cast


def test_a_plan_before_the_pour_says_what_to_cast(
    cli: CommandLine, job_file: Callable[..., Path]
) -> None:
    cli.now = POURED.isoformat()
    plan = cli.ask("holds", job_file(), "--plan")["plan"]
    assert [w["title"] for w in plan] == ["Cylinders or a spare pad"]
