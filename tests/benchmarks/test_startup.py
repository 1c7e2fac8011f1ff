"""How long a person waits for an answer that needs no computation."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.bench
@pytest.mark.parametrize("option", ["--help", "--version"])
def test_start_up(benchmark, option: str) -> None:
    command = [sys.executable, "-m", "curecast", option]
    benchmark.pedantic(
        lambda: subprocess.run(command, cwd=ROOT, capture_output=True, check=True),
        rounds=9,
        warmup_rounds=1,
    )
    if not benchmark.disabled:
        assert benchmark.stats.stats.min < 0.25  # [s]
