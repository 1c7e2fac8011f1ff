"""Commands at a real terminal: nothing is wider, colours can be off, ASCII will do."""

from __future__ import annotations

import os
import re
import struct
import subprocess
import sys
from pathlib import Path

import pytest

fcntl = pytest.importorskip("fcntl", reason="pseudo-terminals are a Unix thing")
import pty  # noqa: E402
import termios  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
JOB = str(ROOT / "sample_jobs" / "crane-base.toml")
SKY = ["--forecast", str(ROOT / "sample_jobs" / "weather" / "crane-base-hourly.json")]
MONDAY, FRIDAY = "2027-03-08T07:00-05:00", "2027-03-12T15:30-05:00"
SATURDAY = "2027-03-13T08:05-05:00"
COLOUR = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


def environment(home: Path, **more: str) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "COLUMNS", "LC_ALL")}
    own = {"CURECAST_HOME": str(home), "CURECAST_NWS_URL": "http://127.0.0.1:9", "TERM": "xterm"}
    return kept | own | more


def at_terminal(words: list[str], columns: int, home: Path, **more: str) -> str:
    """What a command prints to a terminal of that width."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    running = subprocess.Popen(
        [sys.executable, "-m", "curecast", *words], stdin=theirs, stdout=theirs, stderr=theirs,
        env=environment(home, **more), cwd=home, close_fds=True,
    )  # fmt: skip
    os.close(theirs)
    said = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        said += part
    running.wait(timeout=120)
    os.close(ours)
    return said.decode("utf-8", "replace").replace("\r\n", "\n")


def widest(said: str) -> str:
    """The widest line that stays on the screen."""
    lines = [COLOUR.sub("", line).split("\r")[-1] for line in said.splitlines()]
    return max(lines, key=len, default="")


@pytest.fixture(scope="module")
def poured(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("terminal")
    for words in (
        ["pour", JOB, "--start", "8:00", "--end", "10:40", "--now", FRIDAY, *SKY],
        ["log", "crane-base", "16.5C 7:45, 3C air 7:45", "--now", SATURDAY],
    ):
        done = subprocess.run(
            [sys.executable, "-m", "curecast", *words], env=environment(home), cwd=home,
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
    return home


ASKED = {
    "help": ["--help"],
    "check": ["check", JOB, "--now", MONDAY],
    "best-day": ["best-day", JOB, *SKY, "--now", MONDAY],
    "weather": ["weather", JOB, *SKY, "--now", MONDAY],
    "crew": ["crew", JOB, "--start", "fri 8:00", *SKY, "--now", MONDAY],
    "holds": ["holds", "crane-base", *SKY, "--now", SATURDAY],
    "one hold": ["holds", "crane-base", "full-torque", *SKY, "--now", SATURDAY],
    "history": ["history", "crane-base", *SKY, "--now", SATURDAY],
    "alone": ["--now", SATURDAY],
    "error": ["check", "no-such-job-anywhere-in-this-folder-nor-in-the-store-of-this-house"],
}


QUICK = [(80, "help"), (80, "holds"), (80, "error")]


@pytest.mark.parametrize(
    ("columns", "name"),
    [
        pytest.param(c, n, marks=() if (c, n) in QUICK else pytest.mark.slow)
        for c in (80, 120)
        for n in ASKED
    ],
)
def test_no_line_is_wider_than_the_terminal(name: str, columns: int, poured: Path) -> None:
    said = at_terminal(ASKED[name], columns, poured)
    assert said.strip()
    assert len(widest(said)) <= columns, widest(said)
    assert "fault in curecast" not in said


def test_colour_stands_beside_words_and_can_be_turned_off(poured: Path) -> None:
    coloured = at_terminal(ASKED["holds"], 80, poured)
    plain = at_terminal(ASKED["holds"], 80, poured, NO_COLOR="1")
    assert "\x1b[" in coloured
    assert "\x1b[" not in plain
    assert len(widest(plain)) <= 80
    assert "projected" in plain


def test_a_terminal_without_utf_8_gets_plain_marks(poured: Path) -> None:
    said = at_terminal(
        ASKED["holds"], 80, poured, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0"
    )
    line = next(line for line in said.splitlines() if "| is now" in line)
    assert line.isascii()
    told = at_terminal(ASKED["holds"], 80, poured, PYTHONIOENCODING="utf-8")
    assert any(mark in told for mark in "▁▂▃▄▅▆▇█")


def test_a_pipe_gets_whole_lines_and_no_colour(poured: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "curecast", *ASKED["one hold"]], env=environment(poured),
        cwd=poured, capture_output=True, check=False,
    )  # fmt: skip
    said = done.stdout.decode()
    assert "\x1b" not in said
    assert any(len(line) > 100 for line in said.splitlines())


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shell_completes_commands(shell: str, tmp_path: Path) -> None:
    asked = {
        "bash": {"COMP_WORDS": "curecast ho", "COMP_CWORD": "1"},
        "zsh": {"_TYPER_COMPLETE_ARGS": "curecast ho"},
        "fish": {"_TYPER_COMPLETE_ARGS": "curecast ho", "_TYPER_COMPLETE_FISH_ACTION": "get-args"},
    }[shell]
    done = subprocess.run(
        [sys.executable, "-m", "curecast"], cwd=tmp_path, capture_output=True, text=True,
        env=environment(tmp_path, _CURECAST_COMPLETE=f"complete_{shell}", **asked), check=False,
    )  # fmt: skip
    assert "holds" in done.stdout, done.stderr
    assert "check" not in done.stdout


def test_completion_is_installed_for_the_shell_in_use(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "curecast", "--show-completion", "bash"], cwd=tmp_path,
        env=environment(tmp_path, _TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION="1"),
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "_CURECAST_COMPLETE=complete_bash" in done.stdout, done.stderr
