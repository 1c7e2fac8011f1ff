"""How long a poured slab takes: `holds` from the start of its process, and a watch over many."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from curecast.clock import unix_h
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.sources.forecast_file import read_forecast
from curecast.store.jobs import save_job
from curecast.store.placements import record_pour
from curecast.store.readings import add_reading
from curecast.store.schema import open_store
from curecast.watch import watch_once
from tests.end_to_end.conftest import cli as cli
from tests.end_to_end.conftest import job_file as job_file
from tests.fixtures.command_line import CommandLine, daily, job_text, write_csv

ROOT = Path(__file__).resolve().parents[2]
POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
NOW = POURED + timedelta(days=4)
JOBS, PLACES = 32, 4

pytestmark = pytest.mark.bench


def test_holds_as_typed(
    benchmark: Any, cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    """The goal is 0.8 s; it is not reached yet. What is held, twice that, wants a quiet machine."""
    forecast = write_csv(tmp_path / "cool.csv", POURED - timedelta(days=2), 24 * 9, daily(9.0))
    cli.now = (POURED + timedelta(hours=2.1)).isoformat()
    cli.ask("pour", job_file(), "--start", POURED.isoformat(), "--forecast", forecast)
    words = ["-m", "curecast", "holds", "winch-bed", "--forecast", str(forecast)]
    command = [sys.executable, *words, "--now", NOW.isoformat()]
    benchmark.pedantic(
        lambda: subprocess.run(command, cwd=ROOT, capture_output=True, check=True),
        rounds=5, warmup_rounds=1,
    )  # fmt: skip
    if not benchmark.disabled:
        assert benchmark.stats.stats.min < 1.6  # [s]


def test_one_pass_over_many_jobs(benchmark: Any, tmp_path: Path) -> None:
    """A thousand jobs in a minute on two cores would be 0.12 s of one core a job; that is not
    reached. What is held is a half of what a job by itself once took."""
    forecast = read_forecast(
        write_csv(tmp_path / "cool.csv", POURED - timedelta(days=3), 24 * 12, daily(9.0)),
        now_h=unix_h(NOW),
    )
    asked: list[str] = []
    jobs = PLACES if benchmark.disabled else JOBS

    def sky(job: Job, now: datetime) -> Forecast:
        asked.append(job.name)
        return forecast

    with open_store(home=tmp_path / "data") as store:
        for i in range(jobs):
            site = {"place": f'"44.{i % PLACES}, -69.11"'}
            job = parse_job(job_text(top={"name": f'"pad-{i}"'}, site=site))
            version = save_job(store, job.name, job.text, job.hash, POURED)
            slab = record_pour(store, version.job, POURED, version, POURED)
            for k in range(4):
                at = POURED + timedelta(hours=6 + 20 * k)
                add_reading(store, slab, "surface", None, 12.0 - k, at, "Ida")
        spent_s: list[float] = []

        def one_pass() -> None:
            begin = time.process_time()
            assert watch_once(store, NOW + timedelta(minutes=len(spent_s)), get_weather=sky)
            spent_s.append(time.process_time() - begin)

        benchmark.pedantic(one_pass, rounds=2, iterations=1)
    assert len(asked) == PLACES * len(spent_s)
    if not benchmark.disabled:
        assert min(spent_s) / jobs < 0.9  # [s of one core]
