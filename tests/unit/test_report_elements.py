"""The alphabet of the pictures: escaped, finite, thin enough, and never on top of each other."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from curecast.report.pictures.axes import (
    Frame,
    midnights,
    nice_step,
    rounded_limits,
    shown,
    time_axis,
)
from curecast.report.pictures.elements import (
    band,
    element,
    number,
    path_of,
    spread,
    thinned,
    together,
    words,
)
from curecast.report.pictures.marks import (
    STATE_MEANS,
    STATE_WORDS,
    VERDICT_WORDS,
    state_mark,
    verdict_mark,
)
from curecast.report.pictures.sheet import NARROW, WIDE, Shape, legend, picture, sample_line

START_H = 501275.0


@given(st.text(), st.text())
def test_text_and_attributes_cannot_break_out(text: str, value: str) -> None:
    made = str(element("text", text, data_note=value))
    assert made.count("<") == 2
    assert made.count(">") == 2
    assert made.count('"') == 2


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_coordinate_is_finite(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        number(value)


def test_plain_text_among_elements_is_escaped() -> None:
    assert str(together(["<b>", words(0, 0, "x")])).startswith("&lt;b&gt;<text")


@given(st.lists(st.floats(-500.0, 500.0), min_size=1, max_size=400))
def test_thinning_keeps_the_extremes_of_every_pixel(values: list[float]) -> None:
    y = np.array(values)
    x = np.linspace(0.0, 20.0, len(y))
    keep = thinned(x, y)
    assert len(keep) <= min(len(y), 4 * 21)
    assert list(keep) == sorted(set(keep.tolist()))
    assert {0, len(y) - 1} <= set(keep.tolist())
    for pixel in range(21):
        inside = np.floor(x) == pixel
        if inside.any():
            kept = y[keep][np.floor(x[keep]) == pixel]
            assert kept.min() == y[inside].min()
            assert kept.max() == y[inside].max()


def test_a_line_breaks_where_a_point_is_unknown() -> None:
    path = path_of([0, 1, 2, 3, 4], [5, 5, np.nan, 5, np.inf])
    assert path == "M0 5L1 5M3 5"
    assert path_of([], []) == ""


def test_a_band_of_nothing_draws_nothing() -> None:
    assert str(band([0, 1], [np.nan, np.nan], [1, 1], "band")) == ""


@given(st.lists(st.floats(0.0, 200.0), min_size=1, max_size=12))
def test_labels_do_not_lie_on_each_other(wanted: list[float]) -> None:
    placed = sorted(spread(wanted, 14.0, 0.0, 200.0))
    assert all(b - a >= 14.0 - 1e-6 for a, b in pairwise(placed))
    assert placed[0] >= -1e-6
    assert placed[-1] <= 200.0 + 1e-6


def test_a_label_with_room_stays_where_it_belongs() -> None:
    assert spread([100.0, 10.0], 14.0, 0.0, 200.0) == [100.0, 10.0]


@given(st.floats(0.01, 1e5), st.integers(2, 10))
def test_steps_are_plain_numbers(span: float, most: int) -> None:
    step = nice_step(span, most)
    assert span / step <= most * (1 + 1e-6)
    assert f"{step:e}"[0] in "125"
    low, high, _ = rounded_limits(-span / 3.0, span, most)
    assert low <= -span / 3.0
    assert high >= span


def test_units_of_the_job() -> None:
    assert shown([0.0, 100.0], "temperature", "us").tolist() == [32.0, 212.0]
    assert shown(20.0, "strength", "us") == pytest.approx(2900.75, abs=0.01)
    assert shown(20.0, "strength", "si") == 20.0


# 14 March 2027 has 23 hours in New York, 7 November has 25.
@pytest.mark.parametrize(
    ("from_h", "hours"),
    [(501275.0, {23.0, 24.0}), (506988.0, {24.0, 25.0})],
    ids=["spring", "autumn"],
)
def test_midnights_are_those_of_the_wall_clock(from_h: float, hours: set[float]) -> None:
    nights = midnights(from_h, from_h + 170.0, "America/New_York")
    assert len(nights) == 7
    assert {b - a for a, b in pairwise(nights)} == hours


@pytest.mark.parametrize("days", [1, 4, 9, 30, 90, 180])
@pytest.mark.parametrize("shape", [WIDE, NARROW], ids=["wide", "narrow"])
def test_day_labels_keep_clear_of_each_other_and_of_the_edge(days: int, shape: Shape) -> None:
    last_h = START_H + 24.0 * days
    frame = Frame(shape, 40.0, shape.width - 16.0, 30.0, 200.0, START_H, last_h, None)
    drawn = ElementTree.fromstring(f"<g>{time_axis(frame)}</g>")
    dates = [t for t in drawn.iter("text") if t.get("y") == number(frame.bottom + 31)]
    at = [float(t.get("x", "nan")) for t in dates]
    assert at, "no day is named"
    assert all(b - a > 38.0 for a, b in pairwise(at))
    assert max(at) + 18.0 <= frame.shape.width


def test_every_state_and_verdict_has_a_mark_of_its_own() -> None:
    shapes = {state: str(state_mark(state, 7, 7)) for state in STATE_WORDS}
    free = {s: m for s, m in shapes.items() if s not in ("projected", "not-poured")}
    assert len(set(free.values())) == len(free)
    assert set(STATE_MEANS) == set(STATE_WORDS)
    assert [s for s, m in shapes.items() if "full" in m] == ["released", "signed-off"]
    assert len({str(verdict_mark(v, 7, 7)) for v in VERDICT_WORDS}) == len(VERDICT_WORDS)
    assert len(set(STATE_WORDS.values())) == len(STATE_WORDS)


def test_a_legend_stays_within_a_phone() -> None:
    items = [(sample_line("air"), "air at the slab")] * 5
    made, height = legend(items, NARROW)
    assert height > legend(items, WIDE)[1]
    found = ElementTree.fromstring(f"<g>{made}</g>")
    assert all(float(t.get("x", "nan")) < NARROW.width - 60.0 for t in found.iter("text"))


def test_a_picture_has_a_name_for_those_who_do_not_see_it() -> None:
    made = ElementTree.fromstring(str(picture("a", WIDE, 10.0, "A <b>", "told", [])))
    names = made.get("aria-labelledby", "").split()
    assert [made.find(f"*[@id='{name}']").text for name in names] == ["A <b>", "told"]  # type: ignore[union-attr]
