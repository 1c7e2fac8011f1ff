"""Where a slab stands on 100 000 readings of a logger."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.end_to_end.conftest import cli as cli
from tests.end_to_end.conftest import job_file as job_file
from tests.fixtures.command_line import CommandLine, daily, write_csv

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)


@pytest.mark.bench
def test_holds_on_100_000_readings(
    benchmark: Any, cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    forecast = write_csv(tmp_path / "cool.csv", POURED - timedelta(days=2), 24 * 40, daily(9.0))
    cli.now = (POURED + timedelta(hours=2.1)).isoformat()
    cli.ask("pour", job_file(), "--start", POURED.isoformat(), "--forecast", forecast)
    path, first = tmp_path / "logger.csv", POURED + timedelta(hours=3)
    rows = (
        f"{(first + timedelta(seconds=26 * i)).isoformat()},{9.0 + i % 7 * 0.1:.1f}"
        for i in range(100_000)
    )
    path.write_text("time,temp_c\n" + "\n".join(rows), encoding="utf-8")
    cli.now = (POURED + timedelta(days=31)).isoformat()
    assert cli("log", "--csv", path).code == 0
    benchmark.pedantic(
        lambda: cli("holds", "winch-bed", "--forecast", forecast), rounds=5, warmup_rounds=1
    )
    if not benchmark.disabled:
        assert benchmark.stats.stats.min < 2.0  # [s]
