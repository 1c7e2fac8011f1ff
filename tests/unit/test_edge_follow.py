"""The edge of every member, from one section: against a section of each member's own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.abreast.edges import march_edges
from curecast.core.batches import CELLS, Batch, column_of, run
from curecast.core.case import Case
from curecast.core.edge_follow import edge_lane, with_edge
from curecast.core.edges import COARSE_CELLS, EDGE_COARSE, edge_section
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.section import march
from curecast.core.histories import EDGE
from curecast.core.weather.ensemble import members
from curecast.core.weather.series import SPANS, HourlyWeather
from curecast.job.reader import parse_job
from curecast.prospect.case import case_of
from tests.fixtures.command_line import job_text

START_H, HOURS, MEMBERS = 498_130, 72, 12


def cool_week() -> HourlyWeather:
    hour = np.arange(24 * 8)
    air = 6.0 + 4.0 * np.cos(2.0 * np.pi * (hour - 19) / 24.0)
    none = np.full(len(hour), np.nan)
    return HourlyWeather(
        START_H - 72, air, air - 4.0, np.full(len(hour), 3.0), np.full(len(hour), 0.5), none, none,
        np.full(len(hour), SPANS.index("forecast"), dtype=np.int8),
    )  # fmt: skip


@pytest.mark.parametrize("exposure", ["roofed", "open"])
def test_members_lie_as_far_apart_at_the_edge_as_in_their_own_sections(exposure: str) -> None:
    job = parse_job(job_text(site={"exposure": f'"{exposure}"'}), "edge")
    case = replace(case_of(job), strip_at_h=24.0)
    sky, start = cool_week(), np.array([float(START_H)])
    lead = np.full(len(sky), 4.0)
    weather = members(sky, lead, count=MEMBERS, seed=3, latitude=44.0)
    origin_h = START_H + case.middle_h
    past = run(case, weather, Batch(start, ()), float(HOURS), latitude=44.0)
    lane = edge_lane(
        case, weather, float(HOURS), start_h=float(START_H), origin_h=origin_h, spells=(),
        strip_at_h=24.0, latitude=44.0,
    )  # fmt: skip
    guessed = with_edge(past, march_edges([lane])[0])
    own = _own_sections(case, weather, start, origin_h)
    hours = np.arange(4.0, HOURS)
    ours = np.array([np.interp(hours, guessed.t_h, m) for m in guessed.temp_c[:, EDGE].T])
    theirs = np.array([np.interp(hours, own.t_h, m) for m in own.at("arris")["temp_c"].T])
    np.testing.assert_allclose(ours[0], theirs[0], atol=0.2)  # two grids of steps, 15 to 60 min
    spread, meant = np.std(ours[1:] - ours[0]), np.std(theirs[1:] - theirs[0])
    assert 0.9 * meant < spread < 1.1 * meant


def _own_sections(case: Case, weather, start, origin_h):  # type: ignore[no-untyped-def]
    column = column_of(
        case, case.placed_at_c(day_mean_c(case, weather, start))[0],
        ground_c(case, weather, start)[0], deep_c(case, weather, 44.0), CELLS,
    )  # fmt: skip
    section = edge_section(case, column, COARSE_CELLS)
    forcing = MemberForcing(weather, case.exposure, np.array([origin_h]))
    return march(section, forcing, (), float(HOURS), plan=EDGE_COARSE)
