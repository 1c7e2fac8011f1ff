"""The frame of the command line: shared options, errors and exit codes, JSON, progress."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any

import numpy as np
import pytest
import typer

from curecast import errors
from curecast.cli.app import execute
from curecast.cli.commands import JobArgument, app, command
from curecast.cli.context import Context, plain
from curecast.cli.progress import progress

ROOT = Path(__file__).resolve().parents[2]
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command line; commands that a test adds are gone afterwards."""
    monkeypatch.setattr(app, "registered_commands", list(app.registered_commands))

    def call(*args: str) -> tuple[int, str, str]:
        code = execute(args)
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def add(name: str, does: Callable[[Context, str | None], int | None]) -> None:
    def trial(
        ctx: Context,
        job: JobArgument = None,
        depth: Annotated[str, typer.Option(help="How deep.")] = "1 in",
    ) -> int | None:
        """Try something."""
        return does(ctx, job)

    command(name, example=f"curecast {name} crane-base")(trial)


def fail(error: BaseException) -> Callable[[Context, str | None], int | None]:
    def does(_ctx: Context, _job: str | None) -> int | None:
        raise error

    return does


def test_help_names_the_shared_options_and_an_example(run: Run) -> None:
    add("trial", lambda _ctx, _job: None)
    code, out, _ = run("trial", "--help")
    assert code == 0
    for option in ("--json", "--now", "--db", "--units", "--debug", "--no-color", "--depth"):
        assert option in out
    assert "Example: curecast trial crane-base" in out
    assert run("trial", "-h")[1] == out


@pytest.mark.parametrize(
    "args", [("--json", "--units", "us", "trial", "a"), ("trial", "a", "--json", "--units", "us")]
)
def test_shared_options_stand_before_or_after_the_command(run: Run, args: tuple[str, ...]) -> None:
    add("trial", lambda ctx, job: ctx.emit({"units": ctx.units, "said": job}, ["text"]))
    code, out, _ = run(*args)
    told = json.loads(out)
    assert (code, told["units"], told["said"]) == (0, "us", "a")
    assert {"schema", "version", "job", "now"} <= set(told)
    assert told["schema"] == 1


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.JobError("x"), 65),
        (errors.ReadingsError("x"), 65),
        (errors.OutOfRange("x"), 65),
        (errors.Refused("x"), 65),
        (errors.WeatherUnavailable("x"), 69),
        (errors.WeatherUnusable("x"), 65),
        (errors.StoreError("x"), 74),
        (errors.AlertNotSent("x"), 75),
        (errors.CurecastError("x"), 70),
        (ZeroDivisionError("x"), 70),
        (KeyboardInterrupt(), 130),
        (BrokenPipeError(), 0),
    ],
    ids=lambda value: getattr(type(value), "__name__", ""),
)
def test_each_error_has_its_exit_code(run: Run, error: BaseException, code: int) -> None:
    add("trial", fail(error))
    got, out, err = run("trial")
    assert (got, out) == (code, "")
    assert "Traceback" not in err


def test_an_error_says_what_is_wrong_and_what_to_do(run: Run) -> None:
    problems = (
        errors.Problem("slab.length", "a unit is missing", 3, 'write "2 m" or "2 ft"'),
        errors.Problem("mix", "unknown preset"),
    )
    add("trial", fail(errors.JobError("a.toml: 2 mistakes", problems, "mend the file")))
    assert run("trial")[2].splitlines() == [
        "error: a.toml: 2 mistakes",
        '  line 3: slab.length: a unit is missing (write "2 m" or "2 ft")',
        "  mix: unknown preset",
        "hint: mend the file",
    ]
    code, out, err = run("trial", "--json")
    told = json.loads(out)
    assert code == 65
    assert err.startswith("error: ")
    assert told["error"] == {
        "message": "a.toml: 2 mistakes",
        "hint": "mend the file",
        "exit_code": 65,
    }
    assert [problem["line"] for problem in told["problems"]] == [3, None]


def test_a_fault_of_our_own_shows_its_place_only_with_debug(run: Run) -> None:
    add("trial", fail(ZeroDivisionError("by nought")))
    quiet, loud = run("trial")[2], run("trial", "--debug")[2]
    assert "by nought" in quiet
    assert "run again with --debug" in quiet
    assert "Traceback" in loud


def test_an_answer_of_no_is_exit_code_1(run: Run) -> None:
    add("trial", lambda _ctx, _job: 1)
    assert run("trial")[0] == 1


@pytest.mark.parametrize(
    "args", [("trial", "--wrong"), ("nonsense",), ("trial", "--units", "furlongs")]
)
def test_wrong_usage_is_exit_code_2(run: Run, args: tuple[str, ...]) -> None:
    add("trial", lambda _ctx, _job: None)
    code, out, err = run(*args)
    assert (code, out) == (2, "")
    assert "Traceback" not in err


def test_json_has_no_nan_and_no_bare_instant() -> None:
    at = datetime(2027, 3, 12, 14, tzinfo=UTC)
    told = plain(
        {
            "a": math.nan,
            "b": np.array([1.0, np.inf]),
            "c": np.float64(0.0),
            "d": np.bool_(True),
            "e": at,
            "f": (1, None),
        }
    )
    assert told == {
        "a": None,
        "b": [1.0, None],
        "c": 0.0,
        "d": True,
        "e": "2027-03-12T14:00:00+00:00",
        "f": [1, None],
    }
    with pytest.raises(ValueError, match="offset"):
        plain(datetime(2027, 3, 12, 14))


def test_now_is_read_in_the_zone_of_the_job() -> None:
    ctx = Context(said_now="2027-03-12 09:00", zone="America/New_York")
    assert ctx.now() == datetime(2027, 3, 12, 14, tzinfo=UTC)
    assert Context().now().tzinfo is not None


def test_a_fixed_clock_writes_only_to_a_store_that_was_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    fixed = "2027-03-12T09:00:00Z"
    Context(said_now=fixed).writing_store().close()  # CURECAST_HOME is set
    monkeypatch.delenv("CURECAST_HOME")
    with pytest.raises(errors.InputError, match="store of its own"):
        Context(said_now=fixed).writing_store()
    Context(said_now=fixed, db=str(tmp_path / "other.db")).writing_store().close()


def test_asking_for_a_store_makes_none(own_home: Path) -> None:
    assert not Context().has_store()
    assert not own_home.exists()
    Context().store().close()
    assert Context().has_store()


def test_a_file_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(errors.InputError, match="cannot be written"):
        Context().write_file(tmp_path / "no-folder" / "x.html", "x")


def test_progress_is_silent_away_from_a_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with progress(Context(), "judging", 2) as advance:
        advance(1, "the second")
    assert capsys.readouterr() == ("", "")
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    with progress(Context(no_color=True), "judging", 2) as advance:
        advance(1, "the second")
    said = capsys.readouterr()
    assert said.out == ""
    assert "the second" in said.err


def program(*args: str, **env: str) -> dict[str, Any]:
    return {
        "args": [sys.executable, "-m", "curecast", *args],
        "cwd": ROOT,
        "env": {**os.environ, **env},
        "text": True,
        "timeout": 60,
    }


def test_a_reader_that_goes_away_is_no_error() -> None:
    show = "import sys; from curecast.cli.context import Context; from curecast.cli.app import *"
    long = "from curecast.cli.commands import command"
    many = "command('many', example='')(lambda ctx: ctx.emit({}, ['x'] * 200000))"
    script = f"{show}; {long}; {many}; sys.exit(execute(['many']))"
    with subprocess.Popen(
        [sys.executable, "-c", script],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        assert running.stdout.readline() == "x\n"
        running.stdout.close()
        said = running.stderr.read()
        assert (running.wait(timeout=60), said) == (0, "")


def test_version_and_a_narrow_encoding() -> None:
    done = subprocess.run(**program("--version"), capture_output=True, check=True)
    assert done.stdout.startswith("curecast ")
    narrow = subprocess.run(**program("--json", PYTHONIOENCODING="ascii"), capture_output=True)
    assert narrow.returncode == 0
    assert json.loads(narrow.stdout)["next"]
