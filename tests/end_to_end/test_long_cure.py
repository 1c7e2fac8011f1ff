"""A slab from the pour to full torque: released on evidence, and on nothing else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv, write_logger

POURED = datetime(2027, 10, 4, 13, tzinfo=UTC)
SWING = 2.0
JobFile = Callable[..., Path]


def day(number: float) -> str:
    return (POURED + timedelta(days=number)).isoformat()


def face_c(at: datetime) -> float:
    """The slab's face: warm from its own heat for two days, then as the air of the shed."""
    age_h = (at - POURED).total_seconds() / 3600.0
    return daily(10.0, 1.0)(at) + max(0.0, 6.0 - abs(age_h - 18.0) / 6.0)


@pytest.fixture
def steady(tmp_path: Path) -> Path:
    """Sixty days of air at a steady mean of 10 °C."""
    start = POURED - timedelta(days=2)
    return write_csv(tmp_path / "steady.csv", start, 24 * 62, daily(10.0, SWING))


@pytest.fixture
def poured(cli: CommandLine, job_file: JobFile, steady: Path) -> CommandLine:
    """The job of 150 mm and 4000 psi, placed on Monday morning."""
    job = job_file()
    cli.now = day(-1)
    cli.ask("choose", job, "--start", POURED.isoformat(), "--forecast", steady)
    cli.now = day(0.15)
    cli.ask("pour", job, "--start", POURED.isoformat(), "--forecast", steady)
    return cli


def read_until(cli: CommandLine, tmp_path: Path, days: float) -> dict[str, Any]:
    """Two readings a day up to now, logged at once from a file."""
    first = POURED + timedelta(hours=9)
    path = write_logger(tmp_path / "face.csv", first, POURED + timedelta(days=days), face_c)
    return cli.ask("log", "winch-bed", "--csv", path)


def test_full_torque_between_three_and_seven_weeks(
    poured: CommandLine, tmp_path: Path, steady: Path
) -> None:
    """150 mm, 4000 psi bags, steady 10 °C mean, 3000 psi asked, two readings a day."""
    cli = poured
    released = []
    for number in (20, 27, 44):
        cli.now = day(number)
        read_until(cli, tmp_path, float(number))
        hold = cli.hold("winch-bed", "full-torque", "--forecast", steady)
        if hold["state"] == "released":
            released.append(number)
            break
        assert hold["state"] in ("projected", "unproven")
        assert hold["needs"]
    assert released, "not released within 50 days"
    assert 21 <= released[0] <= 50
    snug = cli.hold("winch-bed", "snug")
    assert snug["state"] == "released"


def test_what_would_bring_it_forward_and_by_how_much(
    poured: CommandLine, tmp_path: Path, steady: Path
) -> None:
    cli = poured
    cli.now = day(7)
    read_until(cli, tmp_path, 7.0)
    hold = cli.hold("winch-bed", "full-torque", "--forecast", steady)
    assert any("sooner" in way and "day" in way for way in hold["sooner"])
    assert any("strength test" in way for way in hold["sooner"])
    assert any("20 °C" in way for way in hold["sooner"])
    told = cli("holds", "winch-bed", "full-torque")
    for way in hold["sooner"]:
        assert way in told.out


def test_never_on_a_forecast_alone(poured: CommandLine, steady: Path) -> None:
    cli = poured
    for number in (59, 110):
        cli.now = day(number)
        answer = cli.ask("holds", "winch-bed", "--forecast", steady)
        states = {h["name"]: h for h in answer["holds"]}
        asked = [h for h in states.values() if h["evidence"]["kind"] != "none"]
        assert asked == []
        for name in ("walk", "light-load", "drill", "snug", "full-torque", "service-load"):
            assert states[name]["state"] in ("projected", "unproven"), name
    assert states["full-torque"]["state"] == "unproven"
    assert any("reading" in need for need in states["full-torque"]["needs"])


def test_readings_that_stop_release_nothing(
    poured: CommandLine, tmp_path: Path, steady: Path
) -> None:
    """Readings of the first week vouch for the first week."""
    cli = poured
    cli.now = day(7)
    read_until(cli, tmp_path, 7.0)
    cli.now = day(59)
    hold = cli.hold("winch-bed", "full-torque", "--forecast", steady)
    assert hold["state"] == "unproven"
    assert hold["evidence"]["fraction"] < 0.8
    assert hold["evidence"]["longest_gap_h"] > 40 * 24


def test_an_edit_of_the_job_file_releases_nothing(
    poured: CommandLine, tmp_path: Path, steady: Path, job_file: JobFile
) -> None:
    cli = poured
    cli.now = day(20)
    read_until(cli, tmp_path, 20.0)
    before = cli.hold("winch-bed", "full-torque", "--forecast", steady)
    edited = job_file(equipment={"strength": '"1000 psi"', "cure": '"7 d"'})
    hold = cli.hold(str(edited), "full-torque", "--forecast", steady)
    assert hold["state"] == before["state"] == "projected"
    assert hold["strength_mpa"] == pytest.approx(3000 * 0.00689476, rel=1e-3)
    note = cli("holds", edited).out
    assert "edited after the pour and is not used" in note
    assert '+ strength = "1000 psi"' in note
    edited.unlink()
    assert cli.hold(str(edited), "full-torque")["state"] == "projected"


def test_an_amendment_is_named_reasoned_and_reported_for_good(
    poured: CommandLine, tmp_path: Path, steady: Path, job_file: JobFile
) -> None:
    cli = poured
    cli.now = day(20)
    read_until(cli, tmp_path, 20.0)
    new = job_file("new.toml", equipment={"strength": '"1500 psi"', "cure": '"7 d"'})
    assert cli("amend", "winch-bed", new, "--by", "Ida Brandt").code == 2
    told = cli.ask(
        "amend", "winch-bed", new, "--by", "Ida Brandt", "--reason", "a letter", "--forecast",
        steady,
    )  # fmt: skip
    assert "full-torque" in told["amended"]["earlier_d"]
    hold = cli.hold("winch-bed", "full-torque")
    assert hold["state"] == "released"
    assert [a["by"] for a in hold["amended"]] == ["Ida Brandt"]
    cli.now = day(45)
    lines = cli("holds", "winch-bed", "full-torque").out
    assert "amended Sun 24 Oct by Ida Brandt" in lines
    assert "a letter" in lines
    again = cli("amend", "winch-bed", new, "--by", "Ida Brandt", "--reason", "again")
    assert again.code == 65


def test_a_forecast_of_a_week_renewed_every_week(
    cli: CommandLine, job_file: JobFile, tmp_path: Path
) -> None:
    """What is ahead changes with each issue; what has been measured stays."""
    job = job_file()

    def issue(number: int) -> Path:
        start = POURED + timedelta(days=number - 1)
        return write_csv(tmp_path / f"week-{number}.csv", start, 24 * 8, daily(10.0, SWING))

    cli.now = day(0.15)
    cli.ask("pour", job, "--start", POURED.isoformat(), "--forecast", issue(0))
    states = {}
    for number in (7, 14, 21, 28, 35, 42, 49):
        cli.now = day(number)
        read_until(cli, tmp_path, float(number))
        forecast = issue(number)
        if number in (14, 28):  # the watch takes it in, as it does every hour
            cli.ask("watch", "--once", "--forecast", forecast)
            continue
        hold = cli.hold("winch-bed", "full-torque", "--forecast", forecast)
        states[number] = hold["state"]
    first = min(number for number, state in states.items() if state == "released")
    assert 21 <= first <= 50
    assert all(states[number] == "projected" for number in states if number < first)
