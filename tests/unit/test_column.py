"""The column by itself: order, balance, steady states, batches, covers, water."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from curecast.core.concrete.setting import final_set_h_at
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, cover_state
from curecast.core.heat.face import face_under
from curecast.core.heat.hydrating import BLEED_KG_M2, Drying
from curecast.core.heat.hydration import HeatOfHydration, degree
from curecast.core.heat.layers import Column, layers
from curecast.core.heat.soil import SOIL, Material
from curecast.core.heat.step import Step
from curecast.core.heat.stepping import FINE, NORMAL, step_times_h
from curecast.core.heat.surface import Surroundings, surroundings
from curecast.errors import OutOfRange
from tests.reference.cases import CASES, HEAT

NONE = HeatOfHydration(1.0, 1.0, 1.0, 1e9, 1.0, 40_000.0)
BASE = Column(0.15, HEAT, placed_c=15.0, ground_c=6.0, deep_c=9.0)
Forcing = Callable[[float], Surroundings]


def weather(
    air: Callable[[float], float], wind_ms: float = 2.0, cloud: float = 1.0, humid: float = 4.0,
    sky_view: float = 0.0, columns: int = 1,
) -> Forcing:  # fmt: skip
    """Smooth weather; ``humid`` is how far the dew point lies below the air."""

    def at(t_h: float) -> Surroundings:
        now, one = np.full(columns, air(t_h)), np.ones(columns)
        return surroundings(
            now, now - humid, wind_ms * one, cloud * one, 0.0,
            sky_view=sky_view, sun=0.0, wind_factor=1.0,
        )  # fmt: skip

    return at


def wave(t_h: float) -> float:
    return 5.0 + 6.0 * float(np.sin(0.2 * t_h))


def run(column: Column, forcing: Forcing, until_h: float, step_min: float, **more: Any) -> Step:
    covers = more.pop("covers", ())
    times = step_times_h(until_h, plan=((1e9, step_min),), after_switch=())
    *_, last = march(column, forcing, covers, times, **more)
    return last


def places(step: Step) -> np.ndarray:
    return np.array([step.surface_c[0], step.middle_c[0], step.bottom_c[0]])


def test_second_order_in_time() -> None:
    column = replace(BASE, evaporates=False)
    exact = places(run(column, weather(wave), 24.0, 0.5, passes=4))
    errors = [
        np.abs(places(run(column, weather(wave), 24.0, m, passes=4)) - exact).max()
        for m in (60.0, 30.0, 15.0)
    ]
    orders = [np.log2(a / b) for a, b in pairwise(errors)]
    assert min(orders) > 1.8, (errors, orders)
    assert errors[-1] < 0.01


def test_second_order_in_space() -> None:
    def at(cells: int) -> np.ndarray:
        column = replace(BASE, evaporates=False, concrete_cells=cells, soil_cells=cells)
        return places(run(column, weather(wave), 12.0, 3.0))

    exact = at(160)
    errors = [np.abs(at(cells) - exact).max() for cells in (10, 20, 40)]
    orders = [np.log2(a / b) for a, b in pairwise(errors)]
    assert min(orders) > 1.8, (errors, orders)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_energy_is_kept(case: Any) -> None:
    steps = case.steps(72.0, NORMAL, 16)
    grid = layers(case.column(16))
    stored = grid.capacity_j_m2k @ (steps[-1].field_c - steps[0].field_c)
    released = sum(s.heat_j_m2 for s in steps)
    let_in = sum(s.top_j_m2 + s.deep_j_m2 for s in steps)
    assert abs(float(released[0] + let_in[0] - stored[0])) < 1e-6 * float(released[0])


def test_heat_released_is_the_curves_own() -> None:
    steps = list(march(BASE, weather(wave), (), step_times_h(200.0, plan=NORMAL)))
    released = float(sum(s.heat_j_m2 for s in steps)[0])
    whole = HEAT.heat_j_kg * HEAT.cement_kg_m3 * BASE.thickness_m
    # at 5 to 20 °C the heat age lies between these after 200 h
    assert degree(80.0, HEAT) < released / whole < degree(200.0, HEAT)


def test_batch_equals_single() -> None:
    several = replace(
        BASE,
        placed_c=np.array([8.0, 15.0, 24.0]),
        ground_c=np.array([1.0, 6.0, 15.0]),
        deep_c=np.array([8.0, 9.0, 12.0]),
        heat_scale=np.array([0.8, 1.0, 1.2]),
    )
    cover = (CoverSpell(0.3, 5.0, 9.5),)
    times = step_times_h(30.0, (5.0, 9.5), NORMAL)
    together = list(march(several, weather(wave, columns=3), cover, times))
    for i in range(3):
        one = replace(
            several, **{
                name: float(getattr(several, name)[i])
                for name in ("placed_c", "ground_c", "deep_c", "heat_scale")
            },
        )  # fmt: skip
        alone = list(march(one, weather(wave), cover, times))
        for a, b in zip(together, alone, strict=True):
            np.testing.assert_allclose(a.field_c[:, i], b.field_c[:, 0], atol=1e-9)
            np.testing.assert_allclose(a.surface_c[i], b.surface_c[0], atol=1e-9)


def test_what_is_at_rest_stays_at_rest() -> None:
    column = replace(BASE, hydration=NONE, placed_c=10.0, ground_c=10.0, deep_c=10.0)
    last = run(column, weather(lambda _: 10.0, humid=0.0), 200.0, 30.0)
    np.testing.assert_allclose(last.field_c, 10.0, atol=1e-7)


def test_steady_flux_is_the_same_at_top_and_foot() -> None:
    column = replace(BASE, hydration=NONE, evaporates=False, under_r_m2k_w=0.5)
    cover = (CoverSpell(0.2, 0.0, 1e9),)
    last = run(column, weather(lambda _: -4.0), 8760.0, 600.0, covers=cover)
    h = last.face.h_w_m2k(last.surface_c)[0]
    r = 1 / h + 0.2 + 0.15 / 2.0 + 0.5 + 2.0 / SOIL.conductivity_w_mk
    flux = 13.0 / r
    assert -last.top_j_m2[0] / (3600 * last.dt_h) == pytest.approx(flux, rel=1e-4)
    assert last.deep_j_m2[0] / (3600 * last.dt_h) == pytest.approx(flux, rel=1e-4)
    assert last.surface_c[0] == pytest.approx(-4.0 + flux * (1 / h + 0.2), abs=1e-3)


def clear_night(covers: tuple[CoverSpell, ...], cloud: float = 0.0) -> list[Step]:
    calm = weather(lambda t: 4.0 - 0.5 * t, wind_ms=0.3, cloud=cloud, sky_view=1.0)
    return list(march(BASE, calm, covers, step_times_h(14.0, (4.0,), NORMAL)))


@pytest.mark.parametrize("r", [0.03, 0.1, 0.35, 1.0])
@pytest.mark.parametrize("absorptance", [0.1, 0.9])
def test_no_cover_makes_a_clear_calm_night_colder_than_bare(r: float, absorptance: float) -> None:
    bare = clear_night(())
    covered = clear_night((CoverSpell(r, 4.0, 99.0, absorptance=absorptance),))
    late = [i for i, s in enumerate(bare) if s.t_h > 5.0]
    assert min(float(covered[i].coldest_c[0]) for i in late) > min(
        float(bare[i].coldest_c[0]) for i in late
    )


def test_a_cover_does_not_switch_off_the_sky() -> None:
    blanket = (CoverSpell(0.3, 4.0, 99.0),)
    clear, overcast = clear_night(blanket, 0.0), clear_night(blanket, 1.0)
    assert clear[-1].surface_c[0] < overcast[-1].surface_c[0] - 0.1
    assert clear[-1].sol_air_c[0] < clear[-1].face.around.air_c[0] - 3.0


def test_more_cover_is_warmer_in_the_cold_and_none_when_taken_off() -> None:
    ends = [clear_night((CoverSpell(r, 4.0, 99.0),))[-1].surface_c[0] for r in (0.1, 0.3, 1.0)]
    assert ends == sorted(ends)
    gone = clear_night((CoverSpell(1.0, 4.0, 4.0),))
    assert gone[-1].surface_c[0] == pytest.approx(clear_night(())[-1].surface_c[0])


def test_enclosure_holds_air_at_its_set_point_without_sky_sun_or_wind() -> None:
    around = weather(lambda _: -6.0, wind_ms=9.0, cloud=0.0, sky_view=1.0)(0.0)
    face = face_under(around, cover_state([CoverSpell(0.0, 0.0, 9.0, heat_to_c=13.0)], 1.0))
    assert face.around.air_c[0] == 13.0
    assert face.gain_w_m2[0] == 0.0
    assert face.around.wind_ms[0] == 0.5
    warm = face_under(
        weather(lambda _: 21.0)(0.0), cover_state([CoverSpell(0.0, 0.0, 9.0, heat_to_c=13.0)], 1.0)
    )
    assert warm.around.air_c[0] == 21.0


def test_a_wet_cover_keeps_a_third() -> None:
    wet = cover_state([CoverSpell(0.6, 0.0, 9.0, wet=True), CoverSpell(0.3, 2.0, 9.0)], 3.0)
    assert wet.r_m2k_w == pytest.approx(0.5)
    assert cover_state([CoverSpell(0.6, 0.0, 9.0)], 9.0).covered is False


def evaporated(steps: list[Step]) -> float:
    return float(sum(s.evaporation_kg_m2_h[0] * s.dt_h for s in steps))


def test_evaporation_ends_with_the_bleed_water() -> None:
    dry = weather(lambda _: 25.0, wind_ms=12.0, humid=20.0)
    column = replace(BASE, placed_c=25.0)
    steps = list(march(column, dry, (), step_times_h(24.0, plan=FINE)))
    assert evaporated(steps) == pytest.approx(BLEED_KG_M2, rel=2e-3)
    assert steps[-1].evaporation_kg_m2_h[0] == 0.0


def test_evaporation_ends_at_final_set_and_under_a_cover() -> None:
    air = weather(lambda _: 15.0, wind_ms=1.0)
    steps = list(march(replace(BASE, placed_c=15.0), air, (), step_times_h(24.0, plan=FINE)))
    wet = [s for s in steps if s.evaporation_kg_m2_h[0] > 0.0]
    mean_set = np.mean([final_set_h_at(s.surface_c)[0] for s in wet])
    assert wet[-1].t_h == pytest.approx(mean_set, abs=0.3)
    cover = (CoverSpell(0.03, 2.0, 30.0),)
    covered = list(march(replace(BASE, placed_c=15.0), air, cover, step_times_h(24.0, (2.0,))))
    assert all(s.evaporation_kg_m2_h[0] == 0.0 for s in covered if s.t_h > 2.0)
    none = replace(BASE, evaporates=False)
    assert evaporated(list(march(none, air, (), step_times_h(24.0)))) == 0.0


def test_a_face_that_has_just_set_loses_no_more_water_however_cold() -> None:
    drying = Drying(True, 3)
    drying.set_share = np.array([1.0, 0.5, 0.5])
    share = drying.share(0.5, np.array([-5.0, -5.0, 20.0]), np.full(3, 0.1))
    assert share.tolist() == [0.0, 1.0, 1.0]


def test_damp_warm_air_gives_no_water_to_a_cold_face() -> None:
    column = replace(BASE, placed_c=5.0, ground_c=5.0, deep_c=5.0)
    last = run(column, weather(lambda _: 25.0, humid=1.0), 1.0, 5.0)
    assert last.evaporation_kg_m2_h[0] == 0.0


@pytest.mark.parametrize("switch_h", [49.3, 12.0 + 1e-13, 7.0 + 1e-10])
def test_instants_apart_by_rounding_are_one(switch_h: float) -> None:
    # 0.1 x 493 and 49.3 differ in the last digit; the heat once ran away between them
    cover = (CoverSpell(0.3, 0.0, switch_h), CoverSpell(0.5, switch_h, 99.0))
    fine = step_times_h(60.0, (switch_h,), FINE)
    doubled = np.sort(np.concatenate([fine, fine + 7e-15, np.arange(0.0, 60.0, 0.1)]))
    plain = list(march(BASE, weather(wave), cover, fine))[-1]
    torn = list(march(BASE, weather(wave), cover, doubled))[-1]
    np.testing.assert_allclose(torn.field_c, plain.field_c, atol=0.02)


def test_what_is_out_of_range_is_refused() -> None:
    for wrong in (
        {"thickness_m": 0.01}, {"thickness_m": 3.0}, {"thickness_m": float("nan")},
        {"under_r_m2k_w": -0.1}, {"concrete_cells": 15}, {"soil_cells": 2},
    ):  # fmt: skip
        with pytest.raises(OutOfRange):
            replace(BASE, **wrong)
    with pytest.raises(OutOfRange, match="above 0"):
        Material(0.0, 2350.0, 960.0)
    with pytest.raises(OutOfRange, match="below 0"):
        CoverSpell(-0.1, 0.0, 9.0)
    with pytest.raises(OutOfRange, match="0 to 1"):
        CoverSpell(0.1, 0.0, 9.0, absorptance=1.2)
