"""What to buy and carry: volume, bags, pallets, trips."""

from __future__ import annotations

import pytest

from curecast.core.build.takeoff import TakeOff, bag_yield_m3, mean_thickness_m, takeoff
from curecast.errors import OutOfRange

LB, FT, INCH = 0.45359237, 0.3048, 0.0254
BAG_KG = 80 * LB
FORM = (4 * FT, 12 * FT, 6 * INCH)


def test_a_form_of_24_cubic_feet_takes_40_bags() -> None:
    # Common practice: 4 ft x 12 ft x 6 in at 0.60 ft3 a bag of 80 lb; 5 % over is 42 to buy.
    out = takeoff(*FORM, BAG_KG)
    assert out.volume_m3 == pytest.approx(24 * FT**3)
    assert out.bags_exact == pytest.approx(40.0)
    assert out.bags == 42
    assert takeoff(*FORM, BAG_KG, waste=0.0).bags == 40


def test_weight_on_the_truck() -> None:
    # Common practice: 42 bags of 80 lb weigh 3,360 lb and fill a pallet.
    out = takeoff(*FORM, BAG_KG)
    assert out.bags_kg is not None
    assert out.bags_kg / LB == pytest.approx(3360)
    assert out.pallets == 1
    assert takeoff(*FORM, BAG_KG, waste=0.06).pallets == 2


def test_trips_go_by_whole_bags() -> None:
    # 450 kg is 12.4 bags: 12 a trip, so 42 bags are 4 trips although 42 x 36.3 / 450 is 3.4.
    assert takeoff(*FORM, BAG_KG).trips == 4
    assert takeoff(*FORM, BAG_KG, payload_kg=21 * BAG_KG).trips == 2


def test_two_bags_left_over_are_within_the_tolerance_that_is_stated() -> None:
    # Common practice: 38 bags used say that the slab averages 5.7 in.
    out = takeoff(*FORM, BAG_KG)
    thickness = mean_thickness_m(38, BAG_KG, FORM[0], FORM[1])
    assert thickness / INCH == pytest.approx(5.7)
    assert out.thickness_m - thickness < out.thickness_tolerance_m
    assert out.thickness_m - mean_thickness_m(37, BAG_KG, *FORM[:2]) > out.thickness_tolerance_m


def test_water_beside_the_bags() -> None:
    out = takeoff(*FORM, BAG_KG)
    assert out.water_l_per_bag == pytest.approx(2.84, abs=0.005)
    assert out.water_l_max_per_bag == pytest.approx(4.4)
    small = takeoff(*FORM, 25.0)
    assert small.water_l_max_per_bag == pytest.approx(4.4 * 25.0 / BAG_KG)


def test_corner_depths_replace_the_thickness() -> None:
    out = takeoff(2.4, 2.4, 0.20, corner_depths_m=(0.20, 0.22, 0.24, 0.22))
    assert out.thickness_m == pytest.approx(0.22)
    assert out.volume_m3 == pytest.approx(2.4 * 2.4 * 0.22)


def test_ready_mix_has_no_bags() -> None:
    out = takeoff(2.4, 2.4, 0.20)
    assert out == TakeOff(
        out.volume_m3, 0.20, out.thickness_tolerance_m, pytest.approx(1.152 * 1.05)
    )


def test_pallets_of_other_bags_weigh_the_same() -> None:
    assert takeoff(1.0, 1.0, 56 * bag_yield_m3(60 * LB), 60 * LB, waste=0.0).pallets == 1
    assert takeoff(1.0, 1.0, 57 * bag_yield_m3(60 * LB), 60 * LB, waste=0.0).pallets == 2


@pytest.mark.parametrize(
    "change",
    [
        {"length_m": 0.0},
        {"thickness_m": -0.1},
        {"width_m": float("nan")},
        {"waste": -0.01},
        {"bag_kg": 0.0},
        {"payload_kg": 30.0},
        {"corner_depths_m": (0.2, 0.2, 0.2)},
        {"corner_depths_m": (0.2, 0.2, 0.2, 0.0)},
    ],
    ids=str,
)
def test_refuses(change: dict[str, float]) -> None:
    asked = {"length_m": 2.4, "width_m": 2.4, "thickness_m": 0.2, "bag_kg": BAG_KG} | change
    with pytest.raises(OutOfRange):
        takeoff(**asked)  # type: ignore[arg-type]


def test_mean_thickness_needs_a_plan() -> None:
    with pytest.raises(OutOfRange):
        mean_thickness_m(38, BAG_KG, 0.0, 1.0)
