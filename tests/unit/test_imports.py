"""Asking for help must be quick: nothing heavy is loaded on the way."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HEAVY = {
    "alembic",
    "apscheduler",
    "flask",
    "jinja2",
    "numpy",
    "pandas",
    "requests",
    "rich",
    "scipy",
    "simpy",
    "sqlalchemy",
    "waitress",
    "werkzeug",
}


def loaded(*arguments: str) -> set[str]:
    """The top-level packages that a run of Python imports."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    names = re.findall(r"^import time:.*\|\s*(\S+)$", done.stderr, re.MULTILINE)
    return {name.partition(".")[0] for name in names}


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_nothing_heavy_is_loaded(option: str) -> None:
    seen = loaded("-m", "curecast", option)
    assert "typer" in seen
    assert seen & HEAVY == set()


def test_the_check_can_fail() -> None:
    assert "numpy" in loaded("-c", "import numpy")
