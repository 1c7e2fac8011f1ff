"""The fine stiff solver as the judge of a bare start's edge, in the weather that came."""

from __future__ import annotations

import numpy as np

from curecast.core.case import Case
from curecast.core.ground import deep_c, ground_c
from curecast.core.tracked import Pour
from curecast.core.weather.ensemble import Members
from tests.reference.section_reference import solve_section

#: The core's own section is within 0.15 °C of the solver: what it finds above this cannot have
#: frozen by the solver either. [°C]
NEAR_C = 3.5


def edge_least_c(
    case: Case, weather: Members, pour: Pour, until_h: float, latitude: float | None
) -> float:
    """Coldest of the top arris from placing until ``until_h`` after its middle, in the weather
    of the first member. [°C]"""
    at = np.array([pour.start_h])
    exposure, heat = case.exposure, case.hydration
    parameters = {
        "thickness_m": case.thickness_m,
        "width_m": case.width_m,
        "above_grade_m": case.above_grade_m,
        "form_m2k_w": case.form_r_m2k_w,
        "strip_at_h": pour.strip_at_h,
        "anchor_edge_m": case.anchor_edge_m,
        "insulation_m2k_w": case.under_r_m2k_w,
        "soil_conductivity_w_mk": case.soil.conductivity_w_mk,
        "placement_c": pour.placed_c,
        "ground_c": float(ground_c(case, weather, at)[0, 0]),
        "deep_c": deep_c(case, weather, latitude),
        "heat_j_kg": heat.heat_j_kg,
        "cement_kg_m3": heat.cement_kg_m3,
        "alpha_u": heat.alpha_u,
        "tau_h": heat.tau_h,
        "beta": heat.beta,
        "activation_j_mol": heat.activation_j_mol,
        "reference_c": heat.reference_temperature_c,
        "sky_view": exposure.sky_view,
        "sun_share": exposure.sun,
        "wind_factor": exposure.wind_factor,
        "latitude_deg": exposure.latitude,
        "longitude_deg": exposure.longitude,
        "set_factor": 1.0 if case.evaporates else None,
    }
    sky = {
        "start_h": weather.start_h,
        "air_c": weather.air_c[:, 0] + exposure.air_offset_k,
        "dew_point_c": weather.dew_point_c[:, 0],
        "wind_ms": weather.wind_ms[:, 0],
        "cloud": weather.cloud[:, 0],
    }
    covers = [
        {
            "from_h": c.from_h,
            "to_h": c.to_h,
            "r_m2k_w": c.r_m2k_w / 3.0 if c.wet else c.r_m2k_w,
            "laps": c.laps,
            "absorptance": c.absorptance,
            **({} if c.heat_to_c is None else {"heated_to_c": c.heat_to_c}),
        }
        for c in pour.spells
    ]
    times = np.arange(0.0, np.ceil(until_h) + 0.5)
    done = solve_section(parameters, sky, pour.origin_h, times, covers, rtol=1e-3, atol=1e-3)
    return float(done["temperature_c"]["arris"][1:].min())
