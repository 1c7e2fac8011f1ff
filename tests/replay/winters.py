"""Replayed pours: what readings are worth after one, and whether nine in ten is nine in ten.

One seed is one pour. Its weather is a stretch of observed hours; its site is warmer or colder
than the station by 1.5 to 4 K, which the tool is not told; its strength is drawn from the stated
doubt; a thermometer with noise is read twice a day. On the fourth evening the tool says its
dates, with the readings and without them, and that twice over:

- ``forecast``: what is ahead is a forecast, off as measured ones were (``pairs``);
- ``given``: the station's later hours are given to both, so that what is left is what readings
  can tell.

    python -m tests.replay.winters --seeds 200 --out winters.csv
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

from curecast.core.correction import modelled_c
from curecast.core.histories import EDGE, SURFACE, Histories
from curecast.core.measured import Measured
from curecast.core.openings import Strengths, count_on_h, likely_h, openings
from curecast.core.tracked import Pour, track
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.prospect import slab
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.record import Record, Seen
from tests.fixtures.command_line import job_text
from tests.replay.forecasts import forecast_at
from tests.replay.rows import kept
from tests.replay.scores import HOLDS, WINTERS_H
from tests.replay.stations import NEW_YEAR_H, STATIONS, Station, evening_h, observed

#: Lighter than the tool's own 100 members and 180 days, so that many seeds are affordable.
HORIZON_H = WINTERS_H
LIGHTER = {"MEMBERS": 50, "HORIZON_H": HORIZON_H, "_ALWAYS_AHEAD_H": 0.0}
#: Readings up to here; what is ahead is judged from here. [h]
NOW_H = 80.0
#: What a station tells of the days before the pour. [h]
PAST_H = 96
READING_NOISE_K = 0.7
#: Hours ahead over which temperatures are scored. [h]
SCORED_H = 72


@dataclass(frozen=True)
class Scene:
    """What one seed draws."""

    station: Station
    start_h: int
    offset_k: float
    z: float
    exposure: str
    air_too: bool

    @property
    def now_h(self) -> int:
        """The fourth evening. [h]"""
        return self.start_h + int(NOW_H)


def scene_of(seed: int) -> Scene:
    """A pour in cool weather: the ten days after it 2 to 14 °C in the mean, no hard frost."""
    rng = np.random.default_rng([seed, 71])
    station = STATIONS[int(rng.integers(len(STATIONS)))]
    while True:
        day = int(rng.integers(365))
        start_h = NEW_YEAR_H + 24 * day + evening_h(station) - int(NOW_H)
        air = observed(station, start_h, 240).air_c
        if 2.0 <= air.mean() <= 14.0 and air[:96].min() > -5.0:
            break
    size = float(rng.uniform(1.5, 4.0)) * (1.0 if rng.random() < 0.5 else -1.0)
    exposure = "shed" if rng.random() < 0.5 else "roofed"
    return Scene(station, start_h, size, float(rng.standard_normal()), exposure, rng.random() < 0.5)


def _job(scene: Scene) -> Job:
    station = scene.station
    site = {
        "place": f'"{station.place}"', "zone": f'"{station.zone}"',
        "exposure": f'"{scene.exposure}"',
    }  # fmt: skip
    return parse_job(job_text(site=site), "replay")


def came(scene: Scene, job: Job) -> tuple[Histories, Pour]:
    """The slab as it came, two equal columns, and its placement."""
    case = case_of(job)
    pour = Pour(
        float(scene.start_h), scene.start_h + 2.0, job.placing.temperature_c, case.covers, 24.0
    )
    weather = observed(scene.station, scene.start_h - PAST_H, int(HORIZON_H) + PAST_H + 48)
    one = members(weather, np.ones(len(weather)), count=0, seed=0, latitude=job.site.latitude)
    twice = (np.repeat(v, 2, axis=1) for v in (one.air_c, one.dew_point_c, one.wind_ms, one.cloud))
    true_case = replace(case, exposure=replace(case.exposure, air_offset_k=scene.offset_k))
    nothing = Measured(*(np.zeros(0),) * 2, np.zeros(0, dtype=bool), np.zeros(0))
    done = track(
        true_case, Members(weather.start_h, *twice), pour, nothing, HORIZON_H,
        ripe_h=np.full(2, np.inf), now_h=NOW_H, latitude=job.site.latitude, seed=0,
    )  # fmt: skip
    return done.past, pour


def replay(seed: int) -> dict[str, Any]:
    """One pour: dates with and without readings against what came true."""
    scene, rng = scene_of(seed), np.random.default_rng([seed, 72])
    job = _job(scene)
    real, pour = came(scene, job)
    seen = tuple(_readings(real, pour, scene, rng))
    row: dict[str, Any] = {"seed": seed, **scene.__dict__, "station": scene.station.name}
    case = case_of(job)
    for name, z in (("own", scene.z), ("median", 0.0)):
        strengths = Strengths(case.curve, np.full(2, z), has_section=True)
        dates = openings(real, strengths, rules_of(job), pour.placed_h)
        row |= {f"true {name} {h}": float(dates[h].at_h[0]) for h in HOLDS}
    for ahead, record, forecasts in _told(scene, pour, seed):
        for name, readings in (("without", ()), ("with", seen)):
            with patch.multiple(slab, **LIGHTER):
                told = slab.assess_slab(
                    job, replace(record, seen=readings), forecasts, pour.origin_h + NOW_H
                )
            found = _said(told, job, scene.z)
            found |= _coverage(told.past, real)
            row |= {f"{ahead} {name} {k}": v for k, v in found.items()}
            row[f"{ahead} {name} offset"] = float(told.site.offset_k[0])
    return row


def _told(scene: Scene, pour: Pour, seed: int) -> Iterator[tuple[str, Record, Sequence[Forecast]]]:
    """What the tool is told of the weather, both ways."""
    station, first_h = scene.station, scene.start_h - PAST_H
    weather = observed(station, first_h, int(HORIZON_H) + PAST_H + 24)
    hours = [(float(first_h + i), float(v)) for i, v in enumerate(weather.air_c)]
    record = Record(start_h=pour.start_h, end_h=pour.end_h, placed_c=pour.placed_c)
    before = forecast_at(station, scene.start_h - 16, np.random.default_rng([seed, 73]))
    newest = forecast_at(station, scene.now_h, np.random.default_rng([seed, 74]))
    known = tuple(h for h in hours if h[0] <= scene.now_h)
    yield "forecast", replace(record, observed=known), [before, newest]
    all_of_it = Forecast("station", float(first_h), float(first_h), weather)
    yield "given", replace(record, observed=tuple(hours)), [all_of_it]


def _readings(
    real: Histories, pour: Pour, scene: Scene, rng: np.random.Generator
) -> Iterator[Seen]:
    for at in np.arange(6.0, NOW_H, 12.0):
        for where in ("surface", "air") if scene.air_too else ("surface",):
            one = Measured(np.array([at]), np.zeros(1), np.array([where == "air"]), np.zeros(1))
            value = float(modelled_c(real, one)[0, 0]) + READING_NOISE_K * rng.standard_normal()
            yield Seen(pour.origin_h + at, value, where)


def _said(told: Any, job: Job, z: float) -> dict[str, float]:
    """Dates as said, and as they would be said of a batch whose strength is known."""
    dates = openings(told.past, told.strengths, rules_of(job), told.placed_h)
    found = {f"likely {h}": likely_h(dates[h].at_h[1:]) for h in HOLDS}
    found |= {f"count {h}": count_on_h(dates[h].at_h[1:]) for h in HOLDS}
    own = replace(told.strengths, z=np.full_like(told.strengths.z, z), _ages={})
    dates = openings(told.past, own, rules_of(job), told.placed_h)
    return found | {f"own likely {h}": likely_h(dates[h].at_h[1:]) for h in HOLDS}


def _coverage(past: Histories, real: Histories) -> dict[str, float]:
    """Share of the hours of the coming three days that kept what nine of ten members said."""
    hours = np.arange(NOW_H + 1.0, NOW_H + 1.0 + SCORED_H)
    found: dict[str, float] = {}
    for place, name in ((SURFACE, "surface"), (EDGE, "edge")):
        said = np.array([np.interp(hours, past.t_h, m) for m in past.temp_c[:, place, 1:].T])
        was = np.interp(hours, real.t_h, real.temp_c[:, place, 0])
        found[f"hours above low {name}"] = float(np.mean(was >= np.quantile(said, 0.1, axis=0)))
        found[f"hours below high {name}"] = float(np.mean(was <= np.quantile(said, 0.9, axis=0)))
        found[f"coldest kept {name}"] = float(was.min() >= np.quantile(said.min(axis=1), 0.1))
    return found


def main() -> None:
    """Replay seeds; rows are kept as they come."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--seeds", type=int, default=200)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--out", type=Path, default=Path("winters.csv"))
    given = words.parse_args()
    kept(
        replay,
        range(given.first, given.first + given.seeds),
        given.out,
    )


if __name__ == "__main__":
    main()
