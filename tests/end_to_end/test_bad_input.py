"""What people get wrong: one sentence and what to do, the right exit code, never a traceback."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
NOON = "2027-04-05T12:00-04:00"
JobFile = Callable[..., Path]


@pytest.fixture
def forecast(tmp_path: Path) -> Path:
    start = POURED - timedelta(days=2)
    return write_csv(tmp_path / "cool.csv", start, 24 * 9, daily(7.0))


@pytest.fixture
def poured(cli: CommandLine, job_file: JobFile, forecast: Path) -> CommandLine:
    cli.now = NOON
    cli.ask("pour", job_file(), "--start", "2027-04-05 09:00", "--forecast", forecast)
    return cli


def refused(cli: CommandLine, *words: object, code: int = 65) -> str:
    """Run a command that has to be refused; gives what it says."""
    told = cli(*words)
    assert told.code == code, (words, told.code, told.out, told.err)
    assert told.out == "" or told.out.startswith(("logged", "refused"))
    assert told.err.strip()
    return told.err


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("41", "41F or 41C"),
        ("41X", "is not a reading"),
        ("200C", "cannot be at the surface"),
        ("-80C air", "cannot be at the air"),
        ("5C 13:30 air 2027-04-05", "is not understood"),
        ("41F 2027-04-05 12:06", "lies in the future"),
        ("41F 2027-04-05 8:00", "lies before the pour, which began Mon 5 Apr 09:00 EDT"),
        ("5C 2027-11-07 01:30", "occurs twice"),
        ("5C 2027-03-14 02:30", "does not occur"),
        ("5C 31 feb 8:00", "is not understood"),
        ("5C 25:00", "is not a time of day"),
        ("2C 500mm", "the slab is 150 mm thick"),
        ("heater on", "set-point is missing"),
        ("heater on 90C", "no enclosure is kept at 90"),
        ("blanket", "is not a reading"),
        ("", "no reading was given"),
        ("   ", "no reading was given"),
        ("slab 🙂", "is not a reading"),
        ("undo 7:13", "nothing to take back"),
        ("undo noon-ish", "is not understood"),
        ("winch-bad 41F", "did you mean winch-bed?"),
    ],
)
def test_readings_that_cannot_be(poured: CommandLine, said: str, why: str) -> None:
    assert why in refused(poured, "log", said)
    assert "no reading yet" in poured().out


@pytest.mark.parametrize(
    ("said", "flag"),
    [
        ("41C", "was it 41 °F (5 °C)?"),
        ("8F", "Was it 8 °C?"),
        ("60C", "was it 60 °F (16 °C)?"),
        ("45C air", "was it 45 °F (7 °C)?"),
        ("-2C", "if it is wrong: curecast log undo"),
    ],
)
def test_mix_ups_of_units_are_kept_and_flagged(poured: CommandLine, said: str, flag: str) -> None:
    told = poured.ask("log", said)
    assert len(told["added"]) == 1
    assert any(flag.casefold() in line.casefold() for line in told["flagged"]), told["flagged"]


def test_a_jump_between_two_readings_is_flagged(poured: CommandLine) -> None:
    assert poured.ask("log", "10C")["flagged"] == []
    poured.now = "2027-04-05T14:00-04:00"
    assert any("off the reading" in f for f in poured.ask("log", "25C")["flagged"])


def test_five_minutes_ahead_are_the_clock_s(poured: CommandLine) -> None:
    assert len(poured.ask("log", "10C", "--at", "2027-04-05 12:04")["added"]) == 1


@pytest.mark.parametrize(
    "said", ["41F", "41 F", "41°F", "5,0 C", "41 degF", "10 celsius", "slab 41F 11:30", "air 3C"]
)
def test_ways_to_say_a_reading(poured: CommandLine, said: str) -> None:
    added = poured.ask("log", said)["added"]
    assert len(added) == 1
    assert added[0]["where"] == ("air" if "air" in said else "surface")


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (["--start", "2027-04-05 13:00"], "lies ahead"),
        (["--start", "2027-03-14 02:30"], "does not occur"),
        (["--start", ""], "a day needs a time too"),
        (["--start", "2027-13-45 09:00"], "is not a time"),
        (["--start", "9:00", "--end", "8:00"], "cannot end before it began"),
        (["--start", "9:00", "--end", "2027-04-05 13:00"], "that end lies ahead"),
        (["--start", "2027-04-03 9:00", "--end", "9:00"], "placing cannot take 48 h"),
        (["--start", "9:00", "--bags", "-3"], "-3 bags cannot be"),
        (["--start", "9:00", "--bags", "nan"], "bags cannot be"),
        (["--start", "9:00", "--water-per-bag", "3"], "no unit"),
        (["--start", "9:00", "--water-per-bag", "3 gal"], "more than any bag bears"),
        (["--start", "9:00", "--temperature", "12"], "12 C or 12 F"),
        (["--start", "9:00", "--temperature", "54C"], "cannot be"),
        (["--start", "9:00", "--temperature", "12 psi"], "is a unit of strength"),
    ],
)
def test_pours_that_cannot_be(
    cli: CommandLine, job_file: JobFile, forecast: Path, options: list[str], why: str
) -> None:
    cli.now = NOON
    assert why in refused(cli, "pour", job_file(), *options, "--forecast", forecast)


@pytest.mark.parametrize(
    "words",
    [
        ("pour", "winch-bed"),
        ("choose", "winch-bed"),
        ("trace", "winch-bed"),
        ("watch",),
        ("test", "winch-bed"),
        ("test", "winch-bed", "--strength", "20 MPa", "--by", "x", "--kind", "hammer"),
        ("amend", "winch-bed"),
        ("holds", "winch-bed", "fulltorque"),
        ("holds", "winch-bed", ""),
        ("new", ""),
        ("new",),
        ("best-day", "--every"),
    ],
)
def test_wrong_usage(poured: CommandLine, words: tuple[str, ...]) -> None:
    refused(poured, *words, code=2)


def test_jobs_that_are_not_there(cli: CommandLine, job_file: JobFile, forecast: Path) -> None:
    assert "no job is open" in refused(cli, "holds")
    assert 'no job is called "winch-bed"' in refused(cli, "holds", "winch-bed")
    assert "there is no file" in refused(cli, "holds", "winch-bed.toml")
    assert "name is empty" in refused(cli, "holds", "")
    refused(cli, "log", "x" * 5000)
    refused(cli, "check", "x" * 5000)
    job = job_file()
    assert 'no job is called "winch-bad"' in refused(cli, "holds", "winch-bad")
    assert "is not poured yet" in cli("holds", job).out
    cli.now = "2027-04-04T12:00-04:00"
    cli.ask("choose", job, "--start", "2027-04-05 09:00", "--forecast", forecast)
    assert "is not poured yet" in refused(cli, "log", "41F")
    assert "is not poured yet" in refused(cli, "test", "--strength", "20 MPa", "--by", "x")


def test_an_option_that_log_does_not_have_is_no_reading(poured: CommandLine) -> None:
    assert "log has no option --forecast" in refused(poured, "log", "41F", "--forecast=x", code=2)


def test_two_open_jobs_have_to_be_named(
    poured: CommandLine, job_file: JobFile, forecast: Path
) -> None:
    second = job_file("second.toml", top={"name": '"second"'})
    poured.ask("pour", second, "--start", "2027-04-05 09:00", "--forecast", forecast)
    for words in (("log", "41F"), ("holds",), ("holds", "walk"), ("report",)):
        assert "several jobs are open: winch-bed, second" in refused(poured, *words)
    assert poured.ask("log", "second", "41F")["job"] == "second"
    assert poured.ask("log", "second 41F 11:00")["job"] == "second"


def test_weather_that_is_missing_or_of_another_week(
    cli: CommandLine, job_file: JobFile, tmp_path: Path, samples: Path
) -> None:
    cli.now = NOON
    job = job_file()
    cli.ask("pour", job, "--start", "2027-04-05 09:00")
    assert "no weather is known for this pour" in refused(cli, "holds", "winch-bed")
    later = samples / "weather" / "spring-pad-hourly.json"
    assert "made after the time" in refused(cli, "holds", "winch-bed", "--forecast", later)
    earlier = write_csv(tmp_path / "old.csv", POURED - timedelta(days=40), 72, daily(5.0))
    assert "does not reach this pour" in refused(cli, "holds", "winch-bed", "--forecast", earlier)
    assert "there is no file" in refused(cli, "holds", "--forecast", tmp_path / "none.json")
    refused(cli, "holds", "--forecast", tmp_path)
    empty = tmp_path / "empty.csv"
    empty.write_text("")
    refused(cli, "holds", "--forecast", empty)


def test_choosing_after_the_pour_or_in_the_past(
    poured: CommandLine, job_file: JobFile, forecast: Path
) -> None:
    assert "is poured already" in refused(
        poured, "choose", "winch-bed", "--start", "2027-04-06 9:00", "--forecast", forecast
    )
    other = job_file("second.toml", top={"name": '"second"'})
    assert "has passed" in refused(
        poured, "choose", other, "--start", "2027-04-05 09:00", "--forecast", forecast
    )


def test_a_choice_without_a_forecast_is_kept_and_said(cli: CommandLine, job_file: JobFile) -> None:
    told = cli("choose", job_file(), "--start", "fri 9:00")
    assert told.code == 0
    assert "not judged yet" in told.out
    assert "cannot be reached" in told.err
    assert "planned for Fri 12 Mar 09:00 EST" in cli().out
    cli.now = "2027-03-13T09:00-05:00"
    assert "and that has passed" in cli().out


def test_an_amendment_of_another_job_or_of_nothing(poured: CommandLine, job_file: JobFile) -> None:
    who = ("--by", "Ida Brandt", "--reason", "a letter")
    other = job_file("other.toml", top={"name": '"other"'})
    assert 'is of the job "other"' in refused(poured, "amend", "winch-bed", other, *who)
    assert "says the same" in refused(poured, "amend", job_file("same.toml"), *who)
    broken = job_file("broken.toml", slab={"thickness": '"150"'})
    assert "slab.thickness" in refused(poured, "amend", broken, *who)
    refused(poured, "amend", "winch-bed", job_file("x.toml"), "--by", " ", "--reason", "y", code=2)


def test_a_logger_s_file(poured: CommandLine, tmp_path: Path) -> None:
    """Rows from before the pour are left out; a row that cannot be read is named by its line."""
    path = tmp_path / "logger.csv"
    path.write_text(
        "Date/Time;Temp (°C)\n2027-04-05 08:30;4,5\n2027-04-05 09:30;11,5\n"
        "2027-04-05 10:30;eleven\n\n2027-04-05 11:30;12.0\n2027-04-05 23:00;9.0\n",
        encoding="utf-8",
    )
    told = poured.ask("log", "winch-bed", "--csv", path, code=65)
    assert [row["value_c"] for row in told["added"]] == [11.5, 12.0]
    assert told["left_out"] == 1
    assert [line.split(":")[0] for line in told["refused"]] == [
        "logger.csv line 4",
        "logger.csv line 7",
    ]
    again = poured.ask("log", "winch-bed", "--csv", path, code=65)
    assert (again["added"], again["known"]) == ([], 2)
    path.write_bytes(b"\x00\x01\x02" * 100)
    refused(poured, "log", "--csv", path)
    refused(poured, "log", "--csv", tmp_path)
    refused(poured, "log", "--csv", tmp_path / "none.csv")


def test_a_fixed_clock_needs_a_store_that_was_named(
    poured: CommandLine, job_file: JobFile, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Without CURECAST_HOME a fixed clock writes nothing, also where a command may read."""
    monkeypatch.delenv("CURECAST_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    poured.now = ""
    poured("choose", job_file(), "--start", "2030-04-05 09:00")
    poured.now = "2027-04-05T12:30-04:00"
    for words in (
        ("log", "41F"),
        ("choose", "winch-bed", "--start", "fri 9:00"),
        ("pour", "winch-bed", "--start", "9:00"),
        ("test", "winch-bed", "--strength", "20 MPa", "--by", "x"),
        ("amend", "winch-bed", job_file(), "--by", "x", "--reason", "y"),
        ("watch", "--once"),
    ):
        assert "needs a store of its own" in refused(poured, *words)
    assert "is not poured yet" in poured("holds", "winch-bed").out
    other = ("--db", tmp_path / "curecast-home" / "curecast.db")
    assert poured("log", "41F", *other).code == 0


def test_a_fixed_clock_without_a_named_store_only_reads(
    poured: CommandLine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, own_home: Path
) -> None:
    """``holds`` with --now looks at people's own data and leaves no trace in it."""
    data = tmp_path / "data" / "curecast"
    data.parent.mkdir()
    own_home.rename(data)
    monkeypatch.delenv("CURECAST_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr("platformdirs.user_data_dir", lambda *_, **__: str(data))

    def rows() -> int:
        with sqlite3.connect(data / "curecast.db") as connection:
            count: int = connection.execute("SELECT count(*) FROM hold_change").fetchone()[0]
        connection.close()
        return count

    poured.now = "2027-04-07T12:00-04:00"
    before = rows()
    poured.ask("holds", "winch-bed")
    assert rows() == before
    monkeypatch.setenv("CURECAST_HOME", str(data))
    poured.ask("holds", "winch-bed")
    assert rows() > before


def test_a_store_that_cannot_be_written_is_exit_code_74(
    poured: CommandLine, own_home: Path, tmp_path: Path
) -> None:
    locked = f"sqlite:///file:{own_home / 'curecast.db'}?mode=ro&uri=true"
    for words in (("log", "41F"), ("holds", "winch-bed"), ("pour", "winch-bed", "--start", "9:00")):
        assert "may not be written to" in refused(poured, *words, "--db", locked, code=74)
    assert "poured Mon 5 Apr 09:00 EDT" in poured("--db", locked).out
    (tmp_path / "file").write_text("")
    assert refused(poured, "log", "41F", "--db", tmp_path / "file" / "x.db", code=74)
    (tmp_path / "no.db").write_text("Dear diary, " * 500)
    assert refused(poured, "holds", "winch-bed", "--db", tmp_path / "no.db", code=74)


@pytest.mark.parametrize(
    "words",
    [("check",), ("best-day",), ("trace", "--start", "2027-03-10 09:00"), ("holds",), ("report",)],
)
def test_a_command_that_only_reads_makes_no_store(
    cli: CommandLine, job_file: JobFile, samples: Path, own_home: Path, words: tuple[str, ...]
) -> None:
    crew = {"days": '"tue"', "from": '"9:00"', "to": '"10:00"'}
    weather = samples / "weather" / "crane-base-hourly.json"
    more = () if words[0] == "check" else ("--forecast", weather)
    assert cli(words[0], job_file(crew=crew), *words[1:], *more).code in (0, 1)
    assert not own_home.exists()


def test_pages_that_cannot_be_written(cli: CommandLine, job_file: JobFile, samples: Path) -> None:
    crew = {"days": '"tue"', "from": '"9:00"', "to": '"10:00"'}
    weather = samples / "weather" / "crane-base-hourly.json"
    job = job_file(crew=crew)
    words = ("report", job, "--forecast", weather, "-o")
    assert "cannot be written" in refused(cli, *words, job.parent / "none" / "x.html")
    assert "under the name of a job file" in refused(cli, *words, job)
    assert job.read_text().startswith("curecast = 1")
    assert "is there already" in refused(cli, "new", job, "--yes")
