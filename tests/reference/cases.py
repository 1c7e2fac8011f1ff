"""Whole pours, each run by the core and by the reference: weather, slab, covers, start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.column import Step, march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import Exposure, MemberForcing, StandingWeather
from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.layers import Column
from curecast.core.heat.soil import SOIL, WET_SOIL
from curecast.core.heat.stepping import step_times_h
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: 1 November 2026, 00:00 UTC, in hours since 1970.
NOVEMBER_H = 498_120
HOURS = 30 * 24
HEAT = HeatOfHydration(480e3, 335.0, 0.75, 12.6, 0.85, 40_000.0)


def weather(
    mean_c: float, swing_k: float, wind_ms: float, cloud: float, seed: int
) -> dict[str, Any]:
    """A month of made-up weather at one place: daily swings, fronts, gusts, hazy and clear days."""
    rng = np.random.default_rng(seed)
    hour = np.arange(HOURS)
    fronts = np.repeat(rng.normal(0.0, 3.0, HOURS // 36 + 2), 36)[:HOURS]
    fronts = np.convolve(np.pad(fronts, 9, "edge"), np.full(19, 1 / 19), "valid")
    day = np.cos(2 * np.pi * (hour - 15) / 24)
    clear = np.clip(
        np.repeat(rng.uniform(cloud - 0.5, cloud + 0.5, HOURS // 8 + 1), 8)[:HOURS], 0, 1
    )
    air = mean_c + fronts + swing_k * (1.2 - clear) * day + rng.normal(0.0, 0.4, HOURS)
    wind = wind_ms * np.exp(rng.normal(0.0, 0.4, HOURS)) * (1.2 + 0.4 * day)
    return {
        "start_h": NOVEMBER_H,
        "air_c": air,
        "dew_point_c": air - rng.uniform(0.5, 6.0, HOURS),
        "wind_ms": wind,
        "cloud": clear,
    }


@dataclass(frozen=True)
class PouredCase:
    """One pour; ``at_h`` after the first hour of its weather."""

    name: str
    sky: dict[str, Any]
    thickness_m: float
    placed_c: float
    ground_c: float
    deep_c: float = 10.0
    exposure: tuple[float, float, float] = (1.0, 1.0, 1.0)
    covers: tuple[CoverSpell, ...] = ()
    at_h: float = 8.0
    wet_soil: bool = False
    under_r: float = 0.0
    heat: HeatOfHydration = field(default=HEAT)
    place: tuple[float, float] = (45.0, -93.0)

    @property
    def start_h(self) -> float:
        return NOVEMBER_H + self.at_h

    def reference(self) -> tuple[dict[str, Any], dict[str, Any], float, list[dict[str, Any]]]:
        """What ``solve_column`` wants, in its own words."""
        soil = WET_SOIL if self.wet_soil else SOIL
        sky_view, sun, wind = self.exposure
        parameters = {
            "thickness_m": self.thickness_m,
            "soil_conductivity_w_mk": soil.conductivity_w_mk,
            "insulation_m2k_w": self.under_r,
            "placement_c": self.placed_c,
            "ground_c": self.ground_c,
            "deep_c": self.deep_c,
            "heat_j_kg": self.heat.heat_j_kg,
            "cement_kg_m3": self.heat.cement_kg_m3,
            "alpha_u": self.heat.alpha_u,
            "tau_h": self.heat.tau_h,
            "beta": self.heat.beta,
            "activation_j_mol": self.heat.activation_j_mol,
            "reference_c": self.heat.reference_temperature_c,
            "sky_view": sky_view,
            "sun_share": sun,
            "wind_factor": wind,
            "latitude_deg": self.place[0],
            "longitude_deg": self.place[1],
            "set_factor": 1.0,
        }
        covers = [
            {
                "from_h": c.from_h,
                "to_h": c.to_h,
                "r_m2k_w": c.r_m2k_w / 3.0 if c.wet else c.r_m2k_w,
                "absorptance": c.absorptance,
                **({} if c.heat_to_c is None else {"heated_to_c": c.heat_to_c}),
            }
            for c in self.covers
        ]
        return parameters, self.sky, self.start_h, covers

    def column(self, cells: int, soil_cells: int | None = None) -> Column:
        return Column(
            thickness_m=self.thickness_m,
            hydration=self.heat,
            placed_c=self.placed_c,
            ground_c=self.ground_c,
            deep_c=self.deep_c,
            under_r_m2k_w=self.under_r,
            soil=WET_SOIL if self.wet_soil else SOIL,
            concrete_cells=cells,
            soil_cells=cells if soil_cells is None else soil_cells,
        )

    def forcing(self, *, at_hours: bool = False) -> MemberForcing:
        """Its weather; ``at_hours``: worked out at whole hours, as for many starts."""
        sky_view, sun, wind = self.exposure
        place = Exposure(self.place[0], self.place[1], sky_view, sun, wind)
        one = {k: v[:, None] for k, v in self.sky.items() if k != "start_h"}
        members = Members(NOVEMBER_H, **one)
        standing = StandingWeather(members, place) if at_hours else None
        return MemberForcing(members, place, np.array([self.start_h]), standing)

    def steps(
        self, until_h: float, plan: Sequence[tuple[float, float]], cells: int, **more: Any
    ) -> list[Step]:
        after = {"after_switch": more.pop("after_switch")} if "after_switch" in more else {}
        forcing = self.forcing(at_hours=more.pop("at_hours", False))
        times = step_times_h(
            until_h, switch_times_h(self.covers, until_h), plan, weather_hour_h=-self.at_h, **after
        )
        return list(march(self.column(cells), forcing, self.covers, times, **more))


FROST = weather(-1.0, 5.0, 4.0, 0.4, 11)
STILL = weather(3.0, 7.0, 0.8, 0.2, 12)
WINDY = weather(5.0, 4.0, 12.0, 0.6, 13)
WARM = weather(22.0, 8.0, 3.0, 0.3, 14)

CASES = (
    PouredCase("75 mm, open, frost, bare", FROST, 0.075, 12.0, 2.0, 8.0, at_h=14.5),
    PouredCase(
        "100 mm, open, windy, blanket at odd times", WINDY, 0.10, 15.0, 6.0, at_h=9.5,
        covers=(CoverSpell(0.35, 7.37, 76.21), CoverSpell(0.5, 90.0, 101.83)),
    ),
    PouredCase(
        "150 mm, shed, still cold air", STILL, 0.15, 10.0, 4.0, 9.0, (0.0, 0.0, 0.2),
        (CoverSpell(0.03, 9.6, 30.0),), 7.25,
    ),
    PouredCase("200 mm, roofed, warm", WARM, 0.20, 24.0, 18.0, 14.0, (0.3, 0.2, 0.6), (), 6.0,
               wet_soil=True),
    PouredCase(
        "300 mm, open, still clear nights, reflective cover off and on", STILL, 0.30, 14.0, 5.0,
        covers=(
            CoverSpell(0.6, 5.5, 28.4, absorptance=0.1), CoverSpell(0.9, 40.1, 66.6, wet=True),
        ), at_h=10.0,
    ),
    PouredCase(
        "400 mm, open, hard frost, heated then covered", FROST, 0.40, 16.0, 3.0, 8.0,
        covers=(CoverSpell(0.0, 0.0, 49.3, heat_to_c=13.0), CoverSpell(0.7, 49.3, 97.7)),
        at_h=11.5, under_r=0.8,
    ),
    PouredCase("150 mm, open, hot and dry", WARM, 0.15, 30.0, 22.0, 15.0, at_h=17.0,
               place=(35.0, 20.0)),
)  # fmt: skip
