"""What a slab takes besides its bags, and the truck instead of them; counts worked by hand."""

from __future__ import annotations

import pytest

from curecast.core.build.bags import (
    SIZES_KG,
    bag_yield_m3,
    bags_for,
    mean_thickness_m,
    pallets_for,
    trips_for,
)
from curecast.core.build.materials import (
    blankets_to_cover,
    boards_and_stakes,
    gravel,
    pieces_to_cover,
    sheet_m2,
)
from curecast.core.build.ready_mix import CUBIC_YARD_M3, STEP_M3, truck
from curecast.core.build.steel import bars, chairs, mesh_sheets
from curecast.core.build.takeoff import takeoff
from curecast.core.build.thickened import edge_m3, pad_m3
from curecast.errors import OutOfRange

FT, LB = 0.3048, 0.45359237


@pytest.mark.parametrize(("bag_lb", "bags"), [(80, 45), (60, 60), (50, 72)])
def test_bags_to_a_cubic_yard(bag_lb: float, bags: int) -> None:
    assert bags_for(CUBIC_YARD_M3, bag_yield_m3(bag_lb * LB)) == bags


@pytest.mark.parametrize(("count", "yields"), [(24.0, 0.6), (0.3, 0.1), (4.35, 0.15), (1.1, 0.1)])
def test_a_whole_count_stays_whole(count: float, yields: float) -> None:
    assert bags_for(count, yields) == round(count / yields)
    assert bags_for(1.001 * count, yields) == round(count / yields) + 1


def test_sizes_in_both_systems() -> None:
    assert [round(kg / LB) for kg in SIZES_KG["us"]] == [80, 60, 50]
    assert SIZES_KG["si"] == (40.0, 25.0, 20.0)


def test_a_printed_yield_goes_before_the_usual_one() -> None:
    # A bag of 25 kg that prints 12.5 l: 80 to the cubic metre.
    assert takeoff(1.0, 1.0, 1.0, 25.0, bag_m3=0.0125, waste=0.0).bags == 80


def test_carrying() -> None:
    assert pallets_for(42, 80 * LB) == 1
    assert pallets_for(43, 80 * LB) == 2
    assert trips_for(40, 25.0, 250.0) == 4
    assert trips_for(41, 25.0, 250.0) == 5
    with pytest.raises(OutOfRange, match="one bag of 25 kg is more"):
        trips_for(1, 25.0, 24.0)


def test_thickened_edge_and_pads() -> None:
    # 3 x 2 m, 250 mm strip: 6 - 2.5 x 1.5 = 2.25 m2, 200 mm below the slab.
    extra = edge_m3(3.0, 2.0, 0.10, 0.30, 0.25) + pad_m3(0.6, 0.5, 0.10, 0.40)
    assert extra == pytest.approx(2.25 * 0.20 + 0.30 * 0.30)
    out = takeoff(3.0, 2.0, 0.10, 25.0, extra_m3=extra, waste=0.0)
    assert out.volume_m3 == pytest.approx(0.6 + extra)
    assert out.thickness_m == 0.10
    back = mean_thickness_m(out.bags_exact or 0.0, 25.0, 3.0, 2.0, extra_m3=extra)
    assert back == pytest.approx(0.10)
    assert edge_m3(3.0, 2.0, 0.10, 0.30, 1.0) == pytest.approx(6.0 * 0.20)


def test_a_truck_comes_in_steps_and_never_below_its_least_load() -> None:
    assert truck(1.21).order_m3 == 1.25
    assert truck(1.25).order_m3 == 1.25
    assert truck(1.21, least_m3=2.0).order_m3 == 2.0
    assert truck(1.21, least_m3=2.0).spare_m3 == pytest.approx(0.79)
    assert truck(1.2 * CUBIC_YARD_M3, step_m3=STEP_M3["us"]).order_m3 == pytest.approx(
        1.25 * CUBIC_YARD_M3
    )


def test_a_truck_that_stands_too_long() -> None:
    # Half an hour and a quarter for each cubic metre.
    assert truck(2.0, wait_h=0.75).over_h == pytest.approx(0.25)
    assert truck(2.0, wait_h=1.5).over_h == 0.0
    assert truck(2.0).over_h == 0.0


def test_gravel_and_sheet() -> None:
    # 2.7 x 1.7 m and 150 mm all round: 3 x 2 m x 0.1 m, a quarter more loose, 2 t/m3.
    base = gravel(2.7, 1.7, 0.1)
    assert (base.compacted_m3, base.loose_m3) == (pytest.approx(0.6), pytest.approx(0.75))
    assert base.mass_kg == pytest.approx(1200.0)
    assert sheet_m2(2.4, 2.4) == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("length", "width", "pieces"),
    [(1.5, 7.0, 1), (7.0, 1.5, 1), (3.0, 3.0, 2), (3.36, 7.0, 2), (3.4, 7.0, 3), (3.0, 8.0, 4)],
)
def test_pieces_lap(length: float, width: float, pieces: int) -> None:
    # Pieces of 1.83 x 7.62 m lapped 0.3 m: one covers 1.83, two 3.36 m.
    assert pieces_to_cover(length, width, (1.83, 7.62), 0.3) == pieces


def test_blankets_hang_over_on_every_side() -> None:
    assert blankets_to_cover(1.2, 7.0, (1.83, 7.62)) == 1
    assert blankets_to_cover(1.3, 7.0, (1.83, 7.62)) == 2
    assert blankets_to_cover(1.2, 7.0, (1.83, 7.62), layers=2) == 2
    assert blankets_to_cover(1.2, 7.0, layers=0) == 0


def test_bars() -> None:
    # 3.1 x 2.5 m: 2.4 / 0.3 + 1 along, 3.0 / 0.3 + 1 across; 9 x 3 m and 11 x 2.4 m, two from
    # each stock bar of 6.1 m.
    out = bars(3.1, 2.5)
    assert (out.along, out.across) == (9, 11)
    assert out.total_m == pytest.approx(9 * 3.0 + 11 * 2.4)
    assert out.mass_kg == pytest.approx(out.total_m * 0.888, rel=1e-3)
    assert out.stock == 5 + 6


def test_long_bars_lap() -> None:
    # 8 m of bar from 6.1 m stock: one lap of 40 x 12 mm.
    out = bars(8.1, 0.4)
    assert out.total_m == pytest.approx(out.along * (8.0 + 0.48) + out.across * 0.3)


def test_mesh_chairs_boards_stakes() -> None:
    assert mesh_sheets(1.5, 3.0) == 1
    assert mesh_sheets(2.4, 2.4) == 2
    assert chairs(2.4, 2.4) == 16
    assert boards_and_stakes(2.4, 2.4) == (4, 20)
    assert boards_and_stakes(1.8, 1.2) == (2, 14)
    assert boards_and_stakes(7.0, 4.0) == (8, 42)


REFUSED = {
    "gravel(0.0, 1.0, 0.1)": lambda: gravel(0.0, 1.0, 0.1),
    "sheet_m2(1.0, float('nan'))": lambda: sheet_m2(1.0, float("nan")),
    "pieces_to_cover(1.0, 1.0, (0.3, 2.0), 0.3)": lambda: pieces_to_cover(
        1.0, 1.0, (0.3, 2.0), 0.3
    ),
    "bars(0.1, 2.0)": lambda: bars(0.1, 2.0),
    "chairs(-1.0, 1.0)": lambda: chairs(-1.0, 1.0),
    "boards_and_stakes(1.0, 1.0, 0.0)": lambda: boards_and_stakes(1.0, 1.0, 0.0),
    "truck(0.0)": lambda: truck(0.0),
    "truck(1.0, step_m3=0.0)": lambda: truck(1.0, step_m3=0.0),
    "edge_m3(3.0, 2.0, 0.10, 0.05, 0.25)": lambda: edge_m3(3.0, 2.0, 0.10, 0.05, 0.25),
    "edge_m3(3.0, 2.0, 0.10, 0.30, 1.1)": lambda: edge_m3(3.0, 2.0, 0.10, 0.30, 1.1),
    "pad_m3(0.5, 0.5, 0.2, 0.1)": lambda: pad_m3(0.5, 0.5, 0.2, 0.1),
    "bags_for(1.0, 0.0)": lambda: bags_for(1.0, 0.0),
    "trips_for(1, 0.0, 100.0)": lambda: trips_for(1, 0.0, 100.0),
    "takeoff(1.0, 1.0, 0.1, 25.0, extra_m3=-0.1)": lambda: takeoff(
        1.0, 1.0, 0.1, 25.0, extra_m3=-0.1
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_refuses(what: str) -> None:
    with pytest.raises(OutOfRange):
        REFUSED[what]()
