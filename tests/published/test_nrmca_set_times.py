"""Approximate set times of NRMCA / ACI, and ASCC Position Statement 15 on floating.

70 to 100 °F read, 30 to 60 °F from memory; derived figures computed.
"""

from __future__ import annotations

import math

import pytest

from curecast.core.concrete.ages import gamma_constant
from curecast.core.concrete.setting import (
    final_set_h_at,
    finishing_start_h_at,
    saw_cut_window_h,
    set_progress,
)
from tests.validation.rows import Agree

SOURCE = "NRMCA / ACI table of approximate set times"
FLOATING = "ASCC Position Statement 15"
READ_FROM_F = 70  # the colder rows are from memory

ROWS = [
    (100, 1 + 2 / 3), (90, 2 + 2 / 3), (80, 4), (70, 6), (60, 8), (50, 10 + 2 / 3),
    (40, 14 + 2 / 3), (30, 19),
]  # fmt: skip
# The activation energies that lie between the rows, hot to cold. [kJ/mol]
IMPLIED = [66.8, 55.6, 53.5, 36.6, 35.2, 37.5, 29.3]


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("fahrenheit", "hours"), ROWS[:-1])
def test_rows(agree: Agree, fahrenheit: float, hours: float) -> None:
    kind = "published" if fahrenheit >= READ_FROM_F else "memory"
    ours = final_set_h_at(c(fahrenheit))
    agree(f"final set at {fahrenheit} °F", SOURCE, hours, [ours], 1e-9 * hours, "h", kind)


def test_coldest_row_carries_down_to_minus_1_c() -> None:
    # 30 °F is -1.1 °C, where nothing sets any more; the row still ends the line from 40 °F.
    assert 18.5 < float(final_set_h_at(-1.0)) < 19.0
    assert math.isinf(float(final_set_h_at(c(20))))


def test_hotter_than_the_table() -> None:
    assert float(final_set_h_at(45.0)) == pytest.approx(1 + 2 / 3)


@pytest.mark.parametrize("row", range(6))
def test_activation_energy_falls_as_it_gets_colder(agree: Agree, row: int) -> None:
    hot_f, cold_f = ROWS[row][0], ROWS[row + 1][0]
    ratio = float(final_set_h_at(c(cold_f))) / float(final_set_h_at(c(hot_f)))
    kj = 8.314e-3 * math.log(ratio) / (1 / (c(cold_f) + 273.15) - 1 / (c(hot_f) + 273.15))
    what = f"activation energy between {hot_f} and {cold_f} °F"
    agree(what, SOURCE, IMPLIED[row], kj, 0.051, "kJ/mol", "computed")


@pytest.mark.parametrize(("fahrenheit", "hours"), [(50, 11.7), (40, 16.6), (100, 2.4)])
def test_one_activation_energy_does_not_give_the_table(
    agree: Agree, fahrenheit: float, hours: float
) -> None:
    # Q = 5000 K from 6 h at 70 °F.
    carried = 6.0 / float(gamma_constant(c(fahrenheit), 5000 * 8.314, c(70)))
    what = f"6 h at 70 °F carried to {fahrenheit} °F by Q 5000 K, which is not the table"
    agree(what, SOURCE, hours, carried, 0.05, "h", "computed")
    assert abs(carried / float(final_set_h_at(c(fahrenheit))) - 1) > 0.05


@pytest.mark.parametrize(("fahrenheit", "hours"), [(50, 4.25), (70, 2.75), (90, 1.75)])
def test_start_of_floating(agree: Agree, fahrenheit: float, hours: float) -> None:
    ours = finishing_start_h_at(c(fahrenheit))
    agree(f"start of floating at {fahrenheit} °F", FLOATING, hours, [ours], 1e-9 * hours, "h")


@pytest.mark.parametrize(("fahrenheit", "share"), [(50, 0.40), (70, 0.46), (90, 0.66)])
def test_floating_starts_well_before_final_set(
    agree: Agree, fahrenheit: float, share: float
) -> None:
    ratio = finishing_start_h_at(c(fahrenheit)) / final_set_h_at(c(fahrenheit))
    what = f"start of floating over final set at {fahrenheit} °F"
    agree(what, FLOATING, share, [ratio], 0.0051, kind="computed")


def test_floating_begins_before_final_set_at_every_temperature() -> None:
    for fahrenheit in range(31, 111):
        assert float(finishing_start_h_at(c(fahrenheit))) < float(final_set_h_at(c(fahrenheit)))


def test_saw_cut_at_70_f_lies_in_acis_4_to_12_h(agree: Agree) -> None:
    # ACI 302.1R-15: 4 to 12 h after placing.
    opens, closes = saw_cut_window_h(final_set_h_at(c(70)))
    agree(
        "sawing at 70 °F opens and closes within 4 to 12 h", "ACI 302.1R-15", [8.0, 8.0],
        [opens, closes], 4.0 + 1e-9, "h", note="half the range",
    )  # fmt: skip
    assert 4.0 <= float(opens) < float(closes) <= 12.0 + 1e-9


def test_set_adds_up(agree: Agree) -> None:
    half_warm_half_cool = set_progress([c(70), c(50)], [3.0, 16.0 / 3.0])
    agree(
        "share of final set after 3 h at 70 °F, and 5 1/3 h more at 50 °F", SOURCE, [0.5, 1.0],
        half_warm_half_cool, 1e-6, kind="computed",
    )  # fmt: skip


def test_forty_bags_by_two_people_outlast_a_hot_days_set() -> None:
    # 6.6 man-minutes a bag of 80 lb: USDA Farmers' Bulletin (Miller); 132 min for two people.
    minutes = 40 * 6.6 / 2
    assert minutes > 60 * float(finishing_start_h_at(c(90)))
