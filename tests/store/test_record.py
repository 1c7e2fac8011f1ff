"""Events, strength tests, sign-offs and the moves of holds."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

import pytest
from sqlalchemy.exc import StatementError

from curecast.errors import InputError, Refused
from curecast.store.connection import Store
from curecast.store.holds import add_hold_change, hold_changes, hold_states
from curecast.store.record import (
    add_event,
    add_sign_off,
    add_strength_test,
    event_rows,
    events,
    sign_offs,
    strength_test_rows,
    strength_tests,
)
from curecast.store.rows import Placement


def test_events_stand_until_corrected_or_taken_back(
    store: Store, placement: Placement, now: datetime
) -> None:
    laid = add_event(store, placement, "cover", now, {"r_m2k_w": 0.5, "laps": True})
    better = add_event(store, placement, "cover", now, {"r_m2k_w": 0.35}, supersedes=laid.id)
    wet = add_event(store, placement, "wetting", now - timedelta(hours=1), {})
    assert events(store, placement) == (wet, better)
    add_event(store, placement, "taken-back", now, {}, supersedes=better.id)
    assert events(store, placement) == (wet,)
    assert len(event_rows(store, placement)) == 4
    with pytest.raises(Refused, match="no standing entry"):
        add_event(store, placement, "cover", now, {}, supersedes=laid.id)


def test_an_unknown_number_cannot_hide_in_an_event(
    store: Store, placement: Placement, now: datetime
) -> None:
    with pytest.raises(StatementError, match="not JSON compliant"):
        add_event(store, placement, "cover", now, {"r_m2k_w": math.nan})
    assert event_rows(store, placement) == ()


def test_strength_tests(store: Store, placement: Placement, now: datetime) -> None:
    low = add_strength_test(store, placement, "cylinder", 0.0, now, "Ada", "fell apart")
    assert strength_tests(store, placement) == (low,)
    add_strength_test(store, placement, "cylinder", None, now, "Ada", supersedes=low.id)
    assert strength_tests(store, placement) == ()
    assert len(strength_test_rows(store, placement)) == 2


@pytest.mark.parametrize("strength_mpa", [None, math.nan, math.inf, -1.0])
def test_a_test_without_a_strength_is_refused(
    store: Store, placement: Placement, now: datetime, strength_mpa: float | None
) -> None:
    with pytest.raises(InputError, match="strength"):
        add_strength_test(store, placement, "core", strength_mpa, now, "Ada")
    assert strength_test_rows(store, placement) == ()


def test_sign_offs_are_all_kept(store: Store, placement: Placement, now: datetime) -> None:
    given = add_sign_off(store, placement, "walk", "signed-off", "Ada", "hard as a floor", now)
    taken = add_sign_off(store, placement, "walk", "withdrawn", "Ben", "it was not", now)
    assert sign_offs(store, placement) == (given, taken)
    with pytest.raises(Refused, match="a name and a reason"):
        add_sign_off(store, placement, "walk", "signed-off", " ", "why", now)


def test_a_hold_moves_from_where_it_stands(
    store: Store, placement: Placement, now: datetime
) -> None:
    def move(from_state: str, to_state: str) -> bool:
        inputs = {"readings": ["one"], "margin_mpa": 0.0}
        change = add_hold_change(
            store, placement, "walk", from_state, to_state, now, inputs, "0.1.0", "because"
        )
        return change is not None

    assert move("not-poured", "projected")
    assert not move("not-poured", "projected"), "another program was faster"
    assert not move("unproven", "released")
    assert move("projected", "released")
    assert move("released", "withdrawn")
    assert hold_states(store, placement) == {"walk": "withdrawn"}
    moves = [(change.from_state, change.to_state) for change in hold_changes(store, placement)]
    assert moves == [
        ("not-poured", "projected"),
        ("projected", "released"),
        ("released", "withdrawn"),
    ]
    assert hold_changes(store, placement, "strip") == ()
    assert hold_changes(store, placement, "walk")[0].inputs["margin_mpa"] == 0.0
    with pytest.raises(ValueError, match="to itself"):
        move("withdrawn", "withdrawn")
