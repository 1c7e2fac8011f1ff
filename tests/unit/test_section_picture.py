"""The picture of the edge: lines where the field has them, and where it is coldest."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from curecast.prospect.edge_picture import section_fields
from curecast.report.pictures.contours import contour_lines, with_column
from curecast.report.pictures.section import section_picture
from curecast.report.pictures.sheet import NARROW, WIDE
from tests.fixtures.answers import old, young


def test_a_circle_is_found_on_an_uneven_grid_and_closes() -> None:
    x = np.linspace(-1.4, 1.4, 60) ** 3
    y = np.linspace(-2.0, 2.0, 90)
    (ring,) = contour_lines(x, y, np.hypot(x, y[:, None]), 1.0)
    assert ring[0].tolist() == ring[-1].tolist()
    assert np.hypot(*ring.T) == pytest.approx(1.0, abs=0.02)
    turned = np.sum(np.diff(np.unwrap(np.arctan2(ring[:, 1], ring[:, 0]))))
    assert abs(turned) == pytest.approx(2.0 * np.pi, abs=1e-6)


def test_a_saddle_parts_into_two_lines() -> None:
    x = np.linspace(-1.0, 1.0, 8)
    lines = contour_lines(x, x, x * x[:, None], 1e-4)
    assert len(lines) == 2
    assert all(np.ptp(np.sign(line[:, 0])) == 0.0 for line in lines)


def test_no_line_enters_the_air_or_a_level_field() -> None:
    field = np.array([[0.0, 2.0, np.nan], [0.0, 2.0, np.nan], [0.0, 2.0, 2.0]])
    (line,) = contour_lines(np.arange(3.0), np.arange(3.0), field, 1.0)
    assert line[:, 0].tolist() == [0.5, 0.5, 0.5]
    assert contour_lines(np.arange(3.0), np.arange(3.0), np.full((3, 3), 1.0), 1.0) == []


def test_a_border_between_cells_takes_the_value_between() -> None:
    x, field = with_column(np.array([0.0, 1.0, 3.0]), np.array([[0.0, 1.0, 5.0]]), 2.0)
    assert x.tolist() == [0.0, 1.0, 2.0, 3.0]
    assert field.tolist() == [[0.0, 1.0, 3.0, 5.0]]


def test_the_fields_are_of_the_first_day_and_of_now() -> None:
    fields = section_fields(young())
    first, now = (h - young().origin_h for h in fields.at_h)
    assert 1.0 <= first <= 24.0
    assert now == np.floor(young().age_h)
    shape = (len(fields.z_m), len(fields.x_m))
    assert all(f.shape == shape for f in fields.fields_c)
    half_m, thick_m = 0.75, 0.18
    concrete = np.ix_(fields.z_m < thick_m, fields.x_m < half_m)
    air = np.ix_(fields.z_m < thick_m, fields.x_m > half_m)
    for field in fields.fields_c:
        assert np.isfinite(field[concrete]).all()
        assert np.isnan(field[air]).all()


def test_it_says_where_it_is_coldest_and_by_how_much() -> None:
    said = section_fields(old()).said
    assert "the corner at" in said
    assert "colder than the top's middle" in said
    assert " K " in said


@pytest.mark.parametrize("shape", [WIDE, NARROW])
@pytest.mark.parametrize("anchor_m", [None, 0.09])
def test_the_picture_draws_both_hours_in_either_unit(shape, anchor_m) -> None:  # type: ignore[no-untyped-def]
    fields = section_fields(young())
    frosty = replace(fields, fields_c=tuple(f - 10.0 for f in fields.fields_c))
    drawn = section_picture(frosty, shape, "us", "America/New_York", anchor_m)
    svg = ElementTree.fromstring(str(drawn))
    classes = [e.get("class") or "" for e in svg.iter()]
    assert classes.count("isotherm frost") > 1  # beside the legend's own
    assert classes.count("outline slab") == 2
    texts = [e.text for e in svg.iter("text")]
    assert "32" in texts
    assert "freezing, 32 °F" in texts
    wide = float((svg.get("viewBox") or "").split()[2])
    assert all(0.0 <= float(e.get("x", "0")) <= wide for e in svg.iter("text"))
