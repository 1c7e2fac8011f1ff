"""A crew's day moves the right way: more people never end later, colder windows are longer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.core.build.crewing import Mixing, placing_runs_min, timetable
from curecast.core.build.finishing import Placed, SetClock, finish_windows, finished_h
from curecast.core.concrete.setting import INITIAL_SET, final_set_h_at, finishing_start_h_at

crews = st.builds(
    Mixing,
    bags=st.integers(1, 60),
    bag_kg=st.sampled_from([25.0, 36.287]),
    people=st.integers(1, 7),
    per_batch=st.integers(1, 3),
    drum=st.booleans(),
)
PLACED = Placed(0.0, 0.15, 2.3, 2.5, 2.55)


def steady(temp_c: float) -> SetClock:
    at = np.linspace(0.0, 60.0, 481)
    return SetClock(at, np.full_like(at, temp_c))


@settings(max_examples=40, deadline=None)
@given(crews)
def test_more_people_never_end_later(crew: Mixing) -> None:
    one, more = timetable(crew), timetable(replace(crew, people=crew.people + 1))
    assert more.screeded_min[-1] <= one.screeded_min[-1] + 1e-9
    assert (np.diff(one.placed_min) >= 0.0).all()
    assert (one.placed_min > one.mix_min).all()


@settings(max_examples=8, deadline=None)
@given(crews)
def test_nor_on_any_day_that_scatters(crew: Mixing) -> None:
    more = replace(crew, people=crew.people + 1)
    assert (placing_runs_min(more, 4) <= placing_runs_min(crew, 4) + 1e-9).all()


@given(st.floats(0.0, 25.0), st.floats(0.5, 10.0))
def test_colder_windows_open_later_and_stay_longer(temp_c: float, colder_k: float) -> None:
    warm = {w.step: w for w in finish_windows(steady(temp_c + colder_k), PLACED)}
    cold = {w.step: w for w in finish_windows(steady(temp_c), PLACED)}
    for step in ("float", "edge", "trowel or broom"):
        assert cold[step].from_h >= warm[step].from_h
        assert cold[step].to_h - cold[step].from_h >= warm[step].to_h - warm[step].from_h - 1e-6
    assert finished_h(steady(temp_c), PLACED) >= finished_h(steady(temp_c + colder_k), PLACED)


@given(st.floats(-0.5, 30.0), st.floats(0.0, 3.0))
def test_a_steady_clock_is_the_table(temp_c: float, wet_h: float) -> None:
    clock = steady(temp_c)
    final = float(final_set_h_at(temp_c))
    assert clock.set_h(wet_h) == pytest.approx(wet_h + final, abs=1e-6)
    assert clock.set_h(wet_h, INITIAL_SET) == pytest.approx(wet_h + INITIAL_SET * final, abs=1e-6)
    assert clock.floats_h(wet_h) == pytest.approx(
        wet_h + float(finishing_start_h_at(temp_c)), abs=1e-6
    )


def test_frozen_concrete_never_sets() -> None:
    assert steady(-3.0).set_h(0.0) == float("inf")
    windows = finish_windows(steady(-3.0), PLACED)
    assert [w.from_h for w in windows if w.step == "float"] == [float("inf")]
