"""What makes a week quick changes no answer: held against the full computation of the same week.

The full computation takes every level with all members, every start to its own end on steady
steps, every member through its edge, and double precision.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from curecast.core.openings import count_on_h, likely_h
from curecast.core.starts import Judged, judge_starts
from curecast.core.trials import hopelessly_late
from curecast.core.weather.own_doubt import OwnDoubt
from curecast.core.weekly import Candidate, Week
from curecast.job.reader import read_job
from curecast.prospect import week as weeks
from curecast.sources.forecast_file import read_forecast

ROOT = Path(__file__).parents[2]
SAMPLES, SAVED = ROOT / "sample_jobs", ROOT / "tests" / "fixtures" / "weather"
CHANCE, DATE_H = 0.02, 0.5
#: Beyond this a date is held by its day alone: months ahead a cold spell, in which hardly
#: anything ripens, makes hours of minutes. [h]
NEAR_H, FAR_DATE_H = 28 * 24.0, 12.0


def week_of(job: str, forecast: Path) -> tuple[Week, list[Candidate]]:
    asked, told = read_job(SAMPLES / f"{job}.toml"), read_forecast(forecast)
    now_h = told.issued_h + 1.0
    wanted = weeks.candidates(asked, now_h, now_h + weeks.WEEK_H)
    return weeks._week(asked, told, (), wanted[-1].start_h, OwnDoubt()), wanted


def apart(one: Judged, other: Judged) -> list[str]:
    """Where two answers to one start differ by more than is allowed."""
    found = []
    if (one.verdict, one.measure) != (other.verdict, other.measure):
        found.append(f"{one.verdict}, {one.measure.name}: {other.verdict}, {other.measure.name}")
    for a, b in zip(one.findings, other.findings, strict=True):
        if a.verdict != b.verdict or abs((a.chance or 0.0) - (b.chance or 0.0)) > CHANCE + 1e-9:
            found.append(f"{a.rule}: {a.verdict} {a.chance}: {b.verdict} {b.chance}")
    for hold in one.openings:
        for date_h in (likely_h, count_on_h):
            a_h = date_h(one.openings[hold].at_h[1:])
            b_h = date_h(other.openings[hold].at_h[1:])
            most = DATE_H if b_h < NEAR_H else FAR_DATE_H
            if a_h != b_h and not abs(a_h - b_h) <= most:
                found.append(f"{hold}, {date_h.__name__}: {a_h:.2f} h: {b_h:.2f} h")
    return found


def hold_to_account(job: str, forecast: Path, count: int) -> None:
    week, wanted = week_of(job, forecast)
    chosen = np.unique(np.linspace(0, len(wanted) - 1, count).round().astype(int))
    quick = judge_starts(week, wanted)
    full = judge_starts(replace(week, full=True), [wanted[i] for i in chosen])
    differ = {}
    for i, other in zip(chosen.tolist(), full, strict=True):
        if hopelessly_late(week.case, wanted[i]):  # judged by few members: the verdict alone
            differ[i] = [] if quick[i].verdict == other.verdict else [other.verdict]
        else:
            differ[i] = apart(quick[i], other)
    assert not {i: found for i, found in differ.items() if found}


def test_a_few_starts_of_the_crane_base() -> None:
    hold_to_account("crane-base", SAMPLES / "weather" / "crane-base-hourly.json", 3)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.xfail(
    strict=False,
    reason="seven of ten weeks: dates half an hour to six hours apart; where a mix sets only after"
    " 14 days of frost its setting is not followed on (docs/speed.md)",
)
@pytest.mark.parametrize("job", ["crane-base", "spring-pad"])
@pytest.mark.parametrize(
    "forecast",
    [
        SAMPLES / "weather" / "crane-base-hourly.json",
        SAMPLES / "weather" / "spring-pad-hourly.json",
        SAVED / "hourly-frost.json",
        SAVED / "hourly-march.json",
        SAVED / "hourly-november.json",
    ],
    ids=lambda path: path.stem,
)
def test_weeks(job: str, forecast: Path) -> None:
    hold_to_account(job, forecast, 12)
