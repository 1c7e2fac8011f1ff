"""Air, sky, sun, faces, heat of hydration and ages, written out for the references.

Deliberately apart from ``curecast.core``: these formulas judge the ones there, so
nothing may be imported from it. Plain and slow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np

SIGMA = 5.670374e-8
R_GAS = 8.314
KELVIN = 273.15
LATENT_J_KG = 2.45e6

#: Every parameter with its default; a case names only what it changes.
DEFAULTS: dict[str, Any] = {
    "thickness_m": 0.15,
    "conductivity_w_mk": 2.0,
    "density_kg_m3": 2350.0,
    "heat_capacity_j_kgk": 960.0,
    "soil_conductivity_w_mk": 1.3,
    "soil_density_kg_m3": 1800.0,
    "soil_heat_capacity_j_kgk": 1100.0,
    "soil_depth_m": 2.0,
    "insulation_m2k_w": 0.0,  # board under the slab
    "placement_c": 15.0,
    "ground_c": 8.0,
    "deep_c": 10.0,
    # heat of hydration; heat_j_kg 0 is none
    "heat_j_kg": 480e3,
    "cement_kg_m3": 335.0,
    "alpha_u": 0.75,
    "tau_h": 14.0,
    "beta": 0.85,
    "activation_j_mol": 40e3,
    "reference_c": 23.0,
    # exposure and place
    "sky_view": 1.0,
    "sun_share": 1.0,
    "wind_factor": 1.0,
    "absorptance": 0.65,
    "emissivity": 0.90,
    "latitude_deg": 45.0,
    "longitude_deg": 0.0,
    # evaporation until a given final set (0 is none), or by the setting table x a factor
    "final_set_h": 0.0,
    "set_factor": None,
    "bleed_kg_m2": 1.5,
    "ttf_datum_c": 0.0,
    # one constant total coefficient, and then neither sky nor sun (check cases)
    "fixed_h_w_m2k": None,
    # edge section only
    "width_m": 1.2,
    "above_grade_m": None,  # None: the whole thickness
    "beside_m2k_w": 0.0,  # board between slab and soil, below grade
    "form_m2k_w": 0.15,
    "strip_at_h": math.inf,
    "soil_beside_m": 2.0,
    "anchor_edge_m": 0.15,
}


class Air(NamedTuple):
    """Air at the slab, at one moment."""

    air_c: float
    sky_w_m2: float  # per unit of sky view, times emissivity
    sun_w_m2: float  # on the level, per unit of absorptance, times the share of sun
    vapour_kpa: float
    wind_ms: float


#: Final set by temperature: °F, and hours.
SET_F = (30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0)
SET_H = (19.0, 14 + 2 / 3, 10 + 2 / 3, 8.0, 6.0, 4.0, 2 + 2 / 3, 1 + 2 / 3)


def saturation_kpa(temp_c: Any) -> Any:
    return 0.6108 * np.exp(17.27 * temp_c / (temp_c + 237.3))


def cosine_of_zenith(unix_h: float, latitude_deg: float, longitude_deg: float) -> float:
    """Cosine of the sun's zenith distance, no refraction (NOAA solar calculator formulas)."""
    century = (unix_h / 24.0 + 2440587.5 - 2451545.0) / 36525.0
    mean_long = (280.46646 + century * (36000.76983 + 0.0003032 * century)) % 360.0
    anomaly = math.radians(357.52911 + century * (35999.05029 - 0.0001537 * century))
    eccentricity = 0.016708634 - century * (0.000042037 + 0.0000001267 * century)
    centre = (
        math.sin(anomaly) * (1.914602 - century * (0.004817 + 0.000014 * century))
        + math.sin(2 * anomaly) * (0.019993 - 0.000101 * century)
        + math.sin(3 * anomaly) * 0.000289
    )
    node = math.radians(125.04 - 1934.136 * century)
    apparent = math.radians(mean_long + centre - 0.00569 - 0.00478 * math.sin(node))
    obliquity = 23.0 + (26.0 + (21.448 - 46.8150 * century) / 60.0) / 60.0
    obliquity = math.radians(obliquity + 0.00256 * math.cos(node))
    declination = math.asin(math.sin(obliquity) * math.sin(apparent))
    y = math.tan(obliquity / 2) ** 2
    twice = 2 * math.radians(mean_long)
    equation_min = 4 * math.degrees(
        y * math.sin(twice)
        - 2 * eccentricity * math.sin(anomaly)
        + 4 * eccentricity * y * math.sin(anomaly) * math.cos(twice)
        - 0.5 * y * y * math.sin(2 * twice)
        - 1.25 * eccentricity**2 * math.sin(2 * anomaly)
    )
    minutes = (unix_h % 24.0) * 60.0 + equation_min + 4.0 * longitude_deg
    hour_angle = math.radians(minutes / 4.0 - 180.0)
    latitude = math.radians(latitude_deg)
    return math.sin(latitude) * math.sin(declination) + math.cos(latitude) * math.cos(
        declination
    ) * math.cos(hour_angle)


class Surroundings:
    """The weather of a case, at any moment: linear between the hours' values."""

    def __init__(self, p: Mapping[str, Any], weather: Mapping[str, Any], start_h: float) -> None:
        self.p = p
        self.start_h = start_h
        self.first_h = float(weather["start_h"])
        air = np.asarray(weather["air_c"], float)
        missing = np.full(len(air), np.nan)
        dew = np.asarray(weather.get("dew_point_c", missing), float).copy()
        cloud = np.asarray(weather.get("cloud", missing), float).copy()
        humid = np.log(0.75 * saturation_kpa(air) / 0.6108)
        by_humidity = 237.3 * humid / (17.27 - humid)
        dew[np.isnan(dew)] = by_humidity[np.isnan(dew)]
        cloud[np.isnan(cloud)] = 0.5
        self.columns = np.stack([air, dew, np.asarray(weather["wind_ms"], float), cloud], axis=1)
        self._last: tuple[float, Air] | None = None

    def check(self, end_h: float) -> None:
        """Refuse a run that the weather does not cover."""
        if not 0.0 <= self.start_h - self.first_h <= len(self.columns) - 1 - end_h:
            raise ValueError("the weather does not cover the run")

    def at(self, t_h: float) -> Air:
        if self._last is not None and self._last[0] == t_h:
            return self._last[1]
        p = self.p
        hour = self.start_h + t_h - self.first_h
        hour = min(hour, len(self.columns) - 1.0)  # a solver may look past its end
        i = min(int(hour), len(self.columns) - 2)
        row = self.columns[i] + (hour - i) * (self.columns[i + 1] - self.columns[i])
        air, dew, wind10, cloud = (float(value) for value in row)
        air_k = air + KELVIN
        n = 10.0 * cloud
        clear = 0.787 + 0.764 * math.log((dew + KELVIN) / 273.15)
        e_sky = min(1.0, clear * (1.0 + 0.0224 * n - 0.0035 * n**2 + 0.00028 * n**3))
        sky = p["emissivity"] * (e_sky - 1.0) * SIGMA * air_k**4
        high = cosine_of_zenith(self.start_h + t_h, p["latitude_deg"], p["longitude_deg"])
        sun = 0.0
        if high > 0.0:
            sun = 1098.0 * high * math.exp(-0.057 / high) * (1.0 - 0.75 * cloud**3.4)
        if p["fixed_h_w_m2k"] is not None:
            sky = sun = 0.0
        now = Air(
            air,
            sky,
            p["sun_share"] * sun,
            float(saturation_kpa(dew)),
            0.48 * wind10 * p["wind_factor"],
        )
        self._last = (t_h, now)
        return now

    def within(self, t_h: float, heated_to_c: float | None) -> Air:
        """The air as a heated enclosure makes it, or as it is."""
        now = self.at(t_h)
        if heated_to_c is None:
            return now
        return Air(max(now.air_c, heated_to_c), 0.0, 0.0, now.vapour_kpa, 0.5)


def phases(p: Mapping[str, Any], covers: Any, end_h: float) -> list[tuple[float, float, Any]]:
    """Spans without a switch: begin, end, and what holds there (cover, wet, form)."""
    edges = {0.0, end_h, p["final_set_h"], p["strip_at_h"]}
    edges |= {t for cover in covers for t in (cover["from_h"], cover["to_h"])}
    inside = sorted(t for t in edges if 0.0 <= t <= end_h)
    spans = []
    for begin, end in pairwise(inside):
        over = [cover for cover in covers if cover["from_h"] <= begin < cover["to_h"]]
        if len(over) > 1:
            raise ValueError("two covers at once")
        phase = {
            "cover": over[0] if over else {},
            "wet": not over and (p["set_factor"] is not None or begin < p["final_set_h"]),
            "form": begin < p["strip_at_h"],
        }
        spans.append((begin, end, phase))
    return spans


def face_temperature(
    p: Mapping[str, Any],
    now: Air,
    inner_c: Any,
    inner_w_m2k: Any,
    *,
    gain_w_m2: float,
    cover_m2k_w: float,
    wet: Any = 0.0,
) -> tuple[Any, Any, Any]:
    """Face temperature by flux balance, the flux inwards, and evaporation in kg/m2/h.

    ``inner_w_m2k`` is the conductance from the face to ``inner_c`` behind it; ``gain_w_m2``
    is X of the page; ``wet`` is the share of the face that loses water. Newton's method.
    """
    air_k = now.air_c + KELVIN
    wind = now.wind_ms
    h_c = 5.6 + 3.95 * wind if wind <= 5.0 else 7.6 * wind**0.78
    face = np.array(inner_c, float)
    for _ in range(60):
        if p["fixed_h_w_m2k"] is None:
            mean_k = 0.5 * (air_k + face + KELVIN)
            h = h_c + 4.0 * 0.9 * SIGMA * mean_k**3
            dh = 6.0 * 0.9 * SIGMA * mean_k**2
        else:
            h = p["fixed_h_w_m2k"] + 0.0 * face
            dh = 0.0 * face
        drive = gain_w_m2 + h * (now.air_c - face)
        below = 1.0 + h * cover_m2k_w
        flux = drive / below
        slope = (dh * (now.air_c - face) - h) / below - drive * dh * cover_m2k_w / below**2
        pressure = saturation_kpa(face)
        speed = 0.315 * (0.253 + 0.060 * 3.6 * now.wind_ms)
        loss = wet * np.maximum(speed * (pressure - now.vapour_kpa), 0.0)
        flux = flux - loss * LATENT_J_KG / 3600.0
        rise = speed * pressure * 17.27 * 237.3 / (face + 237.3) ** 2
        slope = slope - np.where(loss > 0.0, wet * rise, 0.0) * LATENT_J_KG / 3600.0
        off = inner_w_m2k * (inner_c - face) + flux
        move = off / (inner_w_m2k - slope)
        face = face + move
        if np.all(np.abs(move) < 1e-11 * (1.0 + np.abs(face))):
            break
    else:
        face = np.full_like(face, np.nan)  # a wild trial: the solver then tries a shorter step
    return face, inner_w_m2k * (face - inner_c), loss


def heat_rate(p: Mapping[str, Any], temp_c: Any, heat_age_h: Any) -> tuple[Any, Any]:
    """Rate of the heat age [h/h] and the heat released [W/m3]."""
    rate = np.exp(
        -(p["activation_j_mol"] / R_GAS)
        * (1.0 / (temp_c + KELVIN) - 1.0 / (p["reference_c"] + KELVIN))
    )
    rate = np.where(temp_c < -10.0, 0.0, rate)
    age = np.maximum(heat_age_h, 1e-6)
    power = (p["tau_h"] / age) ** p["beta"]
    per_h = p["alpha_u"] * np.exp(-power) * power * p["beta"] / age
    return rate, p["heat_j_kg"] * p["cement_kg_m3"] * per_h * rate / 3600.0


def age_rates(p: Mapping[str, Any], temp_c: Any) -> Any:
    """Rates of heat age, equivalent age at 20 °C and temperature-time factor, (3, point)."""
    temp_c = np.asarray(temp_c, float)
    heat, _ = heat_rate(p, temp_c, 1.0)
    energy = 33500.0 + 1470.0 * np.maximum(20.0 - temp_c, 0.0)
    strength = np.exp(-energy / R_GAS * (1.0 / (temp_c + KELVIN) - 1.0 / 293.15))
    strength = np.where(temp_c < -10.0, 0.0, strength)
    return np.stack([heat, strength, np.maximum(temp_c - p["ttf_datum_c"], 0.0)])


def set_rate(p: Mapping[str, Any], temp_c: Any) -> Any:
    """Share of the way to final set per hour; nothing sets below -1 °C."""
    if p["set_factor"] is None:
        return np.zeros_like(np.asarray(temp_c, float))
    hours = np.exp(np.interp(np.asarray(temp_c) * 1.8 + 32.0, SET_F, np.log(SET_H)))
    return np.where(np.asarray(temp_c) < -1.0, 0.0, 1.0 / (p["set_factor"] * hours))


def graded(length_m: float, first_m: float, growth: float, largest_m: float) -> Any:
    """Cell sizes from fine to coarse that fill a length exactly."""
    sizes: list[float] = []
    size = first_m
    while sum(sizes) + size < length_m:
        sizes.append(size)
        size = min(size * growth, largest_m)
    sizes.append(sizes[-1] if sizes else length_m)
    return np.array(sizes) * (length_m / sum(sizes))


def through(length_m: float, first_m: float, growth: float, largest_m: float) -> Any:
    """Cell sizes fine at both ends, symmetric about the middle."""
    half = graded(length_m / 2, first_m, growth, largest_m)
    return np.concatenate([half, half[::-1]])


def lagrange(centres: Any, where: float, count: int = 4) -> tuple[Any, Any]:
    """Indices and weights that read a value between cell centres."""
    near = np.sort(np.argsort(np.abs(centres - where), kind="stable")[:count])
    weights = np.array(
        [
            np.prod([(where - centres[j]) / (centres[i] - centres[j]) for j in near if j != i])
            for i in near
        ]
    )
    return near, weights
