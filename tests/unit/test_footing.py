"""The slab as a small footing, against cases worked by hand."""

from __future__ import annotations

import math

import pytest

from curecast.core.build.footing import footing, sliding_factor
from curecast.core.build.levels import read_face
from curecast.errors import OutOfRange


def test_a_load_in_the_middle() -> None:
    # 24 kN on 2 x 3 m: 4 kPa all over.
    out = footing(2.0, 3.0, 24_000.0, 0.0)
    assert out.pressure_kpa == pytest.approx(4.0)
    assert (out.overturning, out.contact, out.eccentricity_m) == (math.inf, 1.0, 0.0)


def test_within_the_middle_third() -> None:
    # 40 kN, 8 kN m on 2 x 2 m: e 0.2 m, 10 (1 + 0.6) = 16 kPa, 40 x 1 / 8 = 5 times safe.
    out = footing(2.0, 2.0, 40_000.0, 8_000.0)
    assert out.pressure_kpa == pytest.approx(16.0)
    assert out.overturning == pytest.approx(5.0)
    assert out.contact == 1.0


def test_at_the_edge_of_the_middle_third_both_forms_meet() -> None:
    # e = B/6: twice the mean pressure.
    out = footing(2.4, 1.0, 24_000.0, 24_000.0 * 0.4)
    assert out.pressure_kpa == pytest.approx(20.0)
    beyond = footing(2.4, 1.0, 24_000.0, 24_000.0 * 0.4000001)
    assert beyond.pressure_kpa == pytest.approx(20.0, rel=1e-5)


def test_beyond_the_middle_third() -> None:
    # 30 kN, e 0.6 m on 2 x 1.5 m: pressed 3 (1 - 0.6) = 1.2 m, 2 x 30 / (1.5 x 1.2) = 33.3 kPa.
    out = footing(2.0, 1.5, 30_000.0, 18_000.0)
    assert out.pressure_kpa == pytest.approx(100.0 / 3.0)
    assert out.contact == pytest.approx(0.6)
    assert out.overturning == pytest.approx(30.0 / 18.0)


def test_tipping() -> None:
    out = footing(2.0, 2.0, 10_000.0, 12_000.0)
    assert out.overturning == pytest.approx(10.0 / 12.0)
    assert (out.pressure_kpa, out.contact) == (math.inf, 0.0)


def test_the_crane_of_the_sample() -> None:
    # Worked by hand: slab 2.4 x 2.4 x 0.2 m at 2300 kg/m3 is 25.98 kN, load 2.45 kN;
    # 250 kg x 2.5 m x 1.25 is 7.66 kN m: 28.44 x 1.2 / 7.66 = 4.45 times safe;
    # e 0.2694 m, 4.937 (1 + 6 x 0.2694 / 2.4) = 8.26 kPa.
    down = (2.4 * 2.4 * 0.2 * 2300.0 + 250.0) * 9.80665
    out = footing(2.4, 2.4, down, 250.0 * 9.80665 * 2.5 * 1.25)
    assert out.overturning == pytest.approx(4.45, abs=0.005)
    assert out.pressure_kpa == pytest.approx(8.26, abs=0.01)


def test_sliding() -> None:
    assert sliding_factor(20_000.0, 4_000.0, 0.30) == pytest.approx(1.5)
    assert sliding_factor(20_000.0, 0.0) == math.inf


@pytest.mark.parametrize(
    "sides",
    [(0.0, 2.0, 1.0, 0.0), (2.0, 2.0, 0.0, 0.0), (2.0, 2.0, 1.0, -1.0), (2, math.nan, 1, 0)],
)
def test_refuses(sides: tuple[float, float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        footing(*sides)


def test_levels_of_four_corners() -> None:
    # A plane with a twist: of 0, 4, 2, -3 mm a quarter millimetre is off the plane.
    face = read_face([0.0, 0.004, 0.002, -0.003])
    assert face.fall_m == pytest.approx(0.007)
    assert face.flatness_m == pytest.approx(0.00025)
    assert face.shims_m == pytest.approx((0.004, 0.0, 0.002, 0.007))
    assert (face.highest_shim_m, face.low_point) == (pytest.approx(0.007), 3)


def test_a_tilted_plane_is_flat() -> None:
    places = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.5, 1.0), (1.0, 0.3)]
    face = read_face([0.01 * x - 0.02 * y + 1.0 for x, y in places], places)
    assert face.flatness_m == pytest.approx(0.0, abs=1e-12)
    assert face.fall_m == pytest.approx(0.035)


def test_what_the_mark_is_does_not_matter() -> None:
    low = read_face([0.0, 0.004, 0.002, -0.003])
    high = read_face([5.0, 5.004, 5.002, 4.997])
    assert high.shims_m == pytest.approx(low.shims_m)


@pytest.mark.parametrize(
    ("heights", "places"),
    [
        ([0.0, 0.1, 0.2], None),
        ([0.0, 0.1], [(0, 0), (1, 0)]),
        ([0.0, 0.1, 0.2], [(0, 0), (1, 0), (2, 0)]),
        ([0.0, 0.1, 0.2], [(0, 0), (1, 0)]),
    ],
)
def test_levels_that_say_nothing_are_refused(heights: list[float], places: object) -> None:
    with pytest.raises(OutOfRange):
        read_face(heights, places)  # type: ignore[arg-type]
