"""The sample jobs: beside the package in a checkout, inside it once installed."""

from __future__ import annotations

from pathlib import Path

from curecast.errors import CurecastError


def find_samples() -> Path:
    """The folder of sample jobs, with their saved weather in ``weather/``."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "sample_jobs", package.parent / "sample_jobs"):
        if (folder / "crane-base.toml").is_file():
            return folder
    raise CurecastError("curecast is not installed whole: its sample jobs are missing", "reinstall")
