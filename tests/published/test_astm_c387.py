"""ASTM C387, packaged dry mixes: yields as makers print them, least strengths from memory."""

from __future__ import annotations

import pytest

from curecast.core.build.takeoff import bag_yield_m3, takeoff
from curecast.core.concrete.allowances import (
    LEAST_HIGH_EARLY_MPA,
    LEAST_NORMAL_MPA,
    f28_bag,
)
from curecast.core.concrete.shapes import eurocode, exponential, hyperbola
from curecast.core.concrete.water import BAG_80_LB_KG, LITRE_PER_US_PINT, bag_w_c, water_advice

LB, FT3, PSI = 0.45359237, 0.3048**3, 0.0068947573


@pytest.mark.parametrize(
    ("bag_lb", "yield_ft3", "per_yard"),
    [(40, 0.30, 90), (50, 0.375, 72), (60, 0.45, 60), (80, 0.60, 45)],
)
def test_yield(bag_lb: float, yield_ft3: float, per_yard: int) -> None:
    assert bag_yield_m3(bag_lb * LB) == pytest.approx(yield_ft3 * FT3, rel=1e-9)
    assert 27 * FT3 / bag_yield_m3(bag_lb * LB) == pytest.approx(per_yard)


def test_25_kg_bag() -> None:
    # By mass, computed: 0.01171 m3 a bag, 85.4 bags a cubic metre.
    assert bag_yield_m3(25.0) == pytest.approx(0.01171, abs=6e-6)
    assert 1.0 / bag_yield_m3(25.0) == pytest.approx(85.4, abs=0.06)


@pytest.mark.parametrize(  # feet, feet, inches; exact, to buy, to buy with 10 %; computed
    ("size", "bag_lb", "exact", "plain", "ten_percent"),
    [
        ((4, 4, 4), 80, 8.89, 9, 10),
        ((4, 4, 4), 60, 11.85, 12, 14),
        ((4, 4, 4), 50, 14.22, 15, 16),
        ((4, 4, 6), 80, 13.33, 14, 15),
        ((4, 4, 6), 60, 17.78, 18, 20),
        ((4, 4, 6), 50, 21.33, 22, 24),
        ((3, 3, 6), 80, 7.5, 8, 9),
        ((3, 3, 6), 60, 10.0, 10, 11),
        ((3, 3, 6), 50, 12.0, 12, 14),
        ((6, 8, 6), 80, 40.0, 40, 44),
        ((6, 8, 6), 60, 53.33, 54, 59),
        ((6, 8, 6), 50, 64.0, 64, 71),
    ],
)
def test_bags(
    size: tuple[float, float, float], bag_lb: float, exact: float, plain: int, ten_percent: int
) -> None:
    measures = (size[0] * 0.3048, size[1] * 0.3048, size[2] * 0.0254)
    assert takeoff(*measures, bag_lb * LB).bags_exact == pytest.approx(exact, abs=0.0051)
    assert takeoff(*measures, bag_lb * LB, waste=0.0).bags == plain
    assert takeoff(*measures, bag_lb * LB, waste=0.10).bags == ten_percent


def test_density_with_six_pints() -> None:
    # 143.8 lb/ft3, 2303 kg/m3; computed.
    wet = BAG_80_LB_KG + 6 * LITRE_PER_US_PINT
    assert wet / bag_yield_m3(BAG_80_LB_KG) == pytest.approx(2303, abs=1.0)


def test_water_cement_ratio() -> None:
    # Cement 16 % of the bag (assumed): 0.489 with 6.26 lb of water, 342 kg/m3.
    assert bag_w_c(80.0, 6.26) == pytest.approx(0.489, abs=5.1e-4)
    assert 0.16 * BAG_80_LB_KG / bag_yield_m3(BAG_80_LB_KG) == pytest.approx(342, abs=0.5)


@pytest.mark.parametrize(
    ("pints", "kind"),
    [(5, "below"), (6, "within"), (9.3, "within"), (10, "above"), (12, "above"), (12.1, "refused")],
)
def test_water(pints: float, kind: str) -> None:
    assert water_advice(BAG_80_LB_KG, pints * LITRE_PER_US_PINT).kind == kind


@pytest.mark.parametrize(
    ("bag_lb", "litres"),
    [(60, 4 * LITRE_PER_US_PINT * 1.25), (80, 7.5 * LB), (50, 4.4 * LB)],
    ids=["60 lb, 5 pt", "80 lb, 7.5 lb", "50 lb, 4.4 lb"],
)
def test_printed_figures_of_other_bags_are_not_called_too_much(
    bag_lb: float, litres: float
) -> None:
    assert water_advice(bag_lb * LB, litres).kind in ("within", "below")


def test_five_quarts_a_bag_is_too_much() -> None:
    assert water_advice(BAG_80_LB_KG, 10 * LITRE_PER_US_PINT).kind == "above"


def test_least_strengths() -> None:
    # Normal: 2500 psi at 7 d, 3500 at 28 d. High early: 3500 psi at 7 d.
    assert pytest.approx(3500 * PSI, abs=0.005) == LEAST_NORMAL_MPA
    assert pytest.approx(3500 * PSI / float(eurocode(7.0, 0.25)), abs=0.01) == LEAST_HIGH_EARLY_MPA
    assert f28_bag(5000 * PSI) == pytest.approx(27.7, abs=0.06)
    assert f28_bag(3000 * PSI) == pytest.approx(3000 * PSI)


# A high-early bag prints 1500 / 2500 / 3500 / 5000 psi at 1 / 3 / 7 / 28 d.
def test_shapes_through_a_bags_printed_ages() -> None:
    printed = {1: 1500, 3: 2500, 7: 3500, 28: 5000}
    for age, psi in printed.items():
        assert float(exponential(age, 10_347, 9.466, 0.2953)) == pytest.approx(psi, abs=60)
        assert float(hyperbola(age, 5497, 0.2906)) == pytest.approx(psi, abs=280)


@pytest.mark.parametrize(("shape_500", "age_d"), [("hyperbola", 0.34), ("exponential", 0.22)])
def test_frost_safe_time_hangs_on_the_shape(shape_500: str, age_d: float) -> None:
    # Time at 20 °C to 500 psi by the two fits; computed, printed to 0.01 d.
    curve = {
        "hyperbola": lambda t: hyperbola(t, 5497, 0.2906),
        "exponential": lambda t: exponential(t, 10_347, 9.466, 0.2953),
    }[shape_500]
    assert float(curve(age_d - 0.006)) < 500 < float(curve(age_d + 0.006))
