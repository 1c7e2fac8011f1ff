"""What strength tests prove of one hold: that its need is there, or that it is not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from curecast.core.holdpoints import TEST_MARGIN, HoldRule
from curecast.core.openings import count_on_h
from curecast.prospect.record import Tested
from curecast.prospect.standing import SlabAnswer

#: Tests of the slab's own concrete in its own climate. A hammer's rebound or a cylinder from a
#: warm laboratory moves the curve, but proves no strength in place.
PROVING = ("cylinder", "pull-out")


@dataclass(frozen=True)
class Proof:
    """``shown_mpa`` the best of the tests that stand; ``failed`` the one that bars the hold."""

    shown_mpa: float | None = None
    shown: bool = False
    failed: Tested | None = None


def proving(tests: Sequence[Tested]) -> list[Tested]:
    """The tests that speak of strength in place, oldest first."""
    return sorted((t for t in tests if t.kind in PROVING), key=lambda t: t.at_h)


def proved_mpa(tests: Sequence[Tested]) -> float | None:
    """The highest strength shown in place, by whatever test; None without one. [MPa]"""
    return max((t.strength_mpa for t in proving(tests)), default=None)


def proof_of(rule: HoldRule, tests: Sequence[Tested], due_h: float) -> Proof:
    """What the tests say of a hold.

    Parameters
    ----------
    rule : HoldRule
        What the hold waits for.
    tests : sequence of Tested
        Of this pour.
    due_h : float
        When nine of ten had the strength by the curve before any test, hours since 1970.

    Returns
    -------
    Proof
        A test below the need at a time when the model had it bars the hold until a later test
        reaches the need with the margin; one taken earlier says only "not yet".
    """
    need = rule.strength_mpa
    if need is None:
        return Proof()
    failed: Tested | None = None
    standing: list[float] = []
    for test in proving(tests):
        if test.strength_mpa < need and test.at_h >= due_h:
            failed, standing = test, []
        elif failed is not None and test.strength_mpa < TEST_MARGIN * need:
            continue
        else:
            failed = None
            standing.append(test.strength_mpa)
    best = max(standing, default=None)
    return Proof(best, best is not None and best >= TEST_MARGIN * need, failed)


def proof_for(answer: SlabAnswer, rule: HoldRule) -> Proof:
    """What the tests say of a hold, against the date by the curve before any test."""
    if rule.strength_mpa is None or not answer.record.tested:
        return Proof()
    plain = replace(answer.strengths, curve=answer.case.curve, _ages={})
    strong_h = plain.reached_h(answer.past, rule.strength_mpa, rule.place, both_ages=rule.both_ages)
    return proof_of(rule, answer.record.tested, answer.origin_h + count_on_h(strong_h[1:]))
