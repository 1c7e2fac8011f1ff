"""The screened edge against the section, over a typical year of hourly weather (TMY3 Greensboro).

Ranking may screen; it must not call kept what the section calls broken, in more than 1 of 200
sampled starts, over exposure, thickness from 100 to 300 mm and cover.
"""

from __future__ import annotations

import csv
import importlib.util
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from curecast.core.batches import WEEKLY
from curecast.core.edges import EDGE_COARSE
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import Exposure, MemberForcing
from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection
from curecast.core.heat.section import march as march_edge
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import collect
from curecast.core.weather.ensemble import Members

FREEZE_C = 0.5
FIRST_H = 501_341  # 2027-03-12T05:00 UTC stands for the year's first local midnight
EXPOSURES = ((1.0, 1.0, 1.0), (0.3, 0.2, 0.6), (0.0, 0.0, 0.2))
COVERS = (
    (),
    (CoverSpell(0.03, 6.0, 72.0),),
    (CoverSpell(0.35, 6.0, 72.0),),
    (CoverSpell(0.35, 6.0, 72.0, laps=False),),
    (CoverSpell(0.70, 6.0, 72.0),),
)
HEAT = HeatOfHydration(484.6e3, 340.0, 0.743, 13.28, 0.674, 46_626.0, 23.0)


@dataclass(frozen=True)
class Coldest:
    """Coldest hour of a start's first day: by the screen, at the arris of the section. [°C]"""

    screened_c: float
    arris_c: float


def typical_year() -> Members:
    """The typical year that the solar library's own package holds."""
    spec = importlib.util.find_spec("pvlib")
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent / "data" / "723170TYA.CSV"
    with path.open(encoding="latin-1") as file:
        next(file)
        rows = list(csv.DictReader(file))

    def column(name: str) -> np.ndarray:
        return np.array([float(row[name]) for row in rows])[:, None]

    cloud = np.clip(column("TotCld (tenths)") / 10.0, 0.0, 1.0)
    air, dew = column("Dry-bulb (C)"), column("Dew-point (C)")
    return Members(FIRST_H, air, dew, column("Wspd (m/s)"), cloud)


def sampled(count: int, seed: int) -> Iterator[Coldest]:
    """Starts of the cold half of the year, the slab and its cover drawn at random."""
    weather, rng = typical_year(), np.random.default_rng(seed)
    air = weather.air_c[:, 0]
    while count:
        day = int(rng.choice([*range(4, 110), *range(290, 350)]))
        hour = day * 24 + int(rng.integers(7, 15))
        ground = float(air[hour - 72 : hour].mean())
        thickness, exposure = float(rng.choice([0.1, 0.15, 0.2, 0.3])), rng.integers(3)
        covers = COVERS[rng.integers(len(COVERS))]
        strip_h, width = float(rng.choice([24.0, np.inf])), float(rng.choice([1.2, 2.4, 3.6]))
        placed = float(np.clip(air[hour - 24 : hour].mean() + rng.uniform(0.0, 8.0), 8.0, 20.0))
        if ground <= 1.0:  # refused by another rule
            continue
        column = Column(thickness, HEAT, placed, ground, 12.0, concrete_cells=12, soil_cells=12)
        forcing = MemberForcing(
            weather, Exposure(36.1, -79.95, *EXPOSURES[exposure]), np.array([float(FIRST_H + hour)])
        )
        times = step_times_h(30.0, [*switch_times_h(covers, 30.0), 24.0], WEEKLY)
        past = collect(march(column, forcing, covers, times), strip_at_h=strip_h)
        section = EdgeSection(column, width, strip_at_h=strip_h, fineness=0.7)
        edge = march_edge(section, forcing, covers, 25.0, plan=EDGE_COARSE)
        screened = float(past.coldest_c[past.t_h <= 24.0].min())
        yield Coldest(screened, float(edge.arris_least_c[1:25].min()))
        count -= 1


def hold_to_account(starts: list[Coldest]) -> None:
    """At most one in two hundred kept by the screen and broken by the section, by little."""
    wrong = [s for s in starts if s.screened_c > FREEZE_C >= s.arris_c]
    assert len(wrong) <= max(1, len(starts) // 200)
    colder = np.array([s.screened_c - s.arris_c for s in starts])
    # Bounded: the screen is at most 1 K above the section, and half the time below it.
    assert colder.max() < 1.0
    assert np.median(colder) < 0.0


def test_screening_is_on_the_cold_side_in_some_starts() -> None:
    hold_to_account(list(sampled(12, seed=11)))


@pytest.mark.slow
@pytest.mark.timeout(900)
def test_screening_is_on_the_cold_side_in_two_hundred_starts() -> None:
    hold_to_account(list(sampled(200, seed=7)))
