"""Groups of anchors in a slab: areas, near edges, and the pull under a base plate."""

from __future__ import annotations

import math

import numpy as np
import pytest

from curecast.core.build.anchor_limits import effective_embedment_m, most_embedment_m, most_hole_m
from curecast.core.build.anchors import breakout, edge_distances_m, projected_area_m2
from curecast.core.build.base_plate import (
    least_apart_m,
    load_moment_nm,
    square_pattern_m,
    worst_pull_n,
)
from curecast.core.build.breakout import basic_breakout_n, edge_factor
from curecast.core.build.wrench import drill_stop_m, handle_force_n, torque_pull_n
from curecast.errors import OutOfRange

WIDE = (3.0, 3.0)
MIDDLE = (1.5, 1.5)


def test_anchors_far_apart_hold_each_for_itself() -> None:
    out = breakout(24.0, 0.10, square_pattern_m(0.45, 0.45, MIDDLE), WIDE)
    assert out.area_ratio == pytest.approx(4.0)
    assert out.share_n == pytest.approx(7.0 * math.sqrt(24.0) * 100.0**1.5)


def test_anchors_near_each_other_share_one_cone() -> None:
    # Worked by hand: 200 mm apart and 100 mm deep, (200 + 300)^2 / 300^2.
    out = breakout(24.0, 0.10, square_pattern_m(0.20, 0.20, MIDDLE), WIDE)
    assert out.area_ratio == pytest.approx(25.0 / 9.0)
    assert out.share_n == pytest.approx(basic_breakout_n(24.0, 0.10) * 25.0 / 36.0)


def test_a_near_edge_cuts_the_cone_and_its_strength() -> None:
    # Worked by hand: edge 60 mm, 100 mm deep: (60 + 150) x 300 mm; 0.7 + 0.3 x 60/150.
    out = breakout(20.0, 0.10, [(0.06, 1.5)], WIDE)
    assert out.area_ratio == pytest.approx(0.21 * 0.30 / 0.09)
    assert out.edge_factor == pytest.approx(0.82)
    assert out.group_n == pytest.approx(out.basic_n * 0.7 * 0.82)


def test_area_of_a_group_at_an_edge() -> None:
    # Worked by hand: 12 in deep, a group 24 x 12 in with one side 6 in from an edge.
    inch = 0.0254
    places = np.array([(6, 100), (30, 100), (6, 112), (30, 112)]) * inch
    area = projected_area_m2(places, (400 * inch, 400 * inch), 12 * inch) / inch**2
    assert area == pytest.approx((6 + 24 + 18) * (18 + 12 + 18))


def test_three_near_edges_shorten_the_embedment_that_counts() -> None:
    # 17.6.2.1.2: a narrow strip, edges 90, 90 and 90 mm from one anchor 120 mm deep.
    out = breakout(24.0, 0.12, [(0.09, 0.09)], (3.0, 0.18))
    assert out.embedment_m == pytest.approx(0.06)
    assert breakout(24.0, 0.12, [(1.5, 0.09)], (3.0, 0.18)).embedment_m == 0.12


def test_area_counts_overlaps_once_and_nothing_beyond_the_slab() -> None:
    one = projected_area_m2([(1.0, 1.0)], (2.0, 2.0), 0.1)
    assert projected_area_m2([(1.0, 1.0), (1.0, 1.0)], (2.0, 2.0), 0.1) == pytest.approx(one)
    assert projected_area_m2([(0.1, 0.1)], (0.2, 0.2), 0.5) == pytest.approx(0.04)


def test_edges_are_told_to_all_four_sides() -> None:
    assert edge_distances_m([(0.5, 0.2)], (3.0, 1.0)).tolist() == [[0.5, 0.2, 2.5, 0.8]]


def test_strong_concrete_counts_up_to_a_limit() -> None:
    assert basic_breakout_n(90.0, 0.1) == basic_breakout_n(55.0, 0.1)


@pytest.mark.parametrize("edge", [0.0, 0.05, 0.15, 0.4])
def test_edge_factor_lies_between(edge: float) -> None:
    assert 0.7 <= edge_factor(edge, 0.1) <= 1.0


def test_pull_on_four_anchors() -> None:
    # Worked by hand: along a diagonal M / (sqrt 2 s), less a quarter of the weight.
    square = square_pattern_m(0.5, 0.5)
    assert worst_pull_n(square, 1000.0) == pytest.approx(1000.0 / (math.sqrt(2.0) * 0.5))
    lighter = worst_pull_n(square, 1000.0, 400.0)
    assert lighter == pytest.approx(1000.0 / (math.sqrt(2.0) * 0.5) - 100.0)
    assert worst_pull_n(square, 1000.0, 1e6) == 0.0
    assert worst_pull_n(square, 0.0) == 0.0


def test_pull_on_a_rectangle_and_a_circle() -> None:
    # Worked by hand. Rectangle 0.6 x 0.3: corner (0.3, 0.15), sums 4 x 0.09 and 4 x 0.0225.
    lever = math.hypot(0.3 / 0.36, 0.15 / 0.09)
    assert worst_pull_n(square_pattern_m(0.6, 0.3), 100.0) == pytest.approx(100.0 * lever)
    # Six on a circle of radius r: M r / (6 r2 / 2).
    turns = np.arange(6) * math.pi / 3.0
    circle = 0.25 * np.column_stack([np.cos(turns), np.sin(turns)])
    assert worst_pull_n(circle, 100.0) == pytest.approx(100.0 / (3.0 * 0.25))


def test_anchors_in_one_line_are_refused() -> None:
    with pytest.raises(OutOfRange, match="one line"):
        worst_pull_n([(0.0, 0.0), (0.4, 0.0)], 100.0)


def test_distances_between_anchors() -> None:
    assert least_apart_m(square_pattern_m(0.6, 0.3)) == pytest.approx(0.3)
    assert least_apart_m([(0.1, 0.1)]) == math.inf


def test_moment_of_a_load() -> None:
    assert load_moment_nm(250.0, 2.5, 1.25) == pytest.approx(250.0 * 9.80665 * 2.5 * 1.25)
    with pytest.raises(OutOfRange, match="shock"):
        load_moment_nm(250.0, 2.5, 0.9)


@pytest.mark.parametrize(
    ("kind", "deep"), [("wedge", 0.100), ("unknown", 0.100), ("adhesive", 0.12), ("cast-in", 0.12)]
)
def test_embedment_from_the_hole(kind: str, deep: float) -> None:
    assert effective_embedment_m(kind, 0.120, 0.020) == pytest.approx(deep)


def test_half_an_inch_beyond_for_thin_anchors() -> None:
    assert effective_embedment_m("wedge", 0.100, 0.010) == pytest.approx(0.0873)


def test_slab_under_anchors() -> None:
    assert most_embedment_m("cast-in", 0.200) == pytest.approx(0.1238)
    assert most_hole_m(0.150, 0.020) == pytest.approx(0.110)


def test_drill_stop_wrench_and_snug() -> None:
    assert drill_stop_m(0.120, 0.020, 0.006) == pytest.approx(0.146)
    assert handle_force_n(160.0, 0.40) == pytest.approx(400.0)


REFUSED = {
    "basic_breakout_n(0.0, 0.1)": lambda: basic_breakout_n(0.0, 0.1),
    "basic_breakout_n(float('nan'), 0.1)": lambda: basic_breakout_n(float("nan"), 0.1),
    "breakout(24.0, 0.1, [(3.5, 1.0)], WIDE)": lambda: breakout(24.0, 0.1, [(3.5, 1.0)], WIDE),
    "breakout(24.0, 0.0, [MIDDLE], WIDE)": lambda: breakout(24.0, 0.0, [MIDDLE], WIDE),
    "most_embedment_m('wedge', 0.0)": lambda: most_embedment_m("wedge", 0.0),
    "torque_pull_n(100.0, 0.0)": lambda: torque_pull_n(100.0, 0.0),
    "handle_force_n(100.0, 0.0)": lambda: handle_force_n(100.0, 0.0),
}


@pytest.mark.parametrize("what", REFUSED)
def test_refuses(what: str) -> None:
    with pytest.raises(OutOfRange):
        REFUSED[what]()
