"""What one replayed week draws: a place and a time, a slab, a batch; and its forecast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from curecast.core.weather.seams import preceded
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from tests.fixtures.command_line import job_text
from tests.replay.forecasts import forecast_at
from tests.replay.pairs import WEEK_H
from tests.replay.stations import NEW_YEAR_H, STATIONS, Station, evening_h, observed

#: Hours of a station before the forecast. [h]
PAST_H = 96
#: Mean of the week, and its coldest hour: weeks in which somebody may pour bare. [°C]
_MEAN_C, _LEAST_C = (1.0, 13.0), -8.0


@dataclass(frozen=True)
class Scene:
    """What one seed draws."""

    station: Station
    now_h: int
    exposure: str
    thickness_mm: int
    width_m: float
    placed_c: float | None
    z: float


def scene_of(seed: int, mean_c: tuple[float, float] = _MEAN_C) -> Scene:
    """A week of the cool half of the year, and a slab."""
    rng = np.random.default_rng([seed, 81])
    station = STATIONS[int(rng.integers(len(STATIONS)))]
    while True:
        day = int(rng.integers(365))
        now_h = NEW_YEAR_H + 24 * day + evening_h(station)
        air = observed(station, now_h, WEEK_H).air_c
        if mean_c[0] <= air.mean() <= mean_c[1] and air.min() >= _LEAST_C:
            break
    return Scene(
        station, now_h, str(rng.choice(["open", "roofed", "shed"])),
        int(rng.choice([100, 150, 200])), float(rng.choice([0.9, 1.2, 2.4])),
        None if rng.random() < 0.5 else float(rng.choice([10.0, 13.0, 16.0])),
        float(rng.standard_normal()),
    )  # fmt: skip


def job_of(scene: Scene) -> Job:
    """The job of a scene; ground and concrete as placed follow from the weather where left open."""
    placed = None if scene.placed_c is None else f'"{scene.placed_c:g} C"'
    text = job_text(
        site={
            "place": f'"{scene.station.place}"', "zone": f'"{scene.station.zone}"',
            "exposure": f'"{scene.exposure}"',
        },
        ground={"temperature": None},
        slab={
            "length": '"2.4 m"', "width": f'"{scene.width_m} m"',
            "thickness": f'"{scene.thickness_mm} mm"',
        },
        placement={"temperature": placed},
    )  # fmt: skip
    return parse_job(text, "replay")


def forecast_of(scene: Scene, seed: int, *, known_past: bool = True) -> Forecast:
    """A week's forecast, off as measured forecasts were, after four days of a station's hours."""
    rng = np.random.default_rng([seed, 82])
    plain = forecast_at(scene.station, scene.now_h, rng)
    if not known_past:
        return plain
    past = observed(scene.station, scene.now_h - PAST_H, PAST_H)
    return preceded(plain, past, scene.station.name)
