"""What was chosen, what was poured, and which text governs."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from curecast.errors import Refused
from curecast.store.connection import Store
from curecast.store.jobs import close_job, latest_version, save_job, version_uses
from curecast.store.placements import (
    amend_job,
    choose_start,
    end_placement,
    find_placement,
    placement_facts,
    record_pour,
)
from curecast.store.rows import JobVersion, Placement

HOUR = timedelta(hours=1)


def test_a_later_choice_stands(store: Store, version: JobVersion, now: datetime) -> None:
    assert find_placement(store, version.job) is None
    choose_start(store, version.job, now + HOUR, version, now)
    chosen = choose_start(store, version.job, now + 2 * HOUR, version, now)
    assert find_placement(store, version.job) == chosen
    assert (chosen.state, chosen.start_at) == ("chosen", now + 2 * HOUR)
    assert len(placement_facts(store, version.job)) == 2


def test_the_pour_follows_the_choice(store: Store, version: JobVersion, now: datetime) -> None:
    chosen = choose_start(store, version.job, now + HOUR, version, now)
    poured = record_pour(
        store,
        version.job,
        now + 2 * HOUR,
        version,
        now,
        end=now + 5 * HOUR,
        bags=31,
        water_l_per_bag=0.0,
        temperature_c=0.0,
    )
    assert poured.id == chosen.id
    assert (poured.state, poured.chosen_start_at) == ("poured", now + HOUR)
    assert (poured.start_at, poured.end_at) == (now + 2 * HOUR, now + 5 * HOUR)
    assert (poured.bags, poured.water_l_per_bag, poured.temperature_c) == (31, 0.0, 0.0)


def test_what_is_poured_is_not_chosen_again(
    store: Store, placement: Placement, now: datetime
) -> None:
    with pytest.raises(Refused, match="poured already"):
        choose_start(store, placement.job, now, placement.version, now)


def test_a_corrected_pour_keeps_its_governing_text(
    store: Store, placement: Placement, now: datetime
) -> None:
    other = save_job(store, "crane-base", "other", "b" * 64, now)
    corrected = record_pour(store, placement.job, now + HOUR, other, now, bags=30)
    assert corrected.id == placement.id
    assert corrected.version == placement.version
    assert (corrected.start_at, corrected.bags, corrected.water_l_per_bag) == (now + HOUR, 30, None)
    assert [fact.bags for fact in placement_facts(store, placement.job)] == [31, 30]


def test_only_an_amendment_changes_what_governs(
    store: Store, placement: Placement, now: datetime
) -> None:
    amend_job(store, placement.job, "amended", "c" * 64, "Ada", "the bags were others", now)
    amended = find_placement(store, placement.job)
    assert amended is not None
    assert amended.version.text == "amended"
    assert (amended.state, amended.bags) == ("poured", 31)
    assert latest_version(store, placement.job) == amended.version
    fact = placement_facts(store, placement.job)[-1]
    assert (fact.kind, fact.by, fact.reason) == ("amended", "Ada", "the bags were others")
    assert fact.version_hash == "c" * 64


def test_an_amendment_back_to_the_same_text_is_on_record(
    store: Store, placement: Placement, now: datetime
) -> None:
    amend_job(store, placement.job, "curecast = 1", "a" * 64, "Ada", "no change after all", now)
    assert [use.reason for use in version_uses(store, placement.job)] == ["", "no change after all"]


@pytest.mark.parametrize(("by", "reason"), [("", "why"), ("Ada", "  ")])
def test_an_amendment_needs_a_name_and_a_reason(
    store: Store, placement: Placement, now: datetime, by: str, reason: str
) -> None:
    with pytest.raises(Refused, match="a name and a reason"):
        amend_job(store, placement.job, "x", "c" * 64, by, reason, now)


def test_nothing_is_added_to_a_closed_job(
    store: Store, placement: Placement, now: datetime
) -> None:
    close_job(store, placement.job, now)
    with pytest.raises(Refused, match="is closed"):
        record_pour(store, placement.job, now, placement.version, now)
    with pytest.raises(Refused, match="is closed"):
        amend_job(store, placement.job, "x", "c" * 64, "Ada", "why", now)
    assert latest_version(store, placement.job).id == placement.version.id
    kept = find_placement(store, placement.job)
    assert kept is not None
    assert kept.state == "poured"


def test_after_an_end_a_new_placement_begins(
    store: Store, placement: Placement, now: datetime
) -> None:
    end_placement(store, placement.job, "Ada", "broken out", now)
    assert find_placement(store, placement.job) is None
    with pytest.raises(Refused, match="no placement"):
        end_placement(store, placement.job, "Ada", "again", now)
    second = choose_start(store, placement.job, now + HOUR, placement.version, now)
    assert second.id > placement.id
    assert [fact.kind for fact in placement_facts(store, placement.job)] == [
        "poured",
        "ended",
        "chosen",
    ]
