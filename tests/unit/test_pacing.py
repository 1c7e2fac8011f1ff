"""Batches through stations against closed forms, and the crew's batches against common practice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.build.crewing import (
    BARROW_M3,
    Mixing,
    batch_bags,
    placing_runs_min,
    stations_of,
    timetable,
)
from curecast.core.build.pace import placing_h
from curecast.core.build.pacing import Station, late_batches, pass_batches, widest_gap_min
from curecast.errors import OutOfRange

LB_80_KG = 80 * 0.45359237
BY_HAND = Mixing(38, LB_80_KG, 2)


def station(minutes: float, count: int, servers: int = 1) -> Station:
    return Station("a", np.full(count, minutes), servers)


@pytest.mark.parametrize("count", [1, 7, 40])
def test_one_server_without_variation(count: int) -> None:
    done = pass_batches([station(3.5, count)], 1, break_min=0.0)
    assert done.end_min == pytest.approx(3.5 * count)
    assert done.begins_min[0].tolist() == pytest.approx([3.5 * n for n in range(count)])


@pytest.mark.parametrize(("first", "second"), [(3.0, 2.0), (2.0, 3.0), (2.5, 2.5)])
def test_a_two_station_line(first: float, second: float) -> None:
    """a + (n - 1) max(a, b) + b, one person at each."""
    n = 12
    done = pass_batches([station(first, n), station(second, n)], 2, break_min=0.0)
    assert done.end_min == pytest.approx(first + (n - 1) * max(first, second) + second)


def test_one_person_does_everything_in_turn() -> None:
    done = pass_batches([station(3.0, 5), station(2.0, 5)], 1, break_min=0.0)
    assert done.end_min == pytest.approx(25.0)
    assert done.ends_min[1].tolist() == pytest.approx([5.0, 10.0, 15.0, 20.0, 25.0])


def test_breaks_come_after_each_spell() -> None:
    done = pass_batches([station(10.0, 30)], 1, break_min=15.0, break_every_min=120.0)
    assert done.end_min == pytest.approx(300.0 + 2 * 15.0)


def test_a_drum_turns_by_itself() -> None:
    drum = Station("mix", np.full(6, 1.0), 1, np.full(6, 2.0))
    assert pass_batches([drum], 1, break_min=0.0).end_min == pytest.approx(18.0)


def test_two_people_by_hand_one_bag_at_a_time() -> None:
    """38 bags of 80 lb in about two and a half hours (common practice), as `pace` has it."""
    placed_h = timetable(BY_HAND).placed_min[-1] / 60.0
    assert placed_h == pytest.approx(2.5, abs=0.1)
    assert placed_h == pytest.approx(placing_h(38, LB_80_KG, 2), rel=0.04)


def test_a_man_mixes_and_wheels_a_yard_and_a_half_in_eight_hours() -> None:
    """1.5 to 1.75 yd3 in 8 h a man, mixed and wheeled (an old norm); 45 bags of 80 lb a yd3."""
    mixed = stations_of(Mixing(120, LB_80_KG, 1))[:2]
    done = pass_batches(mixed, 1)
    yards = (done.ends_min[1] <= 480.0).sum() / 45.0
    assert 1.5 <= yards <= 1.75


def test_a_drum_with_two_bags_keeps_about_the_pace() -> None:
    drum = Mixing(38, LB_80_KG, 2, 2, drum=True)
    placed_h = timetable(drum).placed_min[-1] / 60.0
    assert placed_h == pytest.approx(placing_h(38, LB_80_KG, 2, drum=True), rel=0.2)


def test_bags_add_up() -> None:
    for bags in (1, 5, 38, 104):
        for size in (1, 2, 3):
            assert sum(batch_bags(bags, size)) == bags
            assert sum(timetable(Mixing(bags, 25.0, 2, size)).bags) == bags


def test_a_crew_of_none_and_a_batch_that_no_barrow_takes() -> None:
    with pytest.raises(OutOfRange, match="crew of none"):
        timetable(replace(BY_HAND, people=0))
    with pytest.raises(OutOfRange, match="more than a barrow"):
        timetable(replace(BY_HAND, per_batch=4))
    assert timetable(replace(BY_HAND, per_batch=3)).bags[0] == 3
    assert pytest.approx(0.0566, abs=0.0001) == BARROW_M3
    with pytest.raises(OutOfRange, match="no bags"):
        timetable(replace(BY_HAND, per_batch=0))


def test_the_same_seed_gives_the_same_days() -> None:
    once, again = (placing_runs_min(BY_HAND, 8, 3) for _ in range(2))
    assert once.tolist() == again.tolist()
    assert once.tolist() != placing_runs_min(BY_HAND, 8, 100).tolist()
    assert np.std(once) > 1.0


def test_gaps() -> None:
    assert widest_gap_min([10.0, 20.0], [250.0, 255.0]) == (235.0, 1)
    assert late_batches([10.0, 20.0, 300.0], [250.0, 255.0, 500.0]) == [1]
    assert late_batches([10.0, 20.0], [15.0, 400.0]) == [0]
