"""The hour-by-hour history of one start, without forecast error, for whoever checks the model."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.rates import _gamma
from curecast.core.concrete.setting import _set_rate
from curecast.core.heat import surface
from curecast.core.heat.column import BLEED_KG_M2, march
from curecast.core.heat.covers import cover_state, switch_times_h
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.hydration import heat_rate_age
from curecast.core.heat.layers import Column
from curecast.core.heat.soil import SOIL_DEPTH_M
from curecast.core.heat.stepping import FINE, step_times_h
from curecast.core.marches import day_mean_c, deep_c, ground_c
from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.job.layout import Job
from curecast.prospect.case import case_of, mix_of
from curecast.prospect.week import lead_days

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
        ``parameters`` and ``hours`` of the JSON answer; ``edge`` is None.

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
    weather = extended(weather, math.ceil(start_h + hours) + 2, latitude)
    ensemble = members(
        weather, lead_days(weather, forecast.issued_h), count=0, seed=0, latitude=latitude
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
    return {
        "parameters": _parameters(job, column, final_set_h, water, forecast, start_h),
        "hours": rows,
    }


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


def _parameters(
    job: Job,
    column: Column,
    final_set_h: float | None,
    water: float,
    forecast: Forecast,
    start_h: float,
) -> dict[str, Any]:
    """Every number that went in."""
    case, mix = case_of(job), mix_of(job)
    heat, curve, exposure = case.hydration, case.curve, case.exposure
    return {
        "start_unix_h": start_h,
        "latitude": exposure.latitude,
        "longitude": exposure.longitude,
        "thickness_m": case.thickness_m,
        "concrete_w_mk": column.concrete.conductivity_w_mk,
        "concrete_kg_m3": column.concrete.density_kg_m3,
        "concrete_j_kgk": column.concrete.specific_heat_j_kgk,
        "soil_w_mk": column.soil.conductivity_w_mk,
        "soil_kg_m3": column.soil.density_kg_m3,
        "soil_j_kgk": column.soil.specific_heat_j_kgk,
        "soil_depth_m": SOIL_DEPTH_M,
        "under_r_m2k_w": case.under_r_m2k_w,
        "placement_c": float(np.ravel(column.placed_c)[0]),
        "ground_c": float(np.ravel(column.ground_c)[0]),
        "deep_c": float(np.ravel(column.deep_c)[0]),
        "heat_j_kg": heat.heat_j_kg,
        "cement_kg_m3": heat.cement_kg_m3,
        "alpha_u": heat.alpha_u,
        "tau_h": heat.tau_h,
        "beta": heat.beta,
        "activation_j_mol": heat.activation_j_mol,
        "heat_reference_c": heat.reference_temperature_c,
        "w_c": mix.w_c,
        "f28_mpa": curve.f28_mpa,
        "printed_mpa": mix.printed_mpa,
        "allowances": [{"name": a.name, "factor": a.factor, "why": a.why} for a in mix.allowances],
        "strength_shape": curve.shape,
        "strength_s": curve.s,
        "strength_age_reference_c": 20.0,
        "ttf_datum_c": 0.0,
        "sky_view": exposure.sky_view,
        "sun": exposure.sun,
        "wind_factor": exposure.wind_factor,
        "wind_at_slab": surface.WIND_AT_SLAB,
        "air_offset_k": exposure.air_offset_k,
        "swing": exposure.swing,
        "emissivity": surface.EMISSIVITY,
        "solar_absorptance": surface.ABSORPTANCE,
        "evaporation": case.evaporates,
        "bleed_water_kg_m2": BLEED_KG_M2,
        "final_set_h": final_set_h,
        "evaporated_kg_m2": water,
        "covers": [
            {
                "r_m2k_w": c.r_m2k_w,
                "from_h": c.from_h,
                "to_h": c.to_h,
                "laps": c.laps,
                "heat_to_c": c.heat_to_c,
                "absorptance": c.absorptance,
                "wet": c.wet,
            }
            for c in case.covers
        ],
        "form_r_m2k_w": job.slab.form_r_m2k_w,
        "strip_at_h": case.strip_at_h,
        "forecast_source": forecast.source,
        "forecast_until_unix_h": forecast.weather.end_h,
        "preset_reasons": dict(mix.preset.reasons),
    }
