"""The first hour of a stranger: no time is taken for another, and what was meant is said."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from curecast.cli.asked import answering
from curecast.job.reader import read_job
from tests.fixtures.command_line import CommandLine, daily, write_csv

NOW = datetime(2027, 4, 5, 13, tzinfo=UTC)
JobFile = Callable[..., Path]


@pytest.fixture
def zoneless(cli: CommandLine, job_file: JobFile, tmp_path: Path) -> tuple[CommandLine, Path, Path]:
    """A job whose zone nobody knows, and weather that names none."""
    cli.now = NOW.isoformat()
    air = write_csv(tmp_path / "air.csv", NOW - timedelta(days=1), 240, daily(9.0))
    return cli, job_file(site={"zone": None}), air


def test_a_local_time_without_a_zone_is_refused(zoneless: tuple[CommandLine, Path, Path]) -> None:
    cli, job, air = zoneless
    for words in (
        ("pour", job, "--start", "8:10", "--forecast", air),
        ("choose", job, "--start", "tue 9:00", "--forecast", air),
        ("crew", job, "--start", "tue 9:00", "--forecast", air),
        ("trace", job, "--start", "2027-04-05 09:00", "--forecast", air),
    ):
        told = cli(*words)
        assert told.code == 65, words
        assert "names no time zone" in told.err
        assert "zone =" in told.err


def test_what_says_its_zone_is_taken_and_utc_is_warned_of(
    zoneless: tuple[CommandLine, Path, Path], tmp_path: Path
) -> None:
    cli, job, air = zoneless
    told = cli("pour", job, "--start", "12:10 UTC", "--forecast", air)
    assert told.code == 0
    assert told.err.count("all times are UTC") == 1
    assert "Mon 5 Apr 12:10 UTC" in told.out
    assert cli("log", "winch-bed", "52F 8:50").code == 65
    told = cli("log", "winch-bed", "52F")
    assert (told.code, told.err.count("all times are UTC")) == (0, 1)
    path = tmp_path / "logger.csv"
    path.write_text("time,surface temp_c\n2027-04-05 12:30,11.0\n", encoding="utf-8")
    told = cli("log", "winch-bed", "--csv", path)
    assert (told.code, "--clock" in told.err) == (65, True)
    assert cli("log", "winch-bed", "--csv", path, "--clock", "UTC").code == 0


@pytest.mark.parametrize(
    ("said", "command"),
    [
        ("tell me when full torque is safe", "curecast holds JOB full-torque"),
        ("may I walk on it?", "curecast holds JOB walk"),
        ("when can I take the forms off", "curecast holds JOB strip"),
        ("which day this week?", "curecast best-day JOB"),
        ("how many bags do I buy", "curecast check JOB"),
        ("crane-base", None),
    ],
)
def test_a_question_gets_its_command(said: str, command: str | None) -> None:
    assert answering(said) == command


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (("tell", "me", "when", "full", "torque", "is", "safe"), "curecast holds JOB full-torque"),
        (("which day this week?",), "curecast best-day JOB"),
        (("holds", "tell me when full torque is safe"), "curecast holds JOB full-torque"),
        (("best-day", "which day this week?"), "curecast best-day JOB"),
        (("holds", "winch-bed", "full-torqe"), "did you mean full-torque?"),
        (("holds", "winch-bde"), "did you mean winch-bed?"),
        (("holds", "ful-torque"), "the hold full-torque"),
        (("hols",), "holds"),
    ],
)
def test_what_was_meant_is_said(
    cli: CommandLine, job_file: JobFile, tmp_path: Path, words: tuple[str, ...], meant: str
) -> None:
    air = write_csv(tmp_path / "air.csv", NOW - timedelta(days=1), 240, daily(9.0))
    cli.now = NOW.isoformat()
    cli("choose", job_file(), "--start", "tue 9:00", "--forecast", air)
    told = cli(*words, clock=words[0] in ("holds", "best-day"))
    assert told.code in (2, 65)
    assert meant in told.err


def test_a_hold_without_its_hyphen(cli: CommandLine, job_file: JobFile) -> None:
    cli.now = NOW.isoformat()
    told = cli("holds", job_file(), "full", "torque")
    assert (told.code, "not poured" in told.out) == (1, True)


ANSWERS = ("us", "44.10, -69.11", "", "shed", "8", "8 ft", "8 ft", "", "bag", "4000 psi", "80 lb",
           "1", "none", "2", "8-17", "none", "yard@example.org")  # fmt: skip


def test_new_asks_for_the_zone_and_offers_this_computer_s(
    cli: CommandLine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("curecast.clock.own_zone", lambda: "America/New_York")
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(ANSWERS) + "\n"))
    told = cli("new", "pad.toml", clock=False)
    assert told.code == 0
    assert "[America/New_York, as this computer is set]" in told.err
    assert "8 could be" in told.err
    assert "for instance 8 ft" in told.err
    assert "2.4 m" not in told.err
    assert "Times are read and shown in America/New_York." in told.out
    assert "put in: thickness" in told.out
    job = read_job(tmp_path / "pad.toml")
    assert job.site.contact == "yard@example.org"
    assert (job.site.zone, job.crew.from_h, job.slab.length_m) == (
        "America/New_York",
        8.0,
        pytest.approx(2.4384),
    )


def test_a_zone_far_from_the_place_is_not_offered(
    cli: CommandLine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("curecast.clock.own_zone", lambda: "Europe/Berlin")
    answers = (*ANSWERS[:2], "Europe/Berlin", "America/New_York", *ANSWERS[3:])
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers) + "\n"))
    told = cli("new", "pad.toml", clock=False)
    assert "as this computer is set" not in told.err
    assert "hours off the sun" in told.err
    assert "Times are read and shown in America/New_York." in told.out


def test_covers_lap_twelve_inches(cli: CommandLine, job_file: JobFile, tmp_path: Path) -> None:
    air = write_csv(tmp_path / "air.csv", NOW - timedelta(days=1), 240, daily(4.0, 5.0))
    cli.now = NOW.isoformat()
    said = cli("best-day", job_file(), "--forecast", air).out + cli("check", job_file()).out
    assert "12 in over the edges" in said
    assert "11.8" not in said
    assert "eccentric" in said
    assert "bending and cracking of the slab" in said
