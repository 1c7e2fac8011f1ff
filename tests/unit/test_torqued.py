"""All anchors at full torque, and only then; in what order they are taken."""

from __future__ import annotations

from dataclasses import replace

import pytest

from curecast.job.reader import parse_job
from curecast.prospect.record import Done, Record
from curecast.prospect.torqued import anchor_states, crosswise, torque_order, torqued_h
from tests.fixtures.command_line import job_text

GEAR = {"anchors": 4, "torque": '"100 N m"'}
JOB = parse_job(job_text(equipment=GEAR), "a test's job")


def put(*seen: tuple[float, int, float]) -> Record:
    done = (Done(at, "torque", {"anchor": float(n), "value_nm": v}) for at, n, v in seen)
    return Record(0.0, done=tuple(done))


def test_one_anchor_or_a_snug_one_is_not_the_base() -> None:
    three = [(10.0, 1, 100.0), (10.1, 3, 100.0), (10.2, 2, 100.0)]
    assert torqued_h(JOB, put()) is None
    assert torqued_h(JOB, put(*three)) is None
    assert torqued_h(JOB, put(*three, (10.3, 4, 20.0))) is None
    assert torqued_h(JOB, put(*three, (10.3, 4, 20.0), (40.0, 4, 100.0))) == 40.0


def test_a_torque_of_the_whole_base_counts_for_all() -> None:
    assert torqued_h(JOB, Record(0.0, done=(Done(5.0, "torque"),))) == 5.0


def test_a_re_check_is_a_reading_a_day_later() -> None:
    states = anchor_states(JOB, put((10.0, 1, 100.0), (20.0, 1, 100.0), (34.5, 1, 100.0)))
    assert (states[0].full_h, states[0].rechecked_h) == (10.0, 34.5)
    assert states[1].value_nm is None


def test_the_order_is_crosswise_round_the_job_s_own_positions() -> None:
    assert torque_order(JOB) == [1, 3, 2, 4]
    rows = ((0.5, 0.5), (0.9, 0.5), (0.5, 0.9), (0.9, 0.9))
    placed = replace(JOB, equipment=replace(JOB.equipment, positions_m=rows))
    order = torque_order(placed)
    assert {frozenset(order[:2]), frozenset(order[2:])} == {frozenset({1, 4}), frozenset({2, 3})}


@pytest.mark.parametrize("count", range(1, 13))
def test_the_order_takes_every_anchor_once(count: int) -> None:
    assert sorted(crosswise(count)) == list(range(count))
