"""What a reading vouches for, and how cold an unvouched hour counts."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.evidence import KINDS, gather, pessimistic, reach_h, vouched_share
from curecast.core.histories import SURFACE
from tests.fixtures.slabs import slab, steady

NONE = np.array([])
T = np.arange(0.0, 481.0)


def vouched(slab_h: list[float], *, now: float = 480.0, safe: float = 48.0) -> np.ndarray:
    return gather(T, now, np.array(slab_h), NONE, NONE, safe).vouched


def hours(flags: np.ndarray) -> tuple[float, float]:
    return float(T[flags][0]), float(T[flags][-1])


@pytest.mark.parametrize(
    ("read", "first", "last"),
    [
        (20.0, 8.0, 32.0),  # before 3.5 MPa at 48 h: 12 h either side
        (40.0, 28.0, 52.0),  # it reaches no further once the strength is there
        (100.0, 64.0, 136.0),  # then 36 h until the seventh day
        (60.0, 36.0, 96.0),  # but only 12 h into the hours before 3.5 MPa: see below
        (300.0, 204.0, 396.0),  # then 96 h
    ],
)
def test_reach(read: float, first: float, last: float) -> None:
    flags = vouched([read])
    if read == 60.0:
        first = 48.0  # an hour before 48 h wants a reading within 12 h
    assert hours(flags) == (first, last)


def test_reach_table() -> None:
    ages = np.array([0.0, 47.9, 48.0, 167.9, 168.0, 1000.0])
    assert reach_h(ages, 48.0).tolist() == [12.0, 12.0, 36.0, 36.0, 96.0, 96.0]
    assert reach_h(ages, np.inf).tolist() == [12.0] * 6
    assert reach_h(ages, np.nan).tolist() == [12.0] * 6


def test_nothing_ahead_is_vouched_for() -> None:
    assert hours(vouched([100.0], now=110.0)) == (64.0, 110.0)
    assert not vouched([200.0], now=110.0).any()
    assert not vouched([]).any()


def test_station_hours_vouch_for_themselves_after_the_frost_strength() -> None:
    seen = np.arange(40.0, 60.0)
    found = gather(T, 480.0, NONE, NONE, seen, 48.0)
    assert hours(found.vouched) == (48.0, 59.0)
    assert found.kind == "station, corrected"
    assert not gather(T, 480.0, NONE, NONE, seen, np.inf).vouched.any()


def test_best_kind_and_when_the_next_is_due() -> None:
    both = gather(T, 200.0, np.array([50.0]), np.array([180.0]), np.array([190.0]), 48.0)
    assert both.kind == "slab reading"
    assert both.last_reading_h == 180.0
    assert both.next_by_h == 276.0
    assert gather(T, 200.0, NONE, np.array([180.0]), NONE, 48.0).kind == "air reading"
    nothing = gather(T, 200.0, NONE, NONE, NONE, 48.0)
    assert (nothing.kind, nothing.last_reading_h, nothing.next_by_h) == (KINDS[4], None, None)
    assert nothing.longest_gap_h == 200.0
    assert both.longest_gap_h == pytest.approx(144.0 - 86.0)  # 50 + 36 to 180 - 36


def test_an_unvouched_hour_is_as_cold_as_its_neighbours_allow() -> None:
    past = slab(lambda t: 10.0 + 6.0 * np.sin(t / 7.0), days=20.0, step_h=1.0)
    found = gather(past.t_h, 300.0, np.array([60.0, 150.0]), NONE, NONE, 20.0)
    low = pessimistic(past, found, 300.0)
    t, temps, real = low.t_h, low.temp_c[:, SURFACE, 0], past.temp_c[:, SURFACE, 0]
    assert t[-1] == 300.0
    kept = found.vouched[: len(t)]
    assert np.array_equal(temps[kept], real[: len(t)][kept])
    gap = (t > 96.0) & (t < 114.0)
    assert np.ptp(temps[gap]) == 0.0
    assert temps[gap][0] == real[: len(t)][(t >= 97.0 - 24.0) & (t <= 113.0 + 24.0)].min()
    assert np.all(low.te20_h <= past.te20_h[: len(t)] + 1e-9)
    # nothing vouched for at all: no maturity
    alone = pessimistic(past, gather(past.t_h, 300.0, NONE, NONE, NONE, 20.0), 300.0)
    assert alone.te20_h[-1].max() == 0.0
    assert alone.ttf_c_h[-1].max() == 0.0


def test_share_of_the_maturity_that_is_vouched_for() -> None:
    past = steady(20.0, days=10.0)
    t, te = past.t_h, past.te20_h[:, SURFACE, 0]
    half = t <= 120.0
    assert vouched_share(t, te, half, 120.0) == 1.0
    assert vouched_share(t, te, half, 240.0) == pytest.approx(0.5, abs=0.01)
    assert vouched_share(t, te, np.zeros(len(t), dtype=bool), 100.0) == 0.0
    for unknown in (0.0, np.inf, np.nan):
        assert vouched_share(t, te, half, unknown) == 0.0
    assert not vouched_share(t, te * np.nan, half, 100.0) >= 0.8
