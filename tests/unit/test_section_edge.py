"""What the edge section does with forms, covers, boards, grade and evaporation."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_history import EdgeHistory, corner_c
from curecast.core.heat.section_points import POINTS
from curecast.errors import OutOfRange
from tests.fixtures.edge_weather import GENERIC, forcing, rough_autumn, still

FROST = still(air_c=-6.0)
SLAB = Column(0.2, GENERIC, 15.0, 5.0, 8.0)


def arris(*covers: CoverSpell, **section: float) -> float:
    run = march(EdgeSection(SLAB, 2.4, **section), FROST, covers, 24.0)
    return float(run.at("arris")["temp_c"][-1, 0])


def test_every_protection_of_the_edge_counts_in_its_order() -> None:
    blanket = {"r_m2k_w": 0.7, "from_h": 0.0, "to_h": 99.0}
    bare = arris(form_r_m2k_w=0.0)
    formed = arris()
    stripped = arris(CoverSpell(**blanket, laps=False), strip_at_h=12.0)
    covered = arris(CoverSpell(**blanket, laps=False))
    lapped = arris(CoverSpell(**blanket, laps=True))
    heated = arris(CoverSpell(**blanket, laps=False, heat_to_c=10.0))
    assert bare < formed < stripped < covered < lapped < heated


def test_stripping_acts_from_its_own_moment() -> None:
    weather = rough_autumn(40)
    air = forcing(weather, weather["start_h"])
    kept = march(EdgeSection(SLAB, 2.4), air, (), 24.0).at("side_mid")["temp_c"]
    off = march(EdgeSection(SLAB, 2.4, strip_at_h=12.5), air, (), 24.0).at("side_mid")["temp_c"]
    assert off[:13] == pytest.approx(kept[:13], abs=5e-3)
    assert off[13, 0] < kept[13, 0] - 0.5


def test_soil_beside_warms_the_edge_and_a_board_keeps_it_off() -> None:
    grades = [arris(form_r_m2k_w=0.0, above_grade_m=grade) for grade in (0.2, 0.1, 0.02, 0.0)]
    assert grades == sorted(grades)
    assert len(set(grades)) == 4

    def flank(board_m2k_w: float) -> float:
        edge = EdgeSection(SLAB, 2.4, above_grade_m=0.05, beside_r_m2k_w=board_m2k_w)
        return float(march(edge, FROST, (), 6.0).at("side_mid")["temp_c"][-1, 0])

    assert flank(1.0) > flank(0.0) + 1.0  # cold soil, fresh concrete


def test_evaporation_ends_point_by_point() -> None:
    weather = rough_autumn(40)
    weather["wind_ms"] = np.full(41, 3.0)
    warm = Column(0.2, GENERIC, 22.0, 8.0, 8.0)
    run = march(EdgeSection(warm, 2.4), forcing(weather, weather["start_h"]), (), 36.0)
    lost = run.water_kg_m2[:, 0]
    assert np.all((lost > 0.1) & (lost < 1.52))
    assert lost[0] - lost[-1] > 0.01  # the edge, colder, loses less

    sheet = (CoverSpell(0.0, 0.0, 99.0),)
    dry = march(EdgeSection(warm, 2.4), forcing(weather, weather["start_h"]), sheet, 6.0)
    assert np.all(dry.water_kg_m2 == 0.0)
    assert dry.at("arris")["temp_c"][3, 0] > run.at("arris")["temp_c"][3, 0] + 0.3


def test_least_values_see_what_whole_hours_miss() -> None:
    weather = rough_autumn(40)
    lifted = (CoverSpell(0.7, 0.0, 20.1), CoverSpell(0.7, 20.9, 99.0))
    run = march(EdgeSection(SLAB, 2.4), forcing(weather, weather["start_h"], [-14.0]), lifted, 30.0)
    edge = run.at("arris")["temp_c"]
    assert run.arris_least_c[21, 0] < min(edge[20, 0], edge[21, 0]) - 0.5
    assert np.all(run.arris_least_c <= edge)
    assert np.all(run.corner_least_c <= run.corner_c)


def test_history_has_its_shapes_and_the_field_its_air() -> None:
    edge = EdgeSection(SLAB, 2.4)
    run: EdgeHistory = march(edge, still(3), (), 12.5, fields_at_h=(0.0, 6.0))
    assert run.t_h.tolist() == list(range(13))
    assert run.temp_c.shape == run.te20_h.shape == (13, len(POINTS), 3)
    assert run.corner_c.shape == run.arris_least_c.shape == run.heat_j_m.shape == (13, 3)
    assert list(run.fields_c) == [0.0, 6.0]
    field = run.fields_c[6.0]
    assert field.shape == (len(run.z_m), len(run.x_m), 3)
    beside = (run.x_m > 1.2)[None, :] & (run.z_m < 0.2)[:, None]
    assert np.array_equal(np.isnan(field[..., 0]), beside)
    inside = (run.x_m < 1.2)[None, :] & (run.z_m < 0.2)[:, None]
    assert np.all(run.fields_c[0.0][inside] == pytest.approx(15.0))


def test_what_is_not_known_stays_unknown() -> None:
    run = march(EdgeSection(SLAB, 2.4), still(2, air_c=np.array([0.0, np.nan])), (), 3.0)
    assert np.all(np.isfinite(run.temp_c[..., 0]))
    assert np.all(np.isnan(run.temp_c[1:, POINTS.index("arris"), 1]))


def test_corner_keeps_to_the_edge_where_the_rule_does_not_hold() -> None:
    air = np.zeros(4)
    edge, centre = np.array([6.0, 6.0, -1.0, 2.0]), np.array([12.0, 0.0, 5.0, 1.0])
    assert corner_c(air, edge, centre).tolist() == [3.0, 6.0, -1.0, 2.0]


@pytest.mark.parametrize("wrong", [{"above_grade_m": 0.3}, {"anchor_edge_m": 1.3}])
def test_a_shape_that_cannot_be_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(OutOfRange):
        march(EdgeSection(SLAB, 2.4, **wrong), FROST, (), 1.0)
