"""Measures come in order of effort, and say how far they must hang over."""

from __future__ import annotations

from curecast.core.heat.covers import CoverSpell
from curecast.core.protection import measures


def offered(**other: object) -> list[str]:
    given: dict[str, object] = {
        "cover_from_h": 6.0,
        "sheet": True,
        "blankets": 2,
        "blanket_r_m2k_w": 0.35,
        "heater": False,
        "lap_text": "300 mm",
    }
    planned = other.pop("planned", ())
    found = measures(planned, **{**given, **other})  # type: ignore[arg-type]
    return [m.name for m in found if m.at_hand]


def test_least_effort_first() -> None:
    assert offered() == [
        "none",
        "a sheet",
        "one blanket for 3 days",
        "one blanket for 7 days",
        "two blankets for 3 days",
        "two blankets for 7 days",
    ]


def test_only_what_is_at_hand_is_offered() -> None:
    assert offered(sheet=False, blankets=0) == ["none"]
    assert offered(sheet=False, blankets=1, heater=True) == [
        "none",
        "one blanket for 3 days",
        "one blanket for 7 days",
        "a heated enclosure for 3 days",
        "a heated enclosure for 7 days",
    ]


def test_what_is_not_at_hand_comes_last_and_is_said_so() -> None:
    found = measures(
        (), cover_from_h=6.0, sheet=False, blankets=0, blanket_r_m2k_w=0.35, heater=False,
        lap_text="300 mm",
    )  # fmt: skip
    hands = [m.at_hand for m in found]
    assert hands == sorted(hands, reverse=True)
    assert not hands[-1]


def test_the_jobs_own_plan_belongs_to_every_measure() -> None:
    plan = (CoverSpell(0.2, 4.0, 48.0),)
    found = measures(
        plan, cover_from_h=6.0, sheet=True, blankets=1, blanket_r_m2k_w=0.35, heater=True,
        lap_text="12 in",
    )  # fmt: skip
    assert found[0].name == "as planned"
    assert all(m.spells[0] == plan[0] for m in found)


def test_every_blanket_says_how_far_it_laps() -> None:
    found = measures(
        (), cover_from_h=6.0, sheet=True, blankets=2, blanket_r_m2k_w=0.35, heater=False,
        lap_text="12 in",
    )  # fmt: skip
    for measure in found:
        for step in measure.steps:
            if "blanket" in step or "sheet" in step:
                assert "lapped 12 in over the edges and down" in step
