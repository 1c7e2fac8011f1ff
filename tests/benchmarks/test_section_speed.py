"""How long the edge section takes: four weeks, one member and a hundred."""

from __future__ import annotations

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_modes import section_modes
from tests.fixtures.edge_weather import GENERIC, forcing, rough_autumn

HOURS = 28 * 24
WEATHER = rough_autumn(HOURS + 1)
SPELLS = (CoverSpell(0.35, 6.3, 80.0),)

pytestmark = pytest.mark.bench


@pytest.mark.parametrize(("members", "goal_s"), [(1, 1.0), (100, 10.0)])
def test_four_weeks(benchmark: BenchmarkFixture, members: int, goal_s: float) -> None:
    """Goals leave room for a busy machine: 0.3 s and 3 s on one quiet core."""
    edge = EdgeSection(Column(0.2, GENERIC, 15.0, 8.0, 9.0), 2.4, strip_at_h=30.5)
    air = forcing(WEATHER, WEATHER["start_h"], np.linspace(-3.0, 3.0, members))

    def run() -> None:
        section_modes.cache_clear()
        march(edge, air, SPELLS, HOURS)

    benchmark.pedantic(run, rounds=3, iterations=1)
    if not benchmark.disabled:  # a run that only tries the code takes no times
        assert benchmark.stats.stats.min < goal_s
