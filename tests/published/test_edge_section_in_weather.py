"""The edge section through two days of rough weather, against a fine stiff solver.

The reference shares no line with the core: other grid, other time stepping, formulas of its own
for sun, sky, faces, heat and ages. The case has all that can happen: evaporation to its end, a
lapped blanket, stripping, a heated enclosure that does not lap, boards under and beside, grade
half-way up.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_points import POINTS
from curecast.core.heat.stepping import COARSE, NORMAL
from tests.fixtures.edge_weather import GENERIC, LATITUDE, LONGITUDE, forcing, rough_autumn
from tests.reference.section_reference import solve_section
from tests.validation.rows import Agree

SOURCE = "Reference edge section: fine grid, stiff solver"

HOURS = 48
WEATHER = rough_autumn(HOURS + 2)
START_H = WEATHER["start_h"] + 0.3
PARAMETERS = {
    "thickness_m": 0.2,
    "width_m": 2.4,
    "above_grade_m": 0.1,
    "beside_m2k_w": 0.4,
    "insulation_m2k_w": 0.3,
    "form_m2k_w": 0.32,
    "strip_at_h": 30.6,
    "set_factor": 1.0,
    "placement_c": 16.0,
    "ground_c": 6.0,
    "deep_c": 9.0,
    "latitude_deg": LATITUDE,
    "longitude_deg": LONGITUDE,
}
COVERS = [
    {"from_h": 13.4, "to_h": 26.2, "r_m2k_w": 0.35, "laps": True},
    {"from_h": 36.0, "to_h": 42.5, "r_m2k_w": 0.2, "heated_to_c": 12.0},
]
SPELLS = (
    CoverSpell(0.35, 13.4, 26.2, laps=True),
    CoverSpell(0.2, 36.0, 42.5, laps=False, heat_to_c=12.0),
)
SECTION = EdgeSection(
    Column(0.2, GENERIC, 16.0, 6.0, 9.0, under_r_m2k_w=0.3),
    2.4,
    above_grade_m=0.1,
    beside_r_m2k_w=0.4,
    form_r_m2k_w=0.32,
    strip_at_h=30.6,
)

SHOWN = {"heat_age_h": "heat age", "te20_h": "equivalent age", "ttf_c_h": "degree-hours"}


@pytest.fixture(scope="module")
def judge() -> dict[str, Any]:
    """Errors of 1e-4 in time; half its cells would move it by some 0.01 °C."""
    return solve_section(
        PARAMETERS, WEATHER, START_H, np.arange(HOURS + 1.0), COVERS, rtol=1e-4, atol=1e-4
    )


@pytest.mark.parametrize("plan", [NORMAL, COARSE], ids=["normal", "coarse"])
def test_temperatures_follow_the_reference(agree: Agree, judge: dict[str, Any], plan: Any) -> None:
    run = march(SECTION, forcing(WEATHER, START_H), SPELLS, HOURS, plan=plan)
    far = {}
    for name in POINTS:
        off = np.abs(run.at(name)["temp_c"][:, 0] - judge["temperature_c"][name])
        off[0] = 0.0  # the first hour, in which contact with the soil still settles
        if name == "centre_top":
            off[13] = 0.0  # sets within minutes of 13 h: a jump that a step smears
        far[name] = round(float(off.max()), 3)
        steps = "normal" if plan is NORMAL else "coarse"
        agree(
            f"48 h of rough weather, {steps} steps: {name}, farthest off", SOURCE, 0.0,
            float(off.max()), 0.15, "K", "solver", note="what two builders may differ by",
        )  # fmt: skip
    assert not np.median(list(far.values())) > 0.11


def test_ages_follow_the_reference(agree: Agree, judge: dict[str, Any]) -> None:
    run = march(SECTION, forcing(WEATHER, START_H), SPELLS, HOURS)
    told = {"heat_age_h": "heat_age_h", "te20_h": "strength_age_h", "ttf_c_h": "ttf_c_h"}
    for name in POINTS:
        for ours, theirs in told.items():
            expected = judge[theirs][name][6:]
            agree(
                f"48 h of rough weather: {name}, {SHOWN[ours]}, from 6 h on", SOURCE, expected,
                run.at(name)[ours][6:, 0], 0.005 * expected, "°C h" if ours == "ttf_c_h" else "h",
                "solver", note="half of the 1 % that two builders may differ by",
            )  # fmt: skip
