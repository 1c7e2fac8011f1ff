"""Slabs marched abreast stand where each would stand by itself."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from curecast.core.abreast.drive import alone, together
from curecast.core.abreast.edge_lane import EdgeLane
from curecast.core.abreast.edges import march_edges
from curecast.core.abreast.lane import Lane, Ripe, Sky
from curecast.core.abreast.march import march_abreast
from curecast.core.edges import EDGE_COARSE
from curecast.core.heat import section
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import Exposure, MemberForcing, StandingWeather
from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import Histories, aged, collect
from curecast.core.weather.ensemble import Members
from tests.fixtures.edge_weather import GENERIC, LATITUDE, LONGITUDE, rough_autumn

MEMBERS = 7
QUICK = HeatOfHydration(510e3, 380.0, 0.8, 9.0, 0.7, 45e3)
COVERS = {
    "bare": (),
    "blanket": (CoverSpell(0.35, 6.3, 80.0),),
    "tent": (CoverSpell(0.1, 2.0, 50.0, laps=False), CoverSpell(0.0, 20.0, 90.0, heat_to_c=12.0)),
}
STRIP_H = 30.5


@cache
def weather(members: int = MEMBERS) -> Members:
    sky = rough_autumn(400)
    offsets = np.linspace(-9.0, 3.0, members)
    return Members(
        sky["start_h"],
        sky["air_c"][:, None] + offsets,
        sky["dew_point_c"][:, None] + offsets,
        np.repeat(sky["wind_ms"][:, None], members, axis=1),
        np.repeat(sky["cloud"][:, None], members, axis=1),
    )


def exposure() -> Exposure:
    share = np.linspace(0.2, 1.0, MEMBERS)
    return Exposure(LATITUDE, LONGITUDE, share, share, 0.6, 3.0 * share, 0.6 + share)


def lane(covers: str, thickness_m: float, hydration: HeatOfHydration, until_h: float) -> Lane:
    column = Column(
        thickness_m, hydration, np.linspace(8.0, 22.0, MEMBERS), 4.0, 9.0,
        under_r_m2k_w=0.5 if covers == "blanket" else 0.0,
        heat_scale=np.linspace(0.7, 1.3, MEMBERS), evaporates=covers != "tent",
        concrete_cells=12, soil_cells=12,
    )  # fmt: skip
    origin_h = weather().start_h + 73.4 + thickness_m
    switches = [*switch_times_h(COVERS[covers], until_h), STRIP_H]
    times = step_times_h(until_h, switches, weather_hour_h=-origin_h)
    sky = Sky(weather(), exposure(), origin_h)
    return Lane(column, sky, COVERS[covers], times, STRIP_H, floats_from_h=0.8)


LANES = (
    lane("bare", 0.1, GENERIC, 90.0),
    lane("blanket", 0.2, QUICK, 60.0),
    lane("tent", 0.3, GENERIC, 100.0),
)


def by_itself(one: Lane, enough: Any = None) -> Histories:
    """The same slab by the march of columns."""
    sky = one.sky
    standing = StandingWeather(sky.weather, sky.exposure)
    forcing = MemberForcing(sky.weather, sky.exposure, np.array([sky.origin_h]), standing)
    steps = march(one.column, forcing, one.spells, one.times_h)
    return collect(steps, strip_at_h=one.strip_at_h, floats_from_h=0.8, enough=enough)


@pytest.mark.parametrize("company", [1, 3])
def test_columns_as_marched_alone(company: int) -> None:
    """Single precision and nothing else lies between: a thousandth of a degree."""
    groups = [LANES[i : i + company] for i in range(0, 3, company)]
    found = [past for group in groups for past in march_abreast(group)]
    for one, past in zip(LANES, found, strict=True):
        wanted = by_itself(one)
        assert past.t_h.tolist() == wanted.t_h.tolist()
        for name in ("temp_c", "coldest_c", "air_c"):
            assert np.abs(getattr(past, name) - getattr(wanted, name)).max() < 1e-3
        for name in ("final_set_h", "finishing_h", "evaporation_kg_m2_h"):
            np.testing.assert_allclose(getattr(past, name), getattr(wanted, name), atol=1e-3)
        assert np.abs(aged(past).te20_h - wanted.te20_h).max() < 5e-3


def test_a_lane_ends_when_it_is_ripe() -> None:
    ripe = Ripe(np.linspace(10.0, 30.0, MEMBERS), 0.8, 20.0)

    def enough(t_h: float, age_h: np.ndarray) -> bool:
        old = age_h.min(axis=0) >= ripe.age_h
        return t_h > 20.0 and float(np.mean(old)) >= 0.8

    early, late = march_abreast([replace(LANES[0], ripe=ripe), LANES[2]])
    wanted = by_itself(LANES[0], enough)
    assert 20.0 < early.t_h[-1] < 89.0
    assert early.t_h.tolist() == wanted.t_h.tolist()
    assert late.t_h[-1] == 100.0


def edge_lane(covers: str, thickness_m: float, grade_m: float, hours: float) -> EdgeLane:
    column = Column(thickness_m, GENERIC, 15.0, 8.0, 9.0)
    edge = EdgeSection(
        column, 2.4, above_grade_m=grade_m, strip_at_h=STRIP_H, anchor_edge_m=0.2, fineness=0.5
    )
    own = Exposure(LATITUDE, LONGITUDE, 0.7, 0.8, 0.6)
    sky = Sky(weather(1), own, weather(1).start_h + 73.4)
    return EdgeLane(edge, sky, COVERS[covers], hours)


def test_edges_as_marched_alone() -> None:
    """Sections of unlike size, grade and length side by side."""
    lanes = (
        edge_lane("bare", 0.12, 0.12, 120.0),
        edge_lane("blanket", 0.2, 0.1, 60.0),
        edge_lane("tent", 0.4, 0.4, 100.0),
    )
    for one, trail in zip(lanes, march_edges(lanes), strict=True):
        sky = one.sky
        forcing = MemberForcing(sky.weather, sky.exposure, np.array([sky.origin_h]))
        wanted = section.march(one.edge, forcing, one.spells, one.horizon_h, plan=EDGE_COARSE)
        anchors = [wanted.at(name)["temp_c"] for name in ("top_anchor", "mid_anchor")]
        least = np.minimum(wanted.arris_least_c, wanted.corner_least_c)
        assert trail.t_h.tolist() == wanted.t_h.tolist()
        for own, theirs in (
            (trail.arris_c, wanted.at("arris")["temp_c"]),
            (trail.anchor_c, np.minimum(*anchors)),
            (trail.least_c, least),
        ):
            assert np.abs(own - theirs[:, 0]).max() < 2e-3


def asking(one: Lane) -> Generator[Lane, Histories, float]:
    """A computation that asks for two marches."""
    first = yield one
    second = yield replace(one, times_h=one.times_h[: len(first.t_h) // 2])
    return float(second.temp_c[-1].mean())


def test_a_computation_that_fails_stops_no_other() -> None:
    short = [replace(one, times_h=one.times_h[:40]) for one in LANES]
    broken = replace(short[0], column=replace(short[0].column, placed_c=np.zeros(2)))
    answers = together([asking(one) for one in (short[0], broken, *short[1:])])
    assert isinstance(answers.pop(1), ValueError)
    wanted = [alone(asking(one)) for one in short]
    np.testing.assert_allclose(answers, wanted, atol=1e-3)  # type: ignore[arg-type]
