"""The README keeps its word: its commands exist, and every command stands in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import typer

from curecast.cli import app as program

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
MARKED = re.compile(r"^<!-- command: (.+) -->\n```\w+\n(.*)\n```$", re.MULTILINE)


def command_names() -> set[str]:
    group = typer.main.get_command(program.app)
    return set(getattr(group, "commands", {}))


def test_the_two_commands_stand_in_marked_blocks_of_one_line() -> None:
    marked = dict(MARKED.findall(README))
    assert set(marked) == {
        f"{what}, {system}"
        for what in ("demo", "tests")
        for system in ("Linux and macOS", "Windows")
    }
    for name, line in marked.items():
        assert "\n" not in line
        assert " && " in line, name


def test_every_command_stands_in_the_readme_and_exists() -> None:
    named = set(re.findall(r"`curecast ([a-z][a-z-]*)", README))
    assert named == command_names()


@pytest.mark.parametrize("name", sorted(command_names()))
def test_every_command_has_help_and_an_example(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert program.execute([name, "--help"]) == 0
    said = capsys.readouterr().out
    assert f"Example: curecast {name}" in said
    assert re.search(r"^  [A-Z]", said, re.MULTILINE), "no sentence says what it does"
