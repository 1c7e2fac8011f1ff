"""The hour-by-hour history of one start, without forecast error, for whoever checks the model."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.rates import _gamma
from curecast.core.concrete.setting import _set_rate
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.edges import EDGE_FINE, edge_section
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.column import march
from curecast.core.heat.covers import cover_state, switch_times_h
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.hydration import heat_rate_age
from curecast.core.heat.layers import Column
from curecast.core.heat.section import march as edge_march
from curecast.core.heat.section_history import EdgeHistory
from curecast.core.heat.stepping import FINE, step_times_h
from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.job.layout import Job
from curecast.prospect.case import case_of
from curecast.prospect.trace_numbers import trace_numbers
from curecast.prospect.week_weather import lead_days

Array = NDArray[np.float64]

CELLS = 40
POINTS = ("surface", "middle", "bottom")
#: 28 days. [h]
TRACE_H = 672


def trace_start(
    job: Job, forecast: Forecast, start_h: float, hours: int = TRACE_H
) -> dict[str, Any]:
    """Temperatures, ages and strength of one start at every hour.

    Parameters
    ----------
    job : Job
        As read.
    forecast : Forecast
        Its weather is taken as it stands; climatology follows it.
    start_h : float
        t = 0: the whole column lies at the placement temperature, all ages 0; hours since
        1970. [h]
    hours : int
        Length. [h]

    Returns
    -------
    dict
        ``parameters`` and ``hours`` of the JSON answer. ``edge`` is the top arris, ``side``
        the side at mid-depth, ``anchor`` the colder of top and mid-depth at the anchors'
        distance from the edge; ``centre_difference_k`` how much a slab so narrow is warmer in
        its middle than the column, at most, from the first hour on.

    Raises
    ------
    WeatherUnusable
        Where the forecast does not hold the start.
    """
    weather = forecast.weather
    if not weather.start_h <= start_h <= weather.end_h:
        raise WeatherUnusable(
            "the forecast does not hold that start", "choose a start within its hours"
        )
    case, latitude = case_of(job), job.site.latitude
    until_h = math.ceil(start_h + hours) + 2
    weather = extended(weather, until_h, latitude, normals_c=job.climate.normals_c)
    ensemble = members(
        weather,
        lead_days(weather, forecast.hour_issues_h(len(weather))),
        count=0,
        seed=0,
        latitude=latitude,
    )
    start = np.array([start_h])
    column = Column(
        thickness_m=case.thickness_m,
        hydration=case.hydration,
        placed_c=case.placed_at_c(day_mean_c(case, ensemble, start))[0],
        ground_c=ground_c(case, ensemble, start)[0],
        deep_c=deep_c(case, ensemble, latitude),
        under_r_m2k_w=case.under_r_m2k_w,
        concrete=case.concrete,
        soil=case.soil,
        evaporates=case.evaporates,
        concrete_cells=CELLS,
        soil_cells=CELLS,
    )
    rows, final_set_h, water = _march(column, case, ensemble, start, hours)
    edge = edge_march(
        edge_section(case, column),
        MemberForcing(ensemble, case.exposure, start),
        case.covers,
        float(hours),
        plan=EDGE_FINE,
    )
    for row in rows:
        _add_edge(case.curve, edge, row)
    numbers = trace_numbers(job, column, final_set_h, water, forecast, start_h)
    return {
        "parameters": {**numbers, "centre_difference_k": _centre_difference_k(rows)},
        "hours": rows,
    }


def _centre_difference_k(rows: list[dict[str, Any]]) -> dict[str, float]:
    """How far the middle of this width strays from the column, at most; below 0 it is colder."""
    pairs = zip(POINTS, ("centre_top", "centre_middle", "centre_bottom"), strict=True)
    found = {}
    for place, centre in pairs:
        temps = [row["temperature_c"] for row in rows if row["t_h"] >= 1]
        found[place] = max((t[centre] - t[place] for t in temps), key=abs, default=0.0)
    return found


def _march(
    column: Column, case: Any, ensemble: Members, start: Array, hours: int
) -> tuple[list[dict[str, Any]], float | None, float]:
    """The rows of the answer, final set of the face, and the water that evaporated."""
    forcing = MemberForcing(ensemble, case.exposure, start)
    times = step_times_h(float(hours), switch_times_h(case.covers, float(hours)), plan=FINE)
    times = np.unique(np.concatenate([times, np.arange(hours + 1.0)]))
    ages = np.zeros((3, 3))  # heat age, strength age, temperature-time factor by place
    before: Array | None = None
    rates = np.zeros((2, 3))
    set_share, set_h, water = 0.0, None, 0.0
    rows: list[dict[str, Any]] = []
    for step in march(column, forcing, case.covers, times, passes=3):
        now = np.array([step.surface_c[0], step.middle_c[0], step.bottom_c[0]])
        new = np.stack([heat_rate_age(now, column.hydration), _gamma(now)])
        if before is not None:
            ages[:2] += 0.5 * step.dt_h * (rates + new)
            ages[2] += step.dt_h * np.maximum(0.5 * (before + now), 0.0)
            gained = float(_set_rate(step.surface_c)[0]) * step.dt_h
            if set_h is None and set_share + gained >= 1.0:
                set_h = step.t_h - step.dt_h * (set_share + gained - 1.0) / gained
            set_share += gained
            water += float(step.evaporation_kg_m2_h[0]) * step.dt_h
        before, rates = now, new
        if abs(step.t_h - round(step.t_h)) < 1e-9:
            rows.append(_row(case, step, now, ages.copy()))
    return rows, set_h, water


def _add_edge(curve: StrengthCurve, edge: EdgeHistory, row: dict[str, Any]) -> None:
    """Put the section's places into one hour's row."""
    at = row["t_h"]

    def put(name: str, points: tuple[str, ...]) -> None:
        series = [edge.at(p) for p in points]
        coldest = min(series, key=lambda s: float(s["te20_h"][at, 0]))
        row["temperature_c"][name] = min(float(s["temp_c"][at, 0]) for s in series)
        row["heat_age_h"][name] = float(coldest["heat_age_h"][at, 0])
        te_h, ttf_c_h = float(coldest["te20_h"][at, 0]), float(coldest["ttf_c_h"][at, 0])
        row["strength_age_h"][name] = te_h
        row["ttf_c_h"][name] = ttf_c_h
        row["ttf_age_d"][name] = float(age_days_at_20_from_ttf(ttf_c_h))
        row["strength_mpa"][name] = float(curve.strength_mpa(te_h, ttf_c_h))

    put("edge", ("arris",))
    put("side", ("side_mid",))
    put("anchor", ("top_anchor", "mid_anchor"))
    put("anchor_top", ("top_anchor",))
    put("anchor_middle", ("mid_anchor",))
    put("centre_top", ("centre_top",))
    put("centre_middle", ("centre_mid",))
    put("centre_bottom", ("centre_bottom",))
    row["temperature_c"]["corner"] = float(edge.corner_c[at, 0])


def _row(case: Any, step: Any, temps: Array, ages: Array) -> dict[str, Any]:
    mpa = case.curve.strength_mpa(ages[1], ages[2])

    def by_place(values: Array) -> dict[str, float | None]:
        return {**{p: float(v) for p, v in zip(POINTS, values, strict=True)}, "edge": None}

    cover = cover_state(case.covers, step.t_h)
    return {
        "t_h": round(step.t_h),
        "air_c": float(step.face.around.air_c[0]),
        "wind_slab_ms": float(step.face.around.wind_ms[0]),
        "temperature_c": by_place(temps),
        "heat_age_h": by_place(ages[0]),
        "strength_age_h": by_place(ages[1]),
        "ttf_c_h": by_place(ages[2]),
        "ttf_age_d": by_place(age_days_at_20_from_ttf(ages[2])),
        "strength_mpa": by_place(mpa),
        "cover_m2k_w": cover.r_m2k_w,
        "heated_to_c": cover.heat_to_c,
    }
