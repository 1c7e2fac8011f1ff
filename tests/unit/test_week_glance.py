"""What a week says at a glance: frost told from slowness, covers and their price, dates, days."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.openings import Opening
from curecast.core.protection import Measure
from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.cover_cost import cover_cost, money, pieces_of
from curecast.prospect.cover_stay import LARGEST_FALL_K, OFF_FROM_H, OFF_TO_H, Stay
from curecast.prospect.plan_on import plan_on_lines
from curecast.prospect.start_words import MEANINGS, cover_words, start_words
from curecast.prospect.week_glance import headline, other_days, waiting_lines
from tests.fixtures.answers import START_H, job, week


def start(**verdicts: str) -> Judged:
    """The Wednesday of a cool week with some rules' verdicts set, all others kept."""
    made = week(4.0).starts[0]
    names = {name.replace("_", " "): verdict for name, verdict in verdicts.items()}
    findings = [replace(f, verdict=names.get(f.rule, KEPT)) for f in made.findings]
    broken = any(f.verdict == BROKEN and not f.advice for f in findings)
    verdict = "do-not-pour" if broken else "at-risk" if names else "pour"
    return replace(made, findings=findings, verdict=verdict)


def covered(made: Judged, layers: int, hours: float, *, heated: bool = False) -> Judged:
    first = next(m for m in week(4.0).shared.measures if m.layers == 1)  # type: ignore[union-attr]
    spell = replace(first.spells[0], from_h=6.0, to_h=hours)
    measure = Measure("two blankets for 3 days", 4, (spell,), ("...",), layers=layers,
                      heated=heated)  # fmt: skip
    return replace(made, measure=measure)


def priced(**prices: float) -> Job:
    own = job()
    given = {"prices": prices, "currency": "EUR", "blanket_size_m": (3.0, 3.0)}
    return replace(own, protection=replace(own.protection, **given))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("verdicts", "said"),
    [
        ({}, "pour"),
        ({"temperature": AT_RISK}, "slow, not unsafe"),
        ({"temperature": AT_RISK, "uncovering": AT_RISK}, "slow, not unsafe"),
        ({"uncovering": AT_RISK}, "uncover in steps"),
        ({"evaporation": AT_RISK}, "dries fast"),
        ({"freeze": AT_RISK, "temperature": AT_RISK}, "frost risk"),
        ({"ground": AT_RISK}, "at risk: ground"),
        ({"freeze": BROKEN, "temperature": AT_RISK}, "do not: frost"),
        ({"daylight_and_crew_hours": BROKEN, "freeze": AT_RISK}, "do not: runs late"),
    ],
)
def test_words_tell_frost_from_slowness(verdicts: dict[str, str], said: str) -> None:
    assert start_words(start(**verdicts)) == said


def test_words_of_advice_never_speak_of_a_broken_rule() -> None:
    """Whatever decides is said first: slowness is never said where frost is the matter."""
    for rule in ("freeze", "ground", "heat"):
        for verdict in (AT_RISK, BROKEN):
            words = start_words(start(**{rule: verdict, "temperature": AT_RISK}))
            assert "slow" not in words


def test_every_word_has_its_meaning() -> None:
    assert set(MEANINGS) >= {"frost risk", "slow, not unsafe", "dries fast", "uncover in steps"}


def test_two_blankets_for_three_days() -> None:
    own = priced(blanket_day=6)
    made = covered(start(), 2, 72.0)
    assert pieces_of(own, 2) == 2
    cost = cover_cost(own, made, None)
    assert cost is not None
    assert cost.total == 36.0
    assert cost.what == "2 blankets for 3 days"
    assert money(own, cost.total) == "36 EUR"
    later = Stay(made.origin_h + 6.0, made.origin_h + 100.0)
    assert cover_cost(own, made, later).total == 48.0  # type: ignore[union-attr]


def test_heat_is_hire_and_fuel() -> None:
    own = priced(heater_day=40, fuel=2)
    made = covered(start(), 0, 78.0, heated=True)
    assert cover_cost(own, made, None) is None  # nobody knows what the heater burns
    own = replace(own, protection=replace(own.protection, heater_l_h=1.5))
    cost = cover_cost(own, made, None)
    assert cost is not None
    assert cost.total == 3 * 40 + 72 * 1.5 * 2


def test_no_price_is_no_cost_and_no_cover_costs_nothing() -> None:
    assert cover_cost(job(), start(), None) is None
    made = replace(start(), measure=Measure("none", 0, (), ()))
    assert cover_cost(priced(blanket_day=6), made, None).total == 0.0  # type: ignore[union-attr]
    assert cover_cost(priced(fuel=6), covered(start(), 2, 72.0), None) is None


def test_a_cover_comes_off_in_the_forenoon_and_after_its_time() -> None:
    answer = week(4.0)
    assert answer.stays
    for i, stay in answer.stays.items():
        made = answer.starts[i]
        assert stay.on_h > made.candidate.start_h
        if stay.off_h is None:
            continue
        planned = made.origin_h + max(c.to_h for c in made.measure.spells)
        assert stay.off_h >= max(planned, made.origin_h + made.frost.safe_h) - 1.0
        local = (stay.off_h - START_H + 6.0) % 24.0  # the fixture's morning, in local hours
        assert OFF_FROM_H <= local <= OFF_TO_H + 1.0  # the clocks change within the week
        assert stay.fall_k is not None
        assert stay.fall_k <= LARGEST_FALL_K


def test_one_date_a_hold_in_one_line() -> None:
    made = week(9.0).starts[0]
    lines = plan_on_lines(job(), made)
    assert lines[0].startswith("Plan on: walk ")
    for hold in ("walk", "strip", "drill", "snug", "full torque", "service load"):
        assert lines[0].count(hold) == 1
    assert "Sooner: kept at 20 °C by heat, full torque" in lines[1]
    assert "a test that shows 23.1 MPa" in lines[1]


def test_beyond_the_horizon_the_way_out_is_said() -> None:
    made = week(9.0).starts[0]
    never = Opening(np.full(101, np.inf))
    shut = replace(made, openings={**made.openings, "full-torque": never, "service-load": never})
    lines = plan_on_lines(job(), shut)
    assert "full torque" not in lines[0]
    assert lines[1].startswith(
        "Full torque and service load: not within 180 days on these temperatures. "
        "The shortest way out is a strength test that shows 23.1 MPa"
    )


def test_protection_is_planned_no_shorter_than_its_cover_lies() -> None:
    made = week(9.0).starts[0]
    stay = Stay(made.origin_h, made.origin_h + 24.0 * 30)
    assert "end protection Fri 9 Apr" in plan_on_lines(job(), made, stay)[0]


def test_headline_and_other_days() -> None:
    answer = week(9.0)
    assert headline(answer).startswith("Pour Wed 10 Mar 08:00 EST: ")
    assert len(other_days(answer)) == 1
    none = replace(answer, best=None)
    assert headline(none) == "Do not pour this week: no start works."
    assert waiting_lines(none) == []


def test_waiting_is_put_against_the_sooner_day() -> None:
    own = priced(blanket_day=6, sheet_day=0)
    wed, fri = week(9.0).starts
    dear = covered(wed, 2, 72.0)
    free = replace(fri, measure=Measure("none", 0, (), ()))
    answer = replace(week(9.0), job=own, starts=[dear, free], ranked=[1, 0], best=1, stays={})
    (line,) = waiting_lines(answer)
    assert line.startswith("Wed 10 Mar: 2 blankets for 3 days (36 EUR)")
    assert "Or wait until Fri 12 Mar: no cover (0 EUR)" in line
    assert cover_words(own, dear) == "2 blankets, 3 days"
