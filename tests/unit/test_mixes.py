"""The presets, and a job's own numbers over them."""

from __future__ import annotations

import pytest

from curecast.core.concrete.mixes import PRESETS, find_mix
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.core.heat.hydration import heat_rate_age, heat_w_m3
from curecast.errors import OutOfRange

NUMBERS = {"strength_mpa", "s", "cement", "cement_kg_m3", "w_c", "fresh_kg_m3"}


@pytest.mark.parametrize("name", PRESETS)
def test_every_number_has_its_reason(name: str) -> None:
    reasons = PRESETS[name].reasons
    assert set(reasons) >= NUMBERS
    assert all(reasons.values())


def test_general_bag() -> None:
    mix = find_mix("bag")
    assert mix.curve.f28_mpa == pytest.approx(27.58)
    assert mix.curve.s == 0.38
    assert mix.allowances == ()
    assert mix.heat.cement_kg_m3 == pytest.approx(342, abs=0.5)
    assert mix.w_c == pytest.approx(0.489, abs=5e-4)
    assert mix.heat.reference_temperature_c == 23.0


def test_high_early_bag_is_quicker() -> None:
    early, plain = find_mix("bag-high-early"), find_mix("bag")
    assert early.curve.s == 0.25
    assert early.heat.tau_h < plain.heat.tau_h
    assert float(early.curve.fraction(2.0)) > float(plain.curve.fraction(2.0))


def test_ready_mix_counts_as_specified() -> None:
    mix = find_mix("ready-mix", strength_mpa=30.0)
    assert mix.curve.f28_mpa == 30.0
    assert mix.allowances == ()


def test_a_bold_print_is_held_to_the_standard() -> None:
    mix = find_mix("bag", strength_mpa=34.5)
    assert mix.curve.f28_mpa == pytest.approx(1.15 * 24.13)
    assert [allowance.name for allowance in mix.allowances] == ["print"]
    assert mix.printed_mpa == 34.5


def test_too_much_water_costs_strength_and_gives_more_heat_in_the_end() -> None:
    wet, plain = find_mix("bag", water_l=5.0), find_mix("bag")
    assert [allowance.name for allowance in wet.allowances] == ["water"]
    assert wet.curve.f28_mpa < plain.curve.f28_mpa
    assert wet.heat.alpha_u > plain.heat.alpha_u


def test_water_counts_by_the_bags_own_mass() -> None:
    assert find_mix("bag", bag_kg=25.0, water_l=3.0).allowances == ()
    with pytest.raises(OutOfRange, match="more than any bag bears"):
        find_mix("bag", bag_kg=25.0, water_l=5.0)


def test_water_is_no_matter_for_ready_mix() -> None:
    assert find_mix("ready-mix", water_l=50.0).w_c == 0.5


def test_own_numbers_win() -> None:
    mix = find_mix(
        "ready-mix", cement_kg_m3=300.0, w_c=0.6, heat_j_kg=450e3, alpha_u=0.8, tau_h=12.0,
        beta=0.9, activation_j_mol=40_000.0, reference_temperature_c=21.1, shape="aci209", s=0.2,
    )  # fmt: skip
    heat = mix.heat
    assert (heat.cement_kg_m3, heat.heat_j_kg, heat.alpha_u) == (300.0, 450e3, 0.8)
    assert (heat.tau_h, heat.beta, heat.activation_j_mol) == (12.0, 0.9, 40_000.0)
    assert heat.reference_temperature_c == 21.1
    assert (mix.curve.shape, mix.curve.s, mix.w_c) == ("aci209", 0.2, 0.6)


def test_another_reference_temperature_carries_the_presets_tau() -> None:
    at_23, at_20 = find_mix("bag").heat, find_mix("bag", reference_temperature_c=20.0).heat
    assert at_20.tau_h > at_23.tau_h
    age = 10.0
    same = age * float(heat_rate_age(12.0, at_20) / heat_rate_age(12.0, at_23))
    assert float(heat_w_m3(same, 12.0, at_20)) == pytest.approx(float(heat_w_m3(age, 12.0, at_23)))


@pytest.mark.parametrize(
    "own",
    [
        {"preset": "porridge"},
        {"alpha_u": 1.01},
        {"tau_h": 0.0},
        {"w_c": 0.0},
        {"shape": "straight"},
        {"strength_mpa": 0.0},
        {"water_l": 12 * 0.4732 * 1.01, "bag_kg": BAG_80_LB_KG},
        {"water_l": 0.0},
    ],
    ids=str,
)
def test_refuses(own: dict[str, object]) -> None:
    with pytest.raises(OutOfRange):
        find_mix(**own)  # type: ignore[arg-type]
