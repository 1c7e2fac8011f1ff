"""Whole pours with source, soil, weather and covers, against a fine-grid stiff solver.

The solver is scipy's BDF on cells of 0.2 mm at the faces, in tests/reference: it shares no line
with the core, and its own tests hold it to closed solutions. Twice as fine a grid moves it by
0.002 °C.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.core.heat.layers import layers
from curecast.core.heat.soil import slab_widths
from curecast.core.heat.stepping import FINE
from curecast.core.weather.climate import extended
from curecast.job.layout import Cover
from curecast.job.reader import read_job
from curecast.prospect.trace import trace_start
from curecast.sources.forecast_file import read_forecast
from tests.reference.cases import STILL, CoverSpell, PouredCase
from tests.reference.column_reference import POINTS, solve_column
from tests.validation.pictures import profiles, week
from tests.validation.rows import Agree

Picture = Callable[[str, str, str], None]

SOURCE = "Reference column: scipy's BDF, fine grid"
SAMPLES = Path(__file__).parents[2] / "sample_jobs"
HOURS = 168
BLANKET = Cover(0.352, 10.0, 76.0)
LIMIT_K = 0.15
WANTED = "what two builders may differ by"

# What `trace` says went in, and what the reference calls it.
NAMES = {
    "thickness_m": "thickness_m",
    "concrete_w_mk": "conductivity_w_mk",
    "concrete_kg_m3": "density_kg_m3",
    "concrete_j_kgk": "heat_capacity_j_kgk",
    "soil_w_mk": "soil_conductivity_w_mk",
    "soil_kg_m3": "soil_density_kg_m3",
    "soil_j_kgk": "soil_heat_capacity_j_kgk",
    "soil_depth_m": "soil_depth_m",
    "under_r_m2k_w": "insulation_m2k_w",
    "placement_c": "placement_c",
    "ground_c": "ground_c",
    "deep_c": "deep_c",
    "heat_j_kg": "heat_j_kg",
    "cement_kg_m3": "cement_kg_m3",
    "alpha_u": "alpha_u",
    "tau_h": "tau_h",
    "beta": "beta",
    "activation_j_mol": "activation_j_mol",
    "heat_reference_c": "reference_c",
    "sky_view": "sky_view",
    "sun": "sun_share",
    "wind_factor": "wind_factor",
    "solar_absorptance": "absorptance",
    "latitude": "latitude_deg",
    "longitude": "longitude_deg",
    "bleed_water_kg_m2": "bleed_kg_m2",
}


@pytest.fixture(scope="module")
def cold_week() -> dict[str, Any]:
    """The spring pad, poured in the crane base's March: frosty nights, a blanket 10 to 76 h."""
    job = replace(read_job(SAMPLES / "spring-pad.toml"), covers=(BLANKET,))
    forecast = read_forecast(SAMPLES / "weather" / "crane-base-grid.json")
    start_h = forecast.weather.start_h + 2.0
    trace = trace_start(job, forecast, start_h, HOURS)
    said = trace["parameters"]
    weather = extended(forecast.weather, int(start_h) + HOURS + 2, said["latitude"])
    columns = ("start_h", "air_c", "dew_point_c", "wind_ms", "cloud")
    cover = {"from_h": BLANKET.from_h, "to_h": BLANKET.to_h, "r_m2k_w": BLANKET.r_m2k_w}
    judge = solve_column(
        {theirs: said[ours] for ours, theirs in NAMES.items()} | {"set_factor": 1.0},
        {name: getattr(weather, name) for name in columns},
        start_h,
        np.arange(HOURS + 1.0),
        [cover | {"absorptance": BLANKET.solar_absorptance}],
    )
    return {"trace": trace, "judge": judge}


def hourly(week: dict[str, Any], quantity: str, place: str) -> np.ndarray:
    return np.array([row[quantity][place] for row in week["trace"]["hours"]])


def test_a_week_of_temperatures(agree: Agree, picture: Picture, cold_week: dict[str, Any]) -> None:
    temps = {place: hourly(cold_week, "temperature_c", place) for place in POINTS}
    judge = cold_week["judge"]["temperature_c"]
    for place in POINTS:
        agree(
            f"cold week, {place}, every hour from the first to {HOURS} h", SOURCE,
            judge[place][1:], temps[place][1:], LIMIT_K, "°C", "solver", note=WANTED,
        )  # fmt: skip
        agree(
            f"cold week, {place}, coldest of the first 24 h", SOURCE,
            judge[place][:25].min(), temps[place][:25].min(), LIMIT_K, "°C", "solver", note=WANTED,
        )  # fmt: skip
    title = "A cold week on an open pad: curecast against a fine-grid stiff solver"
    hours = np.arange(HOURS + 1.0)
    air = np.array([row["air_c"] for row in cold_week["trace"]["hours"]])
    drawn = week(title, hours, air, temps, judge, [(BLANKET.from_h, BLANKET.to_h)], LIMIT_K)
    picture("validation-cold-week.svg", title, drawn)


@pytest.mark.parametrize("age", ["heat_age_h", "strength_age_h", "ttf_c_h"])
def test_a_week_of_ages(agree: Agree, cold_week: dict[str, Any], age: str) -> None:
    name = {"heat_age_h": "heat age", "strength_age_h": "equivalent age"}.get(age, "degree-hours")
    for place in POINTS:
        theirs = cold_week["judge"][age][place][1:]
        ours = hourly(cold_week, age, place)[1:]
        unit = "°C h" if age == "ttf_c_h" else "h"
        agree(
            f"cold week, {place}, {name}", SOURCE, theirs, ours, 0.01 * theirs, unit,
            "solver", note="1 %, what two builders may differ by",
        )  # fmt: skip


def test_final_set_and_water(agree: Agree, cold_week: dict[str, Any]) -> None:
    said = cold_week["trace"]["parameters"]
    lost = float(cold_week["judge"]["evaporated_kg_m2"][-1])
    agree("cold week, water that evaporates", SOURCE, lost, said["evaporated_kg_m2"],
          0.01 * lost, "kg/m2", "solver", note="1 %")  # fmt: skip
    share = cold_week["judge"]["set_share"]
    theirs = float(np.interp(1.0, share, np.arange(len(share))))
    agree(
        "cold week, final set of the face", SOURCE, theirs, said["final_set_h"], 0.05, "h",
        "solver", note="the reference is read between whole hours",
    )  # fmt: skip


SLAB = PouredCase(
    "200 mm, open, still clear nights, blanket from 8 h", STILL, 0.20, 14.0, 4.0, 9.0,
    covers=(CoverSpell(0.35, 8.0, 60.0),), at_h=14.0,
)  # fmt: skip
LOOKS_H = (1, 3, 6, 12, 18, 24, 36, 48)


def test_through_the_slab(agree: Agree, picture: Picture) -> None:
    steps = {round(s.t_h, 6): s for s in SLAB.steps(48.0, FINE, 40, passes=3)}
    column = SLAB.column(40)
    slab = slab_widths(column.thickness_m, 40)
    depth = np.concatenate(
        [np.cumsum(slab) - slab / 2, column.thickness_m + layers(column).soil_depth_m]
    )
    parameters, sky, start_h, covers = SLAB.reference()
    judge = solve_column(parameters, sky, start_h, [float(h) for h in LOOKS_H], covers)
    ours, theirs = [], []
    for i, hour in enumerate(LOOKS_H):
        field, fine = steps[hour].field_c[:, 0], judge["profile_c"][i]
        within = depth < 0.6
        expected = np.interp(depth[within], judge["depth_m"], fine)
        agree(
            f"{SLAB.name}: through slab and soil to 0.6 m at {hour} h", SOURCE, expected,
            field[within], LIMIT_K, "°C", "solver", note=WANTED,
        )  # fmt: skip
        ours.append((depth, field))
        theirs.append((judge["depth_m"], fine))
    title = "Through a slab of 200 mm and its soil, hour by hour, blanket from 8 h"
    drawn = profiles(title, column.thickness_m, LOOKS_H, ours, theirs)
    picture("validation-through-the-slab.svg", title, drawn)
