"""The week's core: against a loop of a stiff solver, its growth, its memory, a slow BLAS.

Run with one BLAS thread a worker: `make bench` sets it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from curecast.core.batches import Batch, run
from curecast.core.case import Case
from curecast.core.chunks import WORKERS, in_parallel
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import Exposure, SiteWeather
from curecast.core.marches import EARLY_H, shared_rest, with_rest
from curecast.core.weather.ensemble import Members
from curecast.core.weekly import Candidate
from tests.reference import column_reference
from tests.reference.cases import FROST, HEAT, PouredCase
from tests.reference.column_reference import solve_column

ROOT = Path(__file__).resolve().parents[2]
MEMBERS, DAYS, SAMPLED = 100, 28, 3
#: From process start to the table, on a quiet machine. [s]
GOAL_S = 2.5
SPELLS = (CoverSpell(0.35, 7.0, 79.0),)
PLACE = Exposure(45.0, -93.0)

pytestmark = [pytest.mark.bench, pytest.mark.timeout(3600)]


def pour() -> Case:
    curve = StrengthCurve(30.0, "eurocode", s=0.38)
    return Case(0.2, HEAT, curve, PLACE, 2.0, 14.0, ground_c=4.0, deep_c=9.0)


def members(count: int) -> Members:
    """A month of frosty weather, each member moved by its own constant, begun anew to be long."""
    moved = np.linspace(-3.0, 3.0, count)
    long = {k: np.tile(v, 2)[:, None] for k, v in FROST.items() if k != "start_h"}
    air, dew = long["air_c"] + moved, long["dew_point_c"] + moved
    wide = np.ones(count)
    return Members(FROST["start_h"], air, dew, long["wind_ms"] * wide, long["cloud"] * wide)


def core(starts: int, count: int, days: int) -> None:
    """So many starts as a week runs them: the first days of each, the rest shared."""
    weather, case = members(count), pour()
    site, until_h = SiteWeather(weather, PLACE, single=True), 24.0 * days
    week: Any = SimpleNamespace(full=False, weather=weather)
    wanted = [Candidate(FROST["start_h"] + 8.0 + i, 0.0, None) for i in range(starts)]
    all_h = np.array([one.start_h for one in wanted])
    never = np.full(count, np.inf)
    rest = shared_rest(case, weather, all_h, until_h, 45.0, never, site) if days > 14 else None

    def chunk(some: Sequence[Candidate]) -> list[float]:
        batch = Batch(np.array([one.start_h for one in some]), SPELLS)
        past = run(case, weather, batch, min(until_h, EARLY_H), standing=site)
        ages = []
        for i, one in enumerate(some):
            own = past.columns(slice(i * count, (i + 1) * count))
            if rest is not None:
                own = with_rest(own, rest, one.start_h + case.middle_h, until_h)
            ages.append(float(own.te20_h[-1].min()))
        return ages

    in_parallel(week, wanted, chunk)


def timed(work: Callable[[], Any]) -> tuple[float, float]:
    """Seconds on the clock, and of all processors."""
    wall_s, cpu_s = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - wall_s, time.process_time() - cpu_s


def one_column(number: int) -> Callable[[], Any]:
    """One of the same columns by the stiff solver, on 29 cells, its steps left to itself."""
    case = PouredCase("", FROST, 0.2, 14.0, 4.0, 9.0, covers=SPELLS, at_h=8.0 + 15.0 * number)
    parameters, sky, start_h, covers = case.reference()
    at = np.arange(0.0, 24.0 * DAYS + 1.0)
    coarse: Any = {"method": "Radau", "rtol": 1e-2, "atol": 1e-2, "fineness": 0.1}
    return lambda: solve_column(parameters, sky, start_h, at, covers, **coarse)


def test_against_a_stiff_solver(benchmark: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def free(*args: Any, **more: Any) -> Any:
        return solve_ivp(*args, **more | {"max_step": np.inf})

    monkeypatch.setattr(column_reference, "solve_ivp", free)
    starts, sampled = (4, 1) if benchmark.disabled else (168, SAMPLED)
    own, loop = [], []
    for number in range(sampled):  # in turn: both meet the same machine
        loop.append(timed(one_column(number % 2)))
        own.append(timed(lambda: core(starts, MEMBERS, DAYS)))
    benchmark.pedantic(lambda: core(starts, MEMBERS, DAYS), rounds=1, iterations=1)
    (wall, cpu), (loop_wall, loop_cpu) = np.median(own, axis=0), np.median(loop, axis=0)
    columns = starts * MEMBERS
    print(f"\n{starts} x {MEMBERS} x {DAYS} d: {wall:.2f} s, {cpu:.2f} s processor;")
    threads = os.environ.get("OPENBLAS_NUM_THREADS", "unset")
    print(f"workers {WORKERS}, OPENBLAS_NUM_THREADS {threads}. One column by")
    print(f"the solver {loop_wall:.2f} s, x {columns} extrapolated from {sampled}. Ratio")
    by_clock, by_processor = loop_wall * columns / wall, loop_cpu * columns / cpu
    print(f"{by_clock:.0f} by the clock, {by_processor:.0f} by processor time")
    if not benchmark.disabled:
        assert by_clock >= 2500.0


def test_cost_is_linear(benchmark: Any) -> None:
    few, times = (1, 1) if benchmark.disabled else (24, 3)
    small = min(timed(lambda: core(few, MEMBERS, 7))[1] for _ in range(times))
    large = min(timed(lambda: core(4 * few, MEMBERS, 7))[1] for _ in range(times))
    benchmark.pedantic(lambda: core(4 * few, MEMBERS, 7), rounds=1, iterations=1)
    print(f"\n{few} starts {small:.2f} s, {4 * few} starts {large:.2f} s of processors")
    if not benchmark.disabled:
        assert large <= 1.3 * 4.0 * small


def best_day(**environment: str) -> tuple[float, float]:
    """Seconds from process start to the table, and the most memory that it held. [s, MB]"""
    code = (
        "import resource, sys; from curecast.cli.app import execute; "
        "done = execute(sys.argv[1:]); "
        "print('KB', resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr); "
        "sys.exit(done)"
    )
    jobs = ROOT / "sample_jobs"
    words = ["best-day", str(jobs / "crane-base.toml"), "--now", "2027-03-08T07:00-05:00"]
    words += ["--forecast", str(jobs / "weather" / "crane-base-hourly.json")]
    begun = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code, *words], cwd=ROOT, capture_output=True, text=True,
        env=os.environ | environment, check=False,
    )  # fmt: skip
    taken = time.perf_counter() - begun
    assert done.returncode in (0, 1), done.stderr
    return taken, int(done.stderr.split("KB")[-1]) / 1024.0


def quickest(times: int, **environment: str) -> tuple[float, float]:
    return min(best_day(**environment) for _ in range(times))


def test_best_day_from_process_start(benchmark: Any) -> None:
    pytest.importorskip("resource")
    times = 1 if benchmark.disabled else 3
    taken, held = benchmark.pedantic(lambda: quickest(times), rounds=1, iterations=1)
    print(f"\nbest-day {taken:.2f} s, {held:.0f} MB")
    if not benchmark.disabled:
        assert held < 500.0
        if taken > GOAL_S:
            pytest.xfail(f"the goal of {GOAL_S} s is not met yet: {taken:.1f} s")


def test_a_slow_blas(benchmark: Any) -> None:
    pytest.importorskip("resource")
    times = 1 if benchmark.disabled else 3
    slow: Callable[[], tuple[float, float]] = lambda: quickest(  # noqa: E731
        times, OPENBLAS_CORETYPE="Prescott", OPENBLAS_NUM_THREADS="1"
    )
    usual, (taken, _) = quickest(times)[0], benchmark.pedantic(slow, rounds=1, iterations=1)
    print(f"\nusual {usual:.2f} s, slow BLAS {taken:.2f} s")
    if not benchmark.disabled:
        assert taken <= 3.0 * usual
