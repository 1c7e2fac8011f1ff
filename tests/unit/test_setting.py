"""Set and finishing over a history of temperatures."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.setting import (
    INITIAL_SET,
    final_set_h_at,
    finishing_progress,
    finishing_start_h_at,
    reached_h,
    saw_cut_window_h,
    set_progress,
)
from curecast.errors import OutOfRange


def test_time_of_set_at_one_temperature() -> None:
    temp = np.full(40, 10.0)
    progress = set_progress(temp, 0.5)
    final = float(final_set_h_at(10.0))
    assert float(reached_h(progress, 0.5)) == pytest.approx(final)
    assert float(reached_h(progress, 0.5, INITIAL_SET)) == pytest.approx(0.75 * final)


def test_a_night_of_frost_stops_it() -> None:
    temp = np.array([10.0, -2.0, -2.0, 10.0])
    assert set_progress(temp, 4.0).tolist() == pytest.approx([0.375, 0.375, 0.375, 0.75])
    assert np.isinf(reached_h(set_progress(temp, 4.0), 4.0))
    assert np.isinf(final_set_h_at(-1.01))
    assert np.isinf(finishing_start_h_at(-1.01))


def test_members_reach_it_each_at_its_own_time() -> None:
    temp = np.column_stack([np.full(30, 20.0), np.full(30, 10.0), np.full(30, -3.0)])
    hours = reached_h(set_progress(temp, 1.0), 1.0)
    assert hours.shape == (3,)
    assert hours[0] < hours[1] < hours[2] == np.inf
    assert hours[1] == pytest.approx(10 + 2 / 3)


def test_steps_of_unlike_length() -> None:
    progress = set_progress([10.0, 10.0, 10.0], [5.0, 1.0, 20.0])
    assert float(reached_h(progress, [5.0, 1.0, 20.0])) == pytest.approx(10 + 2 / 3)


def test_a_slow_mix_scales_it() -> None:
    slow = set_progress(np.full(40, 10.0), 1.0, set_factor=1.5)
    assert float(reached_h(slow, 1.0)) == pytest.approx(16.0)
    assert float(final_set_h_at(10.0, 1.5)) == pytest.approx(16.0)
    with pytest.raises(OutOfRange):
        set_progress([10.0], 1.0, set_factor=0.0)


def test_floating() -> None:
    progress = finishing_progress(np.full(10, 10.0), 1.0)
    assert float(reached_h(progress, 1.0)) == pytest.approx(4.25)
    assert finishing_progress([-2.0], 5.0).tolist() == [0.0]
    # Below 50 °F the last slope goes on: as much slower again as from 70 to 50 °F.
    assert float(finishing_start_h_at((30 - 32) / 1.8 + 0.2)) < 4.25**2 / 2.75


def test_saw_cut_window_closes_after_24_h_but_never_before_it_opens() -> None:
    opens, closes = saw_cut_window_h([2.0, 10.0, 16.0, 22.0, 30.0])
    assert opens.tolist() == [2.0, 10.0, 16.0, 22.0, 30.0]
    assert closes.tolist() == [4.0, 20.0, 24.0, 26.0, 34.0]


def test_nan_is_never_set() -> None:
    assert np.isinf(reached_h(set_progress([np.nan] * 30, 1.0), 1.0))
