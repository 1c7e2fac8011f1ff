"""What the phone's page says of a slab: permissions apart from each other, and the night."""

from __future__ import annotations

from dataclasses import replace

import pytest

from curecast.clock import from_unix_h
from curecast.page.glance import glance_of
from curecast.page.night import night_of
from curecast.prospect.record import Signed
from curecast.prospect.standing import SlabAnswer
from tests.fixtures.answers import old, weather, young


def with_states(answer: SlabAnswer, **states: str) -> SlabAnswer:
    """The answer with some holds in other states."""
    named = {name.replace("_", "-"): state for name, state in states.items()}
    holds = {n: replace(h, state=named.get(n, h.state)) for n, h in answer.holds.items()}
    return replace(answer, holds=holds)


def test_only_what_is_released_or_signed_off_reads_as_permission() -> None:
    answer = with_states(
        young(), walk="released", drill="signed-off", snug="unproven", strip="withdrawn",
        light_load="barred", full_torque="projected",
    )  # fmt: skip
    signed = Signed(answer.now_h, "drill", "Ida", "a core was crushed")
    answer = replace(answer, record=replace(answer.record, signed=(signed,)))
    glance = glance_of(answer, from_unix_h(answer.now_h), None, ["a note"])
    assert "walk on it" in [s.name for s in glance.released]
    assert [(s.name, s.when) for s in glance.signed] == [("drill", "by Ida: a core was crushed")]
    assert {s.name for s in glance.stopped} == {"strip the form", "light load"}
    waiting = {s.name: s.when for s in glance.waiting}
    assert waiting["snug the nuts"] == "evidence is missing"
    assert "full torque" in waiting
    assert not {s.name for s in glance.released} & set(waiting)
    assert "a note" in glance.notes
    assert glance.reading.startswith("One reading")


def test_a_bar_is_said_first() -> None:
    answer = replace(young(), frozen_early="yes")
    glance = glance_of(answer, from_unix_h(answer.now_h), None, ())
    assert "only a strength test lifts the bar" in glance.alarm


def test_the_night_of_young_concrete_has_air_concrete_and_chance() -> None:
    night = night_of(replace(young(), now_h=young().origin_h + 12.0), None)
    assert [line.split(" ")[0] for line in night.lines] == ["Air", "Concrete,", "Chance"]
    assert night.until.endswith(("09:00 EST", "09:00 EDT"))


def test_old_concrete_can_bear_frost_and_a_short_forecast_is_said() -> None:
    short = weather(7.0, 1, issued_h=old().now_h - 23.0)
    night = night_of(old(), short)
    assert "By the model the concrete is strong enough to bear frost." in night.lines
    assert any("climate stands in" in line for line in night.lines)
    assert night.alarm == ""


@pytest.mark.parametrize("hour", range(0, 24, 3))
def test_a_night_ends_at_nine_whatever_the_hour(hour: int) -> None:
    answer = young()
    # 11 March to the 14th, and the clocks change on that day.
    night = night_of(replace(answer, now_h=answer.now_h + 48.0 + hour), None)
    assert " 09:00 " in f"{night.until} "
