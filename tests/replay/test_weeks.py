"""Weeks replayed before a pour: is nine in ten nine in ten, and does a bare start freeze?

Slow, so off by default: ``make replay``. One start of a week is tried by default.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.prospect.week import assess_week
from tests.replay.rows import Row, column
from tests.replay.scores import HOLDS, bare_scores, frosty_scores, week_scores
from tests.replay.week_scenes import forecast_of, job_of, scene_of
from tests.replay.weeks import air_kept, start_kept

slow = [pytest.mark.slow, pytest.mark.timeout(14_400)]
STARTS = ("any", "best")


def replay_one(seed: int) -> Row:
    """One start of a week alone, on the second morning: a sample in seconds."""
    scene = scene_of(seed)
    job, forecast = job_of(scene), forecast_of(scene, seed)
    answer = assess_week(job, forecast, float(scene.now_h), only_h=scene.now_h + 40.0)
    week = answer.shared
    assert week is not None
    found = start_kept(week, scene, job, answer.starts[0], 0.0, fine=False)
    return air_kept(week, scene, 0.0) | {f"any {k}": v for k, v in found.items()}


def test_one_start_of_each_of_two_weeks() -> None:
    """The harness itself: two starts are poured in the weather that came."""
    rows = [replay_one(seed) for seed in (1, 2)]
    above = column(rows, "any surface hours above low").mean()
    below = column(rows, "any surface hours below high").mean()
    assert above > 0.4
    assert below > 0.4
    off = column(rows, "any true light-load") - column(rows, "any count light-load")
    assert np.sum(off <= 0.0) >= 1
    assert np.all(np.abs(column(rows, "any came coldest") - column(rows, "any said coldest")) < 9.0)


@pytest.fixture(scope="module", params=STARTS)
def found(request: pytest.FixtureRequest, week_rows: list[Row]) -> dict[str, float]:
    return week_scores(week_rows, request.param)


class TestWeeks:
    pytestmark = slow

    def test_there_are_enough(self, week_rows: list[Row]) -> None:
        assert len(week_rows) >= 200
        assert bare_scores(week_rows)["bare weeks"] >= 100

    @pytest.mark.parametrize("what", ["hours above low", "hours below high", "coldest kept"])
    def test_the_face_keeps_to_nine_in_ten(self, found: dict[str, float], what: str) -> None:
        assert 0.85 <= found[f"surface: {what}"] <= 0.97

    def test_the_coldest_of_all_places_is_as_said(self, found: dict[str, float]) -> None:
        assert 0.85 <= found["coldest anywhere: as said"] <= 0.97

    @pytest.mark.parametrize("hold", HOLDS)
    def test_dates_to_count_on_are_kept(self, found: dict[str, float], hold: str) -> None:
        assert 0.82 <= found[f"date: {hold}"] <= 0.98

    def test_hardly_a_bare_start_freezes(self, week_rows: list[Row]) -> None:
        """At most five in a hundred weeks, by the fine solver where it is near."""
        bare = bare_scores(week_rows)
        assert bare["edge froze, fine solver"] <= 0.05 * bare["bare weeks"]

    def test_hardly_the_coldest_bare_start_of_frosty_weeks_freezes(
        self, frosty_rows: list[Row]
    ) -> None:
        found = frosty_scores(frosty_rows)
        assert found["weeks"] >= 40
        assert found["weeks with air below 0 °C in that span"] >= 5
        assert found["edge froze, fine solver"] <= 0.05 * found["weeks"]

    def test_no_start_is_preferred_that_the_fine_solver_freezes(self, week_rows: list[Row]) -> None:
        """In the weather of the forecast itself, wherever the tool's own section comes near."""
        edge = column(week_rows, "best fine edge in the forecast")
        near = column(week_rows, "best said likely coldest") < 3.5
        assert near.sum() >= 3
        assert np.all(edge[near] > 0.0)
