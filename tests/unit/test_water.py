"""Water in a bag: kinds, the printed range by mass, and what too much costs."""

from __future__ import annotations

import pytest

from curecast.core.concrete.water import BAG_80_LB_KG, water_advice
from curecast.errors import OutOfRange

US_GALLON_L = 3.785411784


def test_about_a_gallon_a_bag_is_inside_the_range_and_well_over_the_basic_figure() -> None:
    # Common practice: about a US gallon goes into a bag of 80 lb.
    advice = water_advice(BAG_80_LB_KG, US_GALLON_L)
    assert advice.kind == "within"
    assert advice.f28_factor == 1.0
    assert advice.basic_l < US_GALLON_L / 1.3
    assert advice.w_c == pytest.approx(0.652, abs=5e-4)


def test_water_above_the_range_follows_abrams() -> None:
    advice = water_advice(BAG_80_LB_KG, 5.0)
    assert advice.kind == "above"
    excess = (5.0 - 4.4) / (0.16 * BAG_80_LB_KG)
    assert advice.f28_factor == pytest.approx(14.0**-excess)


def test_the_factor_has_a_floor() -> None:
    assert water_advice(BAG_80_LB_KG, 12.0).f28_factor == 0.4
    assert water_advice(BAG_80_LB_KG, 12.0).kind == "refused"


@pytest.mark.parametrize(
    "kind_l", [(2.0, "below"), (3.0, "within"), (5.0, "above"), (6.0, "refused")]
)
@pytest.mark.parametrize("scale", [0.25, 1.0, 25.0 / BAG_80_LB_KG])
def test_other_bags_by_mass(kind_l: tuple[float, str], scale: float) -> None:
    litres, kind = kind_l
    assert water_advice(BAG_80_LB_KG * scale, litres * scale).kind == kind


@pytest.mark.parametrize(("bag_kg", "water_l"), [(0.0, 3.0), (36.0, 0.0), (float("nan"), 3.0)])
def test_refuses(bag_kg: float, water_l: float) -> None:
    with pytest.raises(OutOfRange):
        water_advice(bag_kg, water_l)
