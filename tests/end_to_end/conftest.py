"""What the stories of commands stand on: a command line, a job file, the samples."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.fixtures.command_line import CommandLine, job_text

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample_jobs"


@pytest.fixture
def cli(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> CommandLine:
    """Commands in a folder of their own, with a service that nobody reaches."""
    monkeypatch.setenv("CURECAST_NWS_URL", "http://127.0.0.1:9")
    monkeypatch.chdir(tmp_path)

    def read() -> tuple[str, str]:
        said = capsys.readouterr()
        return said.out, said.err

    return CommandLine(read, "2027-03-08T07:00-05:00")


@pytest.fixture
def job_file(tmp_path: Path) -> Callable[..., Path]:
    """Writes a job file; see ``job_text``."""

    def write(file: str = "winch-bed.toml", **changes: dict[str, Any] | None) -> Path:
        path = tmp_path / file
        path.write_text(job_text(**changes), encoding="utf-8")
        return path

    return write


@pytest.fixture
def samples() -> Path:
    """The folder of sample jobs."""
    return SAMPLES
