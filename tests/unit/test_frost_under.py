"""Frost under the slab after the pour is warned of, with its date and with the lap."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.histories import BOTTOM, Histories
from curecast.core.rules.cold import frost_under_h
from curecast.prospect.frost_under import frost_under_notes, frost_under_words
from curecast.prospect.sentences import start_reasons
from tests.fixtures.answers import job, week, young


def under(*bottoms_c: list[float]) -> Histories:
    """A history whose underside is given by member; the rest is warm."""
    bottom = np.array(bottoms_c).T
    hours, columns = bottom.shape
    temps = np.full((hours, 4, columns), 10.0)
    temps[:, BOTTOM] = bottom
    whole, nan = np.full((hours, columns), 10.0), np.full(columns, np.nan)
    return Histories(np.arange(float(hours)), temps, temps, temps, whole, whole, nan, nan, nan)


def test_the_run_without_error_decides_at_zero() -> None:
    assert frost_under_h(under([5.0, 0.1, 0.0, -1.0]), 0.0, 3.0) == 2.0
    assert frost_under_h(under([5.0, 0.1, 0.1, 0.1]), 0.0, 3.0) is None
    assert frost_under_h(under([5.0, np.nan]), 0.0, 1.0) == 1.0


def test_one_member_in_ten_is_enough_and_one_in_thirty_is_not() -> None:
    warm = [[5.0, 4.0]] * 27
    assert frost_under_h(under([5.0, 4.0], *warm, *[[5.0, -2.0]] * 4), 0.0, 1.0) == 1.0
    assert frost_under_h(under([5.0, 4.0], *warm, [5.0, -2.0]), 0.0, 1.0) is None


def test_only_the_hours_asked_for_count() -> None:
    past = under([-1.0, 5.0, 5.0, -1.0])
    assert frost_under_h(past, 1.0, 2.0) is None
    assert frost_under_h(past, 1.0, 3.0) == 3.0
    assert frost_under_h(past, 9.0, 12.0) is None


def frozen_below(hours_on: float):  # type: ignore[no-untyped-def]
    """A slab whose underside freezes so long after now."""
    answer = young()
    temps = answer.past.temp_c.copy()
    temps[answer.past.t_h >= answer.age_h + hours_on, BOTTOM] = -1.0
    return replace(answer, past=replace(answer.past, temp_c=temps))


def test_a_poured_slab_is_warned_within_the_forecast_and_not_beyond_it() -> None:
    assert frost_under_notes(young()) == []
    (note,) = frost_under_notes(frozen_below(24.0))
    assert note.startswith("frost may go under the slab about Fri 12 Mar")
    assert frost_under_notes(frozen_below(24.0 * 20)) == []


def test_the_words_say_how_far_the_cover_hangs_over() -> None:
    said = frost_under_words(replace(job(), units="us"), 501300.0)
    assert "keep it covered, lapped 12 in over the edges and down; heave tilts" in said


@pytest.mark.parametrize(("mean_c", "warned"), [(-12.0, True), (12.0, False)])
def test_a_start_is_warned_where_its_underside_freezes(mean_c: float, warned: bool) -> None:
    start = week(mean_c).starts[0]
    assert (start.under_frost_h is not None) == warned
    told = " ".join(start_reasons(job(), start))
    assert ("frost may go under the slab" in told) == warned
