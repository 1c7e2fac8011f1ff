"""The machine of a hold's states under any sequence of events."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from curecast.core.states import PERMISSION, STATES, Standing, next_state

#: What can happen to a hold, and what it does to its standing.
EVENTS: dict[str, dict[str, bool]] = {
    "evidence comes": {"met": True},
    "evidence is corrected away": {"met": False},
    "its date passes": {"due": True},
    "its date moves off": {"due": False},
    "a frozen reading": {"barred": True},
    "that reading is corrected": {"barred": False},
    "a test": {"tested": True, "met": True, "barred": False},
    "the test is taken back": {"tested": False},
    "a person signs": {"signed_off": True, "taken_back": False},
    "a person takes it back": {"signed_off": False, "taken_back": True},
    "newer evidence than that": {"taken_back": False},
    "a test fails": {"barred": True, "tested": False, "met": False},
    "the signature is struck out": {"signed_off": False},
    "its window closes": {"closed": True},
}
happenings = st.lists(st.sampled_from(sorted(EVENTS)), max_size=40)
standings = st.builds(Standing, *([st.booleans()] * 7))


def steps(events: list[str]) -> list[tuple[str, Standing, str]]:
    """(state before, standing, state after) for each event from an unpoured hold on."""
    state, standing, found = "not-poured", Standing(met=False, due=False), []
    for event in events:
        standing = replace(standing, **EVENTS[event])
        after = next_state(state, standing)
        found.append((state, standing, after))
        state = after
    return found


@given(happenings)
def test_nothing_is_released_without_met_evidence(events: list[str]) -> None:
    for before, now, after in steps(events):
        if after == "released":
            assert now.met
            assert not any((now.barred, now.taken_back, now.closed))
            assert before != "barred" or now.tested


@given(happenings)
def test_nothing_is_signed_off_without_a_standing_signature(events: list[str]) -> None:
    for _, now, after in steps(events):
        if after == "signed-off":
            assert now.signed_off
            assert not any((now.barred, now.taken_back, now.closed))


@given(happenings)
def test_a_permission_that_ends_is_withdrawn_barred_or_over(events: list[str]) -> None:
    for before, _, after in steps(events):
        if before in PERMISSION and after not in PERMISSION:
            assert after in ("withdrawn", "barred", "over")


@given(happenings)
def test_a_withdrawal_stays_until_new_evidence_or_a_new_signature(events: list[str]) -> None:
    for before, now, after in steps(events):
        if before == "withdrawn" and after != "withdrawn":
            assert now.met or now.signed_off or now.barred or now.closed


@given(happenings)
def test_what_a_person_withdrew_stays_so_until_newer_evidence(events: list[str]) -> None:
    for _, now, after in steps(events):
        if now.taken_back:
            assert after in ("withdrawn", "barred", "over")


@given(happenings)
def test_the_same_standing_again_changes_nothing_more(events: list[str]) -> None:
    for before, now, after in steps(events):
        # A bar that was undone takes another look before anything opens.
        if before != "barred":
            assert next_state(after, now) == after


@given(st.sampled_from(STATES), standings)
def test_a_bar_holds_whatever_else_is_true(before: str, now: Standing) -> None:
    after = next_state(before, now)
    assert after in STATES
    assert (after == "barred") == now.barred
    if before == "barred" and not now.tested:
        assert after not in PERMISSION
