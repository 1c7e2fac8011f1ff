"""What lies over a poured slab: the plan, until the log says otherwise, cover and heat apart."""

from __future__ import annotations

from curecast.core.heat.covers import CoverSpell, cover_state
from curecast.job.reader import parse_job
from curecast.prospect.case import case_of
from curecast.prospect.covering import spells_of
from curecast.prospect.record import Done, Record
from tests.fixtures.command_line import job_text

PLAN = '[[cover]]\nr = "0.5 m2K/W"\nfrom = "6 h"\nto = "72 h"\n'
CASE = case_of(parse_job(job_text() + PLAN, "job"))


def over(t_h: float, *done: Done) -> tuple[float, float | None]:
    state = cover_state(spells_of(CASE, Record(0.0, done=done), 0.0, 0.5), t_h)
    return round(state.r_m2k_w, 3), state.heat_to_c


def test_the_plan_holds_until_a_cover_is_logged() -> None:
    assert [over(t)[0] for t in (5.0, 7.0, 71.0, 73.0)] == [0.0, 0.5, 0.5, 0.0]
    off = Done(24.0, "cover", {"layers": 0.0})
    assert [over(t, off)[0] for t in (7.0, 25.0)] == [0.5, 0.0]


def test_a_heater_takes_no_blanket_away() -> None:
    lit, out = Done(10.0, "heater", {"heat_to_c": 12.0}), Done(20.0, "heater", {"off": 1.0})
    assert over(15.0, lit, out) == (0.5, 12.0)
    assert over(25.0, lit, out) == (0.5, None)


def test_a_wet_blanket_counts_a_third() -> None:
    wet = Done(8.0, "cover", {"layers": 1.0, "wet": 1.0})
    assert over(9.0, wet)[0] == round(0.5 / 3.0, 3)
    assert isinstance(spells_of(CASE, Record(0.0), 0.0, 0.5)[0], CoverSpell)
