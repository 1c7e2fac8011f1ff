"""The edge section against check cases computed apart from it, and against products of series.

The tables carry [COMPUTED]: two grids of an independent program agreed to 0.04 °C at 1 h and
0.02 °C later, and their tolerance is 0.1 °C at 1 h and 0.05 °C from 6 h.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import erf, erfcx

from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_points import POINTS
from curecast.core.heat.soil import Material
from tests.fixtures.edge_weather import GENERIC, one_coefficient, still
from tests.reference.column_reference import solve_column
from tests.reference.section_reference import solve_section
from tests.validation.rows import Agree

SOURCE = "Check cases of the edge section"
TOLERANCE = "0.1 at 1 h, 0.05 later: its two grids agree to 0.04"

# W 1.2 m, L 0.15, above grade 0.15; k 2.0, rho c 2.256e6; soil 1.3, 1.98e6; concrete 20, soil and
# deep 5; air 0, h 15 in all, no sun, sky, evaporation; R_side 0.15, bare top, never stripped.
# Columns: arris; side; top and mid 150 mm in; centre top, mid, bottom.
WITHOUT_HEAT = {
    1: (10.85, 13.71, 12.47, 15.92, 12.53, 16.00, 13.27),
    6: (3.57, 5.09, 4.61, 6.67, 5.20, 7.52, 8.50),
    24: (1.00, 1.54, 1.31, 2.02, 1.66, 2.53, 3.27),
    72: (0.43, 0.67, 0.54, 0.85, 0.65, 1.01, 1.36),
}
WITH_HEAT = {
    6: (4.15, 5.84, 5.37, 7.66, 6.05, 8.65, 9.36),
    12: (3.41, 4.77, 4.40, 6.26, 5.24, 7.48, 8.14),
    24: (2.82, 3.93, 3.59, 5.10, 4.31, 6.16, 6.83),
    72: (1.19, 1.70, 1.50, 2.18, 1.78, 2.61, 3.09),
}
# the column of the same slab: top, mid, bottom
COLUMN_WITHOUT_HEAT = {
    1: (12.53, 16.00, 13.27),
    6: (5.20, 7.53, 8.51),
    24: (1.74, 2.66, 3.42),
    72: (0.74, 1.15, 1.54),
}
COLUMN_WITH_HEAT = {
    6: (6.05, 8.65, 9.37),
    12: (5.29, 7.54, 8.21),
    24: (4.46, 6.37, 7.07),
    72: (1.98, 2.91, 3.48),
}
CASES = pytest.mark.parametrize("heat", [False, True], ids=["without heat", "with heat"])
H_W_M2K = 15.0


def tolerance(hour: int) -> float:
    return 0.1 if hour == 1 else 0.05


def check_slab(heat: bool) -> Column:
    return Column(0.15, GENERIC, 20.0, 5.0, 5.0, heat_scale=float(heat), evaporates=False)


def reference_parameters(heat: bool) -> dict[str, float]:
    starts = {"placement_c": 20.0, "ground_c": 5.0, "deep_c": 5.0, "thickness_m": 0.15}
    return starts | {"fixed_h_w_m2k": H_W_M2K, "heat_j_kg": 480e3 if heat else 0.0}


def calm() -> dict[str, object]:
    return {"start_h": 0, "air_c": np.zeros(80), "wind_ms": np.zeros(80)}


def case_name(heat: bool) -> str:
    return f"edge of 150 mm, {'with' if heat else 'without'} heat"


@CASES
def test_the_section_gives_the_check_case(
    agree: Agree, heat: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    one_coefficient(monkeypatch, H_W_M2K)
    history = march(EdgeSection(check_slab(heat), 1.2), still(), (), 72.0)
    for hour, row in (WITH_HEAT if heat else WITHOUT_HEAT).items():
        agree(
            f"{case_name(heat)}, {hour} h: seven places", SOURCE, row, history.temp_c[hour, :, 0],
            tolerance(hour), "°C", "computed", note=TOLERANCE,
        )  # fmt: skip


@CASES
def test_the_reference_section_gives_the_check_case(heat: bool) -> None:
    table = WITH_HEAT if heat else WITHOUT_HEAT
    out = solve_section(reference_parameters(heat), calm(), 0.0, sorted(table))["temperature_c"]
    for i, (hour, row) in enumerate(table.items()):
        assert [out[name][i] for name in POINTS] == pytest.approx(row, abs=tolerance(hour)), hour


@CASES
def test_the_reference_column_gives_the_check_case(heat: bool) -> None:
    table = COLUMN_WITH_HEAT if heat else COLUMN_WITHOUT_HEAT
    out = solve_column(reference_parameters(heat), calm(), 0.0, sorted(table))["temperature_c"]
    for i, (hour, row) in enumerate(table.items()):
        assert [out[n][i] for n in out] == pytest.approx(row, abs=tolerance(hour)), hour


@CASES
def test_the_centre_of_a_wide_slab_is_the_column(
    agree: Agree, heat: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    one_coefficient(monkeypatch, H_W_M2K)
    hours = [6, 12, 24, 48, 72]
    column = solve_column(reference_parameters(heat), calm(), 0.0, hours)["temperature_c"]
    edge = EdgeSection(check_slab(heat), 12.0, fineness=1.3)
    history = march(edge, still(), (), 72.0)
    centre = history.temp_c[hours][:, -3:, 0]
    expected = np.stack(list(column.values()), axis=1)
    agree(
        f"{case_name(heat)}: centre of 12 m against the column, 6 to 72 h",
        "Reference column: scipy's BDF, fine grid", expected, centre, 0.02, "°C", "solver",
        note="what remains of the edges at 6 m",
    )  # fmt: skip


# Quarter-space without form, products of the semi-infinite series; k 1.5, rho c 2.35e6, h 20,
# 20 °C into 0 °C. [COMPUTED]; the row of 6 h is cut off, not rounded (1.9366), hence 1e-3 below.
QUARTER_ARRIS = {1: 6.067, 3: 3.200, 6: 1.936, 12: 1.098, 24: 0.593}
QUARTER_CORNER = {1: 3.341, 3: 1.280, 6: 0.602, 12: 0.257, 24: 0.102}


def half_space_c(x_m: float, hour: float) -> float:
    """20 °C half-space into air at 0 °C: T / 20 at a depth."""
    diffusivity, ratio = 1.5 / 2.35e6, 20.0 / 1.5
    root = np.sqrt(diffusivity * hour * 3600.0)
    z = x_m / (2.0 * root)
    return 20.0 * float(erf(z) + np.exp(-z * z) * erfcx(z + ratio * root))


def test_an_edge_cools_as_the_product_of_two_half_spaces(
    agree: Agree, monkeypatch: pytest.MonkeyPatch
) -> None:
    one_coefficient(monkeypatch, 20.0)
    block = Column(
        1.0, GENERIC, 20.0, 20.0, 20.0, concrete=Material(1.5, 2350.0, 1000.0), heat_scale=0.0,
        evaporates=False,
    )  # fmt: skip
    edge = EdgeSection(block, 3.0, form_r_m2k_w=0.0, anchor_edge_m=0.1)
    history = march(edge, still(), (), 24.0)
    arris, corner = history.at("arris")["temp_c"], history.corner_c
    for hour, told in QUARTER_ARRIS.items():
        assert told == pytest.approx(half_space_c(0.0, hour) ** 2 / 20.0, abs=1e-3)
        product = half_space_c(0.0, hour) * half_space_c(0.1, hour) / 20.0
        inside = history.at("top_anchor")["temp_c"][hour, 0]
        agree(
            f"quarter space, {hour} h: arris, corner, top 100 mm in",
            "Products of half-space series",
            [told, QUARTER_CORNER[hour], product], [arris[hour, 0], corner[hour, 0], inside],
            tolerance(hour), "°C", "computed", note="0.1 at 1 h, 0.05 later, as the check cases",
        )  # fmt: skip
