"""The many-starts column on columns that none of its settings were chosen by.

Goal: 0.1 °C at surface, middle and bottom, and half an hour in the time to a strength, over 28
days. Left out are the first hour, half an hour after each change of cover, and a quarter hour
after the bleed water has gone. Temperatures are compared at the plan's own instants.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from curecast.core.batches import AFTER_SWITCH, STARTS, cells_of
from curecast.core.heat.column import march
from curecast.core.heat.covers import switch_times_h
from curecast.core.heat.forcing import Exposure, MemberForcing, SiteWeather
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import Histories, collect
from curecast.core.weather.ensemble import Members
from tests.reference.cases import PouredCase
from tests.reference.column_reference import POINTS, solve_column
from tests.reference.fresh import FRESH

LIMIT_K, LIMIT_H = 0.1, 0.5
#: Ages at 20 °C, by the smaller of the two, at which strengths are reached. [h]
AGES_H = (24.0, 48.0, 86.0, 168.0)
#: Thin, open and dry; in wind under a blanket: run by default, for five days.
QUICK = (8, 10)
#: Found when they were first scored, and not tuned away.
_OVER = pytest.mark.xfail(reason="0.10 to 0.22 °C; the cause is not found yet")
KNOWN = dict.fromkeys((4, 8, 21, 22), _OVER)
SCORED = [pytest.param(case, marks=KNOWN.get(i, ())) for i, case in enumerate(FRESH)]


def as_for_many(case: PouredCase, days: int) -> Histories:
    """One column just as a start of a week is run: precision, cells, steps."""
    sky_view, sun, wind = case.exposure
    place = Exposure(case.place[0], case.place[1], sky_view, sun, wind)
    one = {name: values[:, None] for name, values in case.sky.items() if name != "start_h"}
    members, until_h = Members(case.sky["start_h"], **one), 24.0 * days
    site = SiteWeather(members, place, single=True)
    forcing = MemberForcing(members, place, np.array([case.start_h]), site)
    slab, soil = cells_of(case.thickness_m)
    column = case.column(slab, soil)
    switches = switch_times_h(case.covers, until_h)
    times = step_times_h(until_h, switches, STARTS, AFTER_SWITCH, -case.at_h)
    return collect(march(column, forcing, case.covers, times), strip_at_h=24.0)


def fair(case: PouredCase, t_h: np.ndarray, told: dict[str, Any]) -> np.ndarray:
    """Where a comparison is fair, see above."""
    at = t_h >= 1.0
    for change in (c for cover in case.covers for c in (cover.from_h, cover.to_h)):
        at &= ~((t_h >= change - 1e-9) & (t_h < change + 0.5))
    water = told["evaporated_kg_m2"]
    if water[-1] > 0.0:
        gone = int(np.argmax(water >= water[-1] - 1e-9))
        at &= ~((t_h >= t_h[gone - 1] - 1e-9) & (t_h < t_h[gone] + 0.25))
    return at


def held_to_account(case: PouredCase, days: int) -> tuple[float, float]:
    """Worst temperature, and worst time to a strength. [K, h]"""
    parameters, sky, start_h, covers = case.reference()
    past = as_for_many(case, days)
    t = past.t_h
    told = solve_column(parameters, sky, start_h, t, covers)
    at = fair(case, t, told)
    off_k, off_h = 0.0, 0.0
    for i, place in enumerate(POINTS):
        own, theirs = past.temp_c[:, i, 0], told["temperature_c"][place]
        off_k = max(off_k, float(np.abs(own - theirs)[at].max()))
        ages = np.minimum(told["strength_age_h"][place], told["ttf_c_h"][place] / 20.0)
        for age in (a for a in AGES_H if ages[-1] > a + 2.0):
            reached = np.interp(age, past.smaller_age_h[:, i, 0], past.t_h)
            off_h = max(off_h, abs(float(reached - np.interp(age, ages, t))))
    return off_k, off_h


@pytest.mark.parametrize("case", [FRESH[i] for i in QUICK], ids=lambda c: c.name)
def test_fresh_columns(case: PouredCase) -> None:
    off_k, off_h = held_to_account(case, 5)
    assert off_k <= LIMIT_K
    assert off_h <= LIMIT_H


@pytest.mark.slow
@pytest.mark.timeout(900)
@pytest.mark.parametrize("case", SCORED, ids=lambda c: c.name)
def test_fresh_columns_over_28_days(case: PouredCase) -> None:
    off_k, off_h = held_to_account(case, 28)
    assert off_k <= LIMIT_K
    assert off_h <= LIMIT_H
