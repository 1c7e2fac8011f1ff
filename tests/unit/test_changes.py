"""What would change an answer: the night that decides, moved until the freeze rule turns."""

from __future__ import annotations

from dataclasses import replace

import pytest

from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT
from curecast.prospect.changes import STEPS_K, Change, change_of, change_words, only_frost
from curecast.prospect.moved import Moved, moved_lines
from curecast.prospect.week import WeekAnswer
from tests.fixtures.answers import job, week


def bent(verdict: str, likely_c: float, tenth_c: float, chance: float) -> WeekAnswer:
    """The Wednesday of a mild week with another coldest hour, as far as the margin goes."""
    answer = week(6.0)
    start = answer.starts[0]
    finding = replace(start.frost.finding, verdict=verdict, chance=chance, value=tenth_c, limit=0.5)
    frost = replace(start.frost, finding=finding, likely_coldest_c=likely_c, coldest_c=tenth_c)
    findings = [finding if f.rule == "freeze" else f for f in start.findings]
    return replace(answer, starts=[replace(start, frost=frost, findings=findings)])


def turn(answer: WeekAnswer) -> Change:
    assert answer.shared is not None
    return change_of(answer.shared, answer.starts[0])


def test_more_margin_bears_a_colder_night() -> None:
    near, far = turn(bent(KEPT, 2.2, 1.2, 0.04)), turn(bent(KEPT, 3.2, 2.4, 0.0))
    assert near.kept
    assert near.by_k in STEPS_K
    assert (far.by_k or 99.0) > near.by_k


def test_a_worse_start_needs_a_warmer_night() -> None:
    little, much = turn(bent(AT_RISK, 1.2, 0.4, 0.11)), turn(bent(BROKEN, -1.5, -2.5, 0.9))
    assert not little.kept
    assert little.by_k in STEPS_K
    assert (much.by_k or 99.0) > little.by_k


def test_it_is_said_in_one_sentence() -> None:
    start = bent(KEPT, 3.0, 2.0, 0.0).starts[0]
    night = start.origin_h + 17.0  # early on the Thursday
    start = replace(
        start, measure=replace(start.measure, name="one blanket for 3 days", level=2, sheet=False)
    )
    said = change_words(job(), start, Change(night, 3.0, True))
    assert said == (
        "Wed 10 Mar with 1 blanket, 3 days no longer holds if the night to Thu 11 Mar turns "
        "about 3 K colder."
    )
    said = change_words(job(), start, Change(night, 2.0, False))
    assert said == "About 2 K warmer over the night to Thu 11 Mar, and Wed 10 Mar works."
    assert "holds even if" in change_words(job(), start, Change(night, None, True))
    assert "would not work even with" in change_words(job(), start, Change(night, None, False))


def test_only_frost_is_what_a_warmer_night_can_mend() -> None:
    frozen = bent(AT_RISK, 1.2, 0.4, 0.11).starts[0]
    others = [f if f.rule == "freeze" or f.advice else replace(f, verdict=KEPT)
              for f in frozen.findings]  # fmt: skip
    alone = replace(frozen, findings=others)
    assert only_frost(alone)
    late = [replace(f, verdict=BROKEN) if f.rule == "daylight and crew hours" else f
            for f in others]  # fmt: skip
    assert not only_frost(replace(alone, findings=late))


@pytest.mark.parametrize("same", [True, False])
def test_moved_lines_name_what_moved(same: bool) -> None:
    answer = replace(week(9.0), changes={})
    now = answer.starts[0]
    was = now if same else replace(bent(BROKEN, -2.0, -3.0, 0.9).starts[0], verdict="do-not-pour")
    lines = moved_lines(answer, Moved(answer.now_h - 12.0, ((was, now),), was if same else None))
    assert lines[0].startswith("Since the forecast of Mon 8 Mar 18:00 EST: Wed 10 Mar ")
    if same:
        assert "still" in lines[0]
    else:
        assert "Wed 10 Mar was “do not: frost”, is “" in lines[0]
        assert lines[1] == "By that one no day worked."
