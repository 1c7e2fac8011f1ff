"""Replayed winters: observed hours as truth, a slab of its own strength, a thermometer.

One seed is one pour. Its weather is a stretch of observed hours (the typical years of two
stations that pvlib brings along, made of months as they were observed); its site is warmer or
colder than the station by 1.5 to 4 K, which the tool is not told; its strength is drawn from
the stated doubt; a thermometer with noise is read twice a day. The tool then says its dates
twice from the same forecast, once with the readings and once without.

    python -m tests.replay.winters --seeds 200 --out replay.csv
"""

from __future__ import annotations

import argparse
import csv
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from curecast.core.correction import modelled_c
from curecast.core.histories import EDGE, SURFACE
from curecast.core.measured import Measured
from curecast.core.openings import Strengths, count_on_h, likely_h, openings
from curecast.core.tracked import Pour, track
from curecast.core.weather.doubt import air_error_c
from curecast.core.weather.ensemble import members
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.reader import parse_job
from curecast.prospect import slab
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.record import Record, Seen
from tests.fixtures.command_line import job_text

#: Lighter than the tool's own 100 members and 180 days, so that many seeds are affordable.
MEMBERS, HORIZON_H = 50, 40 * 24.0
HOLDS = ("walk", "strip", "end-protection", "light-load")
STATIONS = ("723170TYA.CSV", "703165TY.csv")
#: Readings up to here; what is ahead is judged from here. [h]
NOW_H = 84.0
READING_NOISE_K = 0.7
_YEAR_H = 8760


@lru_cache
def station(name: str) -> dict[str, np.ndarray]:
    """A typical year of hours: air, dew point, wind, cloud."""
    import pvlib

    with (Path(pvlib.__file__).parent / "data" / name).open(encoding="utf-8") as file:
        next(file)
        rows = list(csv.DictReader(file))
    columns = {
        "air_c": "Dry-bulb (C)", "dew_point_c": "Dew-point (C)", "wind_ms": "Wspd (m/s)",
        "cloud": "TotCld (tenths)",
    }  # fmt: skip
    found = {k: np.array([float(r[c]) for r in rows]) for k, c in columns.items()}
    found["cloud"] /= 10.0
    return found


def truth(name: str, first: int, count: int, start_h: int) -> HourlyWeather:
    """A stretch of a station's year, set on the clock at ``start_h``."""
    at = (first + np.arange(count)) % _YEAR_H
    year = station(name)
    none = np.full(count, np.nan)
    return HourlyWeather(
        start_h, *(year[k][at] for k in ("air_c", "dew_point_c", "wind_ms", "cloud")), none, none,
        np.ones(count, dtype=np.int8),
    )  # fmt: skip


@dataclass(frozen=True)
class Scene:
    """What one seed draws."""

    station: str
    first: int
    offset_k: float
    z: float
    exposure: str
    air_too: bool


def scene_of(seed: int) -> Scene:
    """A pour in cool weather: the ten days after it 2 to 14 °C in the mean, no hard frost."""
    rng = np.random.default_rng([seed, 71])
    while True:
        name = STATIONS[int(rng.integers(2))]
        first = int(rng.integers(_YEAR_H) // 24 * 24 + 10)
        air = truth(name, first, 240, 0).air_c
        if 2.0 <= air.mean() <= 14.0 and air[:96].min() > -5.0:
            break
    size = float(rng.uniform(1.5, 4.0)) * (1.0 if rng.random() < 0.5 else -1.0)
    exposure = "shed" if rng.random() < 0.5 else "roofed"
    return Scene(name, first, size, float(rng.standard_normal()), exposure, rng.random() < 0.5)


def replay(seed: int) -> dict[str, Any]:
    """One pour: dates with and without readings against what came true."""
    scene, rng = scene_of(seed), np.random.default_rng([seed, 72])
    job = parse_job(job_text(site={"exposure": f'"{scene.exposure}"'}), "replay")
    start_h = 18_000 * 24 + scene.first
    weather = truth(scene.station, scene.first - 96, int(HORIZON_H) + 140, start_h - 96)
    case = case_of(job)
    pour = Pour(float(start_h), start_h + 2.0, job.placing.temperature_c, case.covers, 24.0)
    true_case = replace(case, exposure=replace(case.exposure, air_offset_k=scene.offset_k))
    lead = np.ones(len(weather))
    exact = members(weather, lead, count=0, seed=0, latitude=job.site.latitude)
    exact = replace(
        exact, **{k: np.repeat(getattr(exact, k), 2, axis=1)
                  for k in ("air_c", "dew_point_c", "wind_ms", "cloud")}
    )  # fmt: skip
    nothing = Measured(*(np.zeros(0),) * 2, np.zeros(0, dtype=bool), np.zeros(0))
    real = track(
        true_case, exact, pour, nothing, HORIZON_H, ripe_h=np.full(2, np.inf), now_h=NOW_H,
        latitude=job.site.latitude, seed=0,
    ).past  # fmt: skip
    seen = list(_readings(real, pour, scene, rng))
    record = Record(
        start_h=pour.start_h, end_h=pour.end_h, placed_c=pour.placed_c,
        observed=tuple(
            (float(weather.start_h + i), float(weather.air_c[i]))
            for i in range(int(NOW_H) + 96)
        ),
    )  # fmt: skip
    forecast = _forecast(weather, int(pour.origin_h + NOW_H), seed, job.site.latitude)
    now_h = pour.origin_h + NOW_H
    without = slab.assess_slab(job, record, [forecast], now_h)
    with_them = slab.assess_slab(job, replace(record, seen=tuple(seen)), [forecast], now_h)
    row: dict[str, Any] = {"seed": seed, **scene.__dict__}
    for name, z in (("own", scene.z), ("median", 0.0)):
        strengths = Strengths(case.curve, np.full(2, z), has_section=True)
        dates = openings(real, strengths, rules_of(job), pour.placed_h)
        row |= {f"true {name} {h}": float(dates[h].at_h[0]) for h in HOLDS}
    for name, answer in (("without", without), ("with", with_them)):
        ahead = openings(answer.past, answer.strengths, rules_of(job), answer.placed_h)
        for hold in HOLDS:
            row[f"{name} likely {hold}"] = likely_h(ahead[hold].at_h[1:])
            row[f"{name} count {hold}"] = count_on_h(ahead[hold].at_h[1:])
        row |= {f"{name} {k}": v for k, v in _coverage(answer.past, real).items()}
    row["offset found"] = float(with_them.site.offset_k[0])
    return row


def _readings(real: Any, pour: Pour, scene: Scene, rng: np.random.Generator) -> Iterator[Seen]:
    for at in np.arange(6.0, NOW_H, 12.0):
        for where in ("surface", "air") if scene.air_too else ("surface",):
            one = Measured(np.array([at]), np.zeros(1), np.array([where == "air"]), np.zeros(1))
            value = float(modelled_c(real, one)[0, 0]) + READING_NOISE_K * rng.standard_normal()
            yield Seen(pour.origin_h + at, value, where)


def _forecast(weather: HourlyWeather, now_h: int, seed: int, latitude: float | None) -> Forecast:
    """Seven days of forecast, off by an error drawn from the stated doubt."""
    ahead = weather.from_hour(now_h)
    ahead = replace(ahead, **{
        k: getattr(ahead, k)[:168]
        for k in ("air_c", "dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain", "span")
    })  # fmt: skip
    lead = np.arange(168) / 24.0 + 0.5
    error = air_error_c(ahead, lead, 1, seed + 100_000, latitude)[:, 0]
    drop = ahead.air_c - ahead.dew_point_c
    air = ahead.air_c - error
    ahead = replace(ahead, air_c=air, dew_point_c=air - drop)
    return Forecast("replay", float(now_h), float(now_h), ahead)


def _coverage(past: Any, real: Any) -> dict[str, float]:
    """Share of the hours of the coming three days that kept what nine of ten members said."""
    hours = np.arange(NOW_H + 1.0, NOW_H + 73.0)
    found: dict[str, float] = {}
    for place, name in ((SURFACE, "surface"), (EDGE, "edge")):
        said = np.array([np.interp(hours, past.t_h, m) for m in past.temp_c[:, place, 1:].T])
        was = np.interp(hours, real.t_h, real.temp_c[:, place, 0])
        found[f"hours above low {name}"] = float(np.mean(was >= np.quantile(said, 0.1, axis=0)))
        found[f"hours below high {name}"] = float(np.mean(was <= np.quantile(said, 0.9, axis=0)))
        found[f"coldest kept {name}"] = float(was.min() >= np.quantile(said.min(axis=1), 0.1))
    return found


def scores(rows: list[dict[str, Any]]) -> dict[str, float]:
    """What the rows come to."""

    def column(name: str) -> np.ndarray:
        return np.array([float(r[name]) for r in rows])

    found: dict[str, float] = {"seeds": len(rows)}
    for truth_name in ("own", "median"):
        off = {}
        for which in ("without", "with"):
            each = [
                np.abs(np.minimum(column(f"{which} likely {h}"), HORIZON_H)
                       - np.minimum(column(f"true {truth_name} {h}"), HORIZON_H))
                for h in HOLDS
            ]  # fmt: skip
            off[which] = np.mean(each, axis=0)
            found |= {
                f"{truth_name}: mean error {which} {h} [h]": float(e.mean())
                for h, e in zip(HOLDS, each, strict=True)
            }
        found[f"{truth_name}: share better"] = float(np.mean(off["with"] < off["without"]))
        found[f"{truth_name}: error with / without"] = float(
            off["with"].mean() / off["without"].mean()
        )
    for which in ("without", "with"):
        for hold in HOLDS:
            kept = column(f"true own {hold}") <= column(f"{which} count {hold}") + 1e-6
            found[f"dates kept {which} {hold}"] = float(kept.mean())
        for name in rows[0]:
            if name.startswith(f"{which} hours") or name.startswith(f"{which} coldest"):
                found[f"temperatures {name}"] = float(column(name).mean())
    wrong = column("offset found") - column("offset_k")
    found["offset: mean error left [K]"] = float(np.abs(wrong).mean())
    return found


def main() -> None:
    """Replay seeds and print what they come to; rows are kept as they come."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--seeds", type=int, default=200)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--out", type=Path, default=Path("replay.csv"))
    given = words.parse_args()
    slab.MEMBERS, slab.HORIZON_H, slab._ALWAYS_AHEAD_H = MEMBERS, HORIZON_H, 0.0
    rows: list[dict[str, Any]] = []
    for seed in range(given.first, given.first + given.seeds):
        rows.append(replay(seed))
        with given.out.open("w", newline="", encoding="utf-8") as file:
            table = csv.DictWriter(file, rows[0].keys())
            table.writeheader()
            table.writerows(rows)
    for name, value in scores(rows).items():
        print(f"{name:<48} {value:8.3f}")


if __name__ == "__main__":
    main()
