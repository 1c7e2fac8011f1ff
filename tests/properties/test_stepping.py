"""The instants of a march, whatever the switches and the horizon."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.core.heat.stepping import COARSE, FINE, NORMAL, step_times_h

hours = st.floats(0.01, 400.0)


@settings(max_examples=60)
@given(
    horizon=st.floats(1.0, 500.0), switches=st.lists(hours, max_size=6),
    plan=st.sampled_from([FINE, NORMAL, COARSE]), clock=st.floats(-1e6, 1e6),
)  # fmt: skip
def test_instants_rise_hold_every_switch_and_keep_to_the_plan(
    horizon: float, switches: list[float], plan: tuple[tuple[float, float], ...], clock: float
) -> None:
    times = step_times_h(horizon, switches, plan, weather_hour_h=clock)
    steps = np.diff(times)
    assert times[0] == 0.0
    assert times[-1] == np.round(horizon, 9)
    assert steps.min() > 0.0
    inside = [s for s in switches if np.round(s, 9) < np.round(horizon, 9)]
    assert np.isin(np.round(inside, 9), times).all()
    for until, minutes in plan:
        early = steps[times[1:] <= until]
        assert len(early) == 0 or early.max() <= max(minutes, 60.0) / 60.0 + 0.51 / 60.0


@settings(max_examples=40)
@given(switches=st.lists(hours, max_size=4), plan=st.sampled_from([FINE, NORMAL, COARSE]))
def test_whole_hours_are_among_them(
    switches: list[float], plan: tuple[tuple[float, float], ...]
) -> None:
    times = step_times_h(168.0, switches, plan)
    whole = np.arange(1.0, 168.0)
    clear = [h for h in whole if all(abs(s - h) > 0.6 / 60.0 or s == h for s in switches)]
    after = np.add.outer([0.0, *switches], np.cumsum([1, 2, 3, 4, 5]) / 60.0).ravel()
    free = [h for h in clear if np.abs(after - h).min() > 0.51 / 60.0]
    assert np.isin(free, times).all()


def test_fine_holds_every_hour_exactly() -> None:
    assert set(range(673)) <= set(step_times_h(672.0, plan=FINE).tolist())
