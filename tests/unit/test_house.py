"""The rules of the house: lint, the import rule, the length of a module, words that stay out."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

import curecast

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 250
TEXTS = {".py", ".md", ".toml", ".mako", ".html", ".css", ".cfg", ".yml", ".yaml", ".csv", ""}
FOLDERS = ("curecast", "migrations", "tests", "sample_jobs", ".ci")

# Written in pieces, so that this file does not find itself.
FORBIDDEN = {
    "a machine's path": r"/(?:wor[k]|hom[e]|Use[r]s|roo[t]|tm[p])/\w",
    "unfinished work": r"\b(?:TOD[O]|FIXM[E]|XX[X])\b|\bNotImplementedErro[r]\b",
    "the host of a package index": r"\bpyp[i]\.org|\bpythonhoste[d]\.org",
}


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, timeout=120
    )


def texts() -> Iterator[Path]:
    """Every text of the project, whether or not it is under version control."""
    for path in ROOT.iterdir():
        hidden = path.name.startswith(".") and path.name not in (".gitignore", ".editorconfig")
        if path.is_file() and path.suffix in TEXTS and not hidden:
            yield path
    for folder in FOLDERS:
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and path.suffix in TEXTS and "__pycache__" not in path.parts:
                yield path


def test_ruff_finds_nothing() -> None:
    done = run("-m", "ruff", "check", "--no-cache", "--output-format", "concise", ".")
    assert done.returncode == 0, done.stdout


def test_imports_go_one_way() -> None:
    command = "from importlinter.cli import lint_imports_command as lint; lint(['--no-cache'])"
    done = run("-c", command)
    assert done.returncode == 0, done.stdout


def test_modules_stay_short() -> None:
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in sorted((ROOT / "curecast").rglob("*.py"))
    }
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST} == {}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_words_that_stay_out(what: str) -> None:
    pattern = re.compile(FORBIDDEN[what])
    found = [
        f"{path.relative_to(ROOT).as_posix()}:{number}: {line.strip()}"
        for path in texts()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]
    assert found == []


def test_one_version() -> None:
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    changes = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert curecast.__version__ == declared["version"]
    assert f"## [{declared['version']}]" in changes
