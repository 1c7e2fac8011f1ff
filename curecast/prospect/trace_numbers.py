"""Every number that went into a trace, by its name."""

from __future__ import annotations

from typing import Any

import numpy as np

from curecast.core.heat import surface
from curecast.core.heat.hydrating import BLEED_KG_M2
from curecast.core.heat.layers import Column
from curecast.core.heat.soil import SOIL_DEPTH_M
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.case import case_of, mix_of


def trace_numbers(
    job: Job,
    column: Column,
    final_set_h: float | None,
    water: float,
    forecast: Forecast,
    start_h: float,
) -> dict[str, Any]:
    """Every number that went in.

    Parameters
    ----------
    job : Job
        As read.
    column : Column
        As it was run.
    final_set_h : float or None
        Final set of the face. [h]
    water : float
        Bleed water that evaporated. [kg/m2]
    forecast : Forecast
        The weather.
    start_h : float
        t = 0, hours since 1970. [h]
    """
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
        "form_r_m2k_w": case.form_r_m2k_w,
        "width_m": case.width_m,
        "above_grade_m": case.thickness_m if case.above_grade_m is None else case.above_grade_m,
        "anchor_edge_m": case.anchor_edge_m,
        "strip_at_h": case.strip_at_h,
        "forecast_source": forecast.source,
        "forecast_until_unix_h": forecast.weather.end_h,
        "preset_reasons": dict(mix.preset.reasons),
    }
