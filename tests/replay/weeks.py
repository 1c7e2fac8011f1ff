"""Replayed weeks: what is said before a pour, against what then came.

One seed is one week before a pour. The weather is a stretch of observed hours; the forecast is
that weather with errors resampled from measured pairs (``pairs``), not from the tool's own
model of them; the batch's strength is a draw that the tool is not told. The tool sees the
forecast alone and judges every start of the week. The start it prefers, and one taken at random
for what is said of starts in general, are then poured in the weather that came.

    python -m tests.replay.weeks --seeds 250 --out weeks.csv
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

from curecast.core import starts
from curecast.core.chunks import run_starts
from curecast.core.ground import day_mean_c
from curecast.core.histories import EDGE, SURFACE, Histories
from curecast.core.marches import EARLY_H
from curecast.core.measured import Measured
from curecast.core.openings import Strengths, count_on_h, likely_h, openings
from curecast.core.protection import Measure
from curecast.core.rules.limits import KEPT
from curecast.core.starts import Judged
from curecast.core.tracked import Pour, track
from curecast.core.weather.ensemble import Members, members
from curecast.core.weekly import WARM_TO_C, Candidate, Week
from curecast.job.layout import Job
from curecast.prospect import week as weekly
from curecast.prospect.case import case_of, rules_of
from tests.replay.pairs import WEEK_H
from tests.replay.reference_edge import NEAR_C, edge_least_c
from tests.replay.rows import kept
from tests.replay.scores import HOLDS, WEEKS_H
from tests.replay.stations import observed
from tests.replay.week_scenes import Scene, forecast_of, job_of, scene_of

#: Means of frosty weeks; below this edge the fine solver is asked. [°C]
FROSTY_C = (-1.0, 7.0)
NEAR_BARE_C = 0.7
#: Hours after placing over which temperatures are scored. [h]
SCORED_H = 72


def poured(
    scene: Scene, job: Job, judged: Judged, offset_k: float, until_h: float = WEEKS_H
) -> tuple[Histories, Pour, Members]:
    """The slab as it came, two equal columns: observed weather, the judged start and measure."""
    case = case_of(job)
    start_h = judged.candidate.start_h
    first = int(start_h) - 96
    weather = observed(scene.station, first, int(until_h) + 140)
    exact = members(weather, np.ones(len(weather)), count=0, seed=0, latitude=job.site.latitude)
    exact = Members(
        first, *(np.repeat(v, 2, axis=1)
                 for v in (exact.air_c, exact.dew_point_c, exact.wind_ms, exact.cloud))
    )  # fmt: skip
    case = replace(case, exposure=replace(case.exposure, air_offset_k=offset_k))
    day_c = day_mean_c(case, exact, np.array([start_h]))[0]
    warm = WARM_TO_C if judged.measure.warm_mix else None
    pour = Pour(
        start_h, start_h + case.placing_h, float(case.placed_at_c(day_c, warm)[0]),
        judged.measure.spells, case.strip_at_h,
    )  # fmt: skip
    nothing = Measured(*(np.zeros(0),) * 2, np.zeros(0, dtype=bool), np.zeros(0))
    done = track(
        case, exact, pour, nothing, until_h, ripe_h=np.full(2, np.inf), now_h=0.0,
        latitude=job.site.latitude, seed=0,
    )  # fmt: skip
    return done.past, pour, exact


_every_hour = weekly.candidates


def _twice_a_day(job: Job, now_h: float, until_h: float) -> list[Candidate]:
    """Two starts a day, so that many seeds are affordable."""
    return _every_hour(job, now_h, until_h)[2::5]


_every_measure = weekly.measures


def _bare_alone(*given: Any, **more: Any) -> list[Measure]:
    """No protection but the job's own."""
    return _every_measure(*given, **more)[:1]


def replay(seed: int, *, offset_sd_k: float = 0.0, known_past: bool = True) -> dict[str, Any]:
    """One week: what was said of two of its starts, and what came."""
    scene = scene_of(seed)
    job = job_of(scene)
    forecast = forecast_of(scene, seed, known_past=known_past)
    with patch.object(weekly, "candidates", _twice_a_day):
        answer = weekly.assess_week(job, forecast, float(scene.now_h))
    rng = np.random.default_rng([seed, 83])
    offset_k = offset_sd_k * float(rng.standard_normal())
    week = answer.shared
    assert week is not None
    row: dict[str, Any] = {"seed": seed, **{k: v for k, v in scene.__dict__.items()}}
    row |= {"station": scene.station.name, "offset_k": offset_k}
    row |= air_kept(week, scene, offset_k)
    any_start = answer.starts[int(rng.integers(len(answer.starts)))]
    chosen = {"any": any_start}
    if answer.best is not None:
        chosen["best"] = answer.starts[answer.best]
    for which, judged in chosen.items():
        fine = which == "best"
        found = start_kept(week, scene, job, judged, offset_k, fine=fine)
        row |= {f"{which} {k}": v for k, v in found.items()}
    return row


def replay_bare(seed: int) -> dict[str, Any]:
    """A frosty week, and of all bare starts that are called safe from frost the coldest."""
    scene = scene_of(seed, FROSTY_C)
    job = job_of(scene)
    with (
        patch.object(weekly, "candidates", _twice_a_day),
        patch.object(weekly, "measures", _bare_alone),
        patch.object(starts, "HORIZON_H", 20 * 24.0),
    ):
        answer = weekly.assess_week(job, forecast_of(scene, seed), float(scene.now_h))
    week = answer.shared
    assert week is not None
    bare = [j for j in answer.starts if j.measure.level == 0 and j.frost.finding.verdict == KEPT]
    row: dict[str, Any] = {"seed": seed, "station": scene.station.name, "exposure": scene.exposure}
    if not bare:
        return row
    judged = min(bare, key=lambda j: j.frost.coldest_c)
    real, pour, weather = poured(scene, job, judged, 0.0, 200.0)
    until_h = _watched_h(week, scene, real, pour)
    span = (real.t_h > 0.0) & (real.t_h <= until_h)
    row |= {
        "at_h": pour.start_h, "chance freeze": judged.frost.chance_freeze,
        "said coldest": judged.frost.coldest_c, "came coldest": real.coldest_c[span, 0].min(),
        "came arris": real.temp_c[span, EDGE, 0].min(), "air": real.air_c[span, 0].min(),
        "watched_h": until_h,
    }  # fmt: skip
    if row["came arris"] < NEAR_BARE_C:
        row["fine edge"] = edge_least_c(week.case, weather, pour, until_h, job.site.latitude)
    return row


def _watched_h(week: Week, scene: Scene, real: Histories, pour: Pour) -> float:
    """Until when the concrete must not freeze: a day, or 3.5 MPa of its own strength. [h]"""
    own = _own_strengths(week, scene)
    bears_h = float(own.reached_h(real, week.limits.freeze_strength_mpa, "coldest")[0])
    return max(pour.placed_h + 24.0, min(bears_h, 2.0 * SCORED_H))


def _own_strengths(week: Week, scene: Scene) -> Strengths:
    return Strengths(
        week.case.curve, np.full(2, scene.z), week.case.top_factor, week.case.anchor_at_edge,
        week.case.moist_cure_h, has_section=True,
    )  # fmt: skip


def air_kept(week: Week, scene: Scene, offset_k: float) -> dict[str, float]:
    """Hours of the forecast's week, and coldest hours of its nights, over nine in ten's."""
    came = observed(scene.station, scene.now_h, WEEK_H).air_c + offset_k
    first = scene.now_h - week.weather.start_h
    said = week.weather.air_c[first : first + WEEK_H, 1:]
    nights = said.reshape(7, 24, -1).min(axis=1)
    night_came = came.reshape(7, 24).min(axis=1)
    return {
        "air hours above low": float(np.mean(came >= np.quantile(said, 0.1, axis=1))),
        "air hours below high": float(np.mean(came <= np.quantile(said, 0.9, axis=1))),
        "air coldest kept": float(np.mean(night_came >= np.quantile(nights, 0.1, axis=1))),
    }


def start_kept(
    week: Week, scene: Scene, job: Job, judged: Judged, offset_k: float, *, fine: bool
) -> dict[str, float | str]:
    """One start: what was said of it, and what came of it."""
    real, pour, weather = poured(scene, job, judged, offset_k)
    said = run_starts(week, [judged.candidate], judged.measure, EARLY_H)[0]
    found: dict[str, float | str] = {
        "at_h": judged.candidate.start_h, "verdict": judged.verdict,
        "level": judged.measure.level, "days ahead": (pour.start_h - scene.now_h) / 24.0,
    }  # fmt: skip
    hours = pour.placed_h + np.arange(1.0, SCORED_H + 1.0)
    for place, name in ((SURFACE, "surface"), (EDGE, "edge")):
        each = np.array([np.interp(hours, said.t_h, m) for m in said.temp_c[:, place, 1:].T])
        was = np.interp(hours, real.t_h, real.temp_c[:, place, 0])
        found[f"{name} hours above low"] = float(np.mean(was >= np.quantile(each, 0.1, axis=0)))
        found[f"{name} hours below high"] = float(np.mean(was <= np.quantile(each, 0.9, axis=0)))
        low = np.quantile(each.min(axis=1), 0.1)
        found[f"{name} coldest kept"] = float(was.min() >= low)
        found[f"{name} coldest over likely [K]"] = float(was.min() - each.min(axis=1).mean())
    dates = openings(real, _own_strengths(week, scene), rules_of(job), pour.placed_h)
    for hold in HOLDS:
        found[f"true {hold}"] = float(dates[hold].at_h[0])
        found[f"count {hold}"] = count_on_h(judged.openings[hold].at_h[1:])
        found[f"likely {hold}"] = likely_h(judged.openings[hold].at_h[1:])
    until_h = _watched_h(week, scene, real, pour)
    span = (real.t_h > 0.0) & (real.t_h <= until_h)
    found |= {
        "chance freeze": judged.frost.chance_freeze, "said coldest": judged.frost.coldest_c,
        "said likely coldest": judged.frost.likely_coldest_c,
        "came coldest": float(real.coldest_c[span, 0].min()),
        "coldest air": float(real.air_c[span, 0].min()),
        "came arris": float(real.temp_c[span, EDGE, 0].min()),
        "watched_h": until_h,
    }  # fmt: skip
    if fine and judged.measure.level == 0 and float(found["came arris"]) < NEAR_C:
        case = replace(week.case, exposure=replace(week.case.exposure, air_offset_k=offset_k))
        found["fine edge"] = edge_least_c(case, weather, pour, until_h, job.site.latitude)
    if fine and judged.frost.likely_coldest_c < NEAR_C:
        expected = replace(pour, placed_c=judged.placed_c)
        found["fine edge in the forecast"] = edge_least_c(
            week.case, week.weather, expected, pour.placed_h + 24.0, job.site.latitude
        )
    return found


def main() -> None:
    """Replay weeks; rows are kept as they come."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--seeds", type=int, default=200)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--offset", type=float, default=0.0, help="sd of the site's own, K")
    words.add_argument("--blind", action="store_true", help="no station before the forecast")
    words.add_argument("--bare", action="store_true", help="coldest bare starts of frosty weeks")
    words.add_argument("--out", type=Path, default=Path("weeks.csv"))
    given = words.parse_args()
    one = partial(replay, offset_sd_k=given.offset, known_past=not given.blind)
    kept(
        replay_bare if given.bare else one, range(given.first, given.first + given.seeds), given.out
    )


if __name__ == "__main__":
    main()
