"""What lies under the slab reaches column and section; a narrow slab's middle is told apart."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from curecast.core.batches import column_of
from curecast.core.case import Case
from curecast.core.edges import edge_section
from curecast.core.heat.soil import SOIL, WET_SOIL
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.reader import parse_job
from curecast.prospect.case import case_of
from curecast.prospect.trace import trace_start
from curecast.prospect.week import assess_week
from tests.fixtures.answers import JOB, START_H, job, weather

BOARD = '[ground]\nunder = "board"\nunder_r = "R5 US"\n'
WET = "[ground]\nwet = true\n"


def case(more: str = "") -> Case:
    return case_of(parse_job(JOB + more))


@cache
def trace(more: str = "", width: str = "1.5 m") -> dict[str, Any]:
    text = JOB.replace('"2 m"', '"12 m"').replace('"1.5 m"', f'"{width}"')
    return trace_start(parse_job(text + more), weather(0.0, 8), START_H, 48)


def bottom_c(more: str, place: str) -> float:
    return float(trace(more)["hours"][12]["temperature_c"][place])


@pytest.mark.parametrize(
    ("more", "soil", "under"), [("", SOIL, 0.0), (WET, WET_SOIL, 0.0), (BOARD, SOIL, 0.880550918)]
)
def test_soil_and_board_reach_column_and_section(more: str, soil: object, under: float) -> None:
    own = case(more)
    column = column_of(own, np.array([12.0]), np.array([5.0]), 9.0, 12)
    shape = edge_section(own, column).shape
    assert column.soil == shape.soil == soil
    assert column.under_r_m2k_w == pytest.approx(under)
    assert shape.under_r_m2k_w == pytest.approx(under)


@pytest.mark.parametrize("place", ["bottom", "centre_bottom"])
def test_a_board_and_wet_soil_change_the_underside(place: str) -> None:
    plain = bottom_c("", place)
    assert bottom_c(BOARD, place) > plain + 0.5
    assert abs(bottom_c(WET, place) - plain) > 0.05


def ground_of(air_before_c: float) -> float:
    """The ground that a week finds where three days before now were so cold."""
    t = np.arange(24 * 11, dtype=float)
    air = np.where(t < 96.0, air_before_c, 10.0)
    nan = np.full(len(t), np.nan)
    now_h = START_H + 3.0
    known = HourlyWeather(int(now_h) - 96, air, nan, nan, nan, nan, nan, np.ones(len(t), np.int8))
    forecast = Forecast("a made-up source", now_h - 1.0, now_h - 1.0, known)
    (start,) = assess_week(job(), forecast, now_h, only_h=now_h).starts
    (ground,) = (f for f in start.findings if f.rule == "ground")
    assert ground.value is not None
    return ground.value


def test_a_week_takes_the_ground_from_the_hours_before_now() -> None:
    assert ground_of(3.0) == pytest.approx(3.0, abs=0.01)
    assert ground_of(10.0) == pytest.approx(10.0, abs=0.01)


def test_a_narrow_slabs_middle_is_told_apart_from_the_column() -> None:
    narrow = trace(width="0.6 m")["parameters"]["centre_difference_k"]
    wide = trace(width="12 m")["parameters"]["centre_difference_k"]
    assert list(narrow) == ["surface", "middle", "bottom"]
    assert all(abs(k) < 0.1 for k in wide.values())
    assert all(k < -0.5 for k in narrow.values())
    hours = trace(width="0.6 m")["hours"]
    told = [h["temperature_c"]["centre_middle"] - h["temperature_c"]["middle"] for h in hours[1:]]
    assert narrow["middle"] == pytest.approx(min(told))
