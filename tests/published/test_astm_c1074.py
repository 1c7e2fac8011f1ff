"""ASTM C1074: temperature-time factor and equivalent age (recommended values from memory).

Tables marked "computed" were worked out from the standard's formulas by independent code.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.ages import (
    age_days_at_20_from_ttf,
    equivalent_age,
    gamma_constant,
    temperature_time_factor,
)

Q5000 = 5000.0 * 8.314  # J/mol; Q = 5000 K where it was not measured

# Rates, computed: T, Q 5000 at 20 °C, 40 kJ at 20 °C, datum 0, datum -10, Q 5000 and 40 kJ at 23.
RATES = [
    (-5, 0.2039, 0.2165, 0.0, 0.167, 0.1715, 0.1833),
    (0, 0.2868, 0.3007, 0.0, 0.333, 0.2413, 0.2546),
    (5, 0.3986, 0.4127, 0.250, 0.500, 0.3354, 0.3495),
    (10, 0.5475, 0.5601, 0.500, 0.667, 0.4606, 0.4743),
    (15, 0.7438, 0.7522, 0.750, 0.833, 0.6258, 0.6370),
    (20, 1.0, 1.0, 1.0, 1.0, 0.8413, 0.8468),
    (23, 1.1886, 1.1809, 1.150, 1.100, 1.0, 1.0),
    (30, 1.7553, 1.7184, 1.500, 1.333, 1.4768, 1.4552),
    (35, 2.2939, 2.2231, 1.750, 1.500, 1.9299, 1.8826),
    (40, 2.9723, 2.8525, 2.000, 1.667, 2.5006, 2.4156),
]


@pytest.mark.parametrize("row", RATES, ids=lambda row: f"{row[0]}C")
def test_rates(row: tuple[float, ...]) -> None:
    t, q20, ea20, datum_0, datum_minus_10, q23, ea23 = row
    assert float(gamma_constant(t, Q5000, 20.0)) == pytest.approx(q20, abs=5e-5)
    assert float(gamma_constant(t, 40_000.0, 20.0)) == pytest.approx(ea20, abs=5e-5)
    assert float(gamma_constant(t, Q5000, 23.0)) == pytest.approx(q23, abs=5e-5)
    assert float(gamma_constant(t, 40_000.0, 23.0)) == pytest.approx(ea23, abs=5e-5)
    for datum, printed in ((0.0, datum_0), (-10.0, datum_minus_10)):
        days = age_days_at_20_from_ttf(temperature_time_factor([t], 24.0, datum), datum)
        assert float(days[0]) == pytest.approx(printed, abs=5e-4)


def test_rate_at_5_c_uses_273_15() -> None:
    # 273 for 273.15 would give 0.39821.
    assert float(gamma_constant(5.0, Q5000)) == pytest.approx(0.39860, abs=5e-6)


# Readings at the ends of intervals, the mean of both ends used; computed.
MILD_H = [0, 6, 12, 18, 24, 36, 48, 60, 72]
MILD_C = [18, 22, 28, 30, 27, 21, 18, 15, 14]
MILD = {
    "M(-10)": [180, 390, 624, 855, 1263, 1617, 1935, 2229],
    "M(0)": [120, 270, 444, 615, 903, 1137, 1335, 1509],
    "Q5000": [5.048, 11.767, 20.157, 28.320, 41.022, 50.828, 59.043, 66.330],
    "40 kJ": [5.081, 11.772, 20.056, 28.125, 40.799, 50.680, 59.014, 66.439],
}
COLD_H = [0, 4, 8, 12, 16, 20, 24, 30, 36, 42, 48]
COLD_C = [12, 14, 16, 15, 12, 9, 6, 3, 0, -2, -4]
COLD = {
    "M(-10)": [92, 192, 294, 388, 470, 540, 627, 696, 750, 792],
    "M(0)": [52, 112, 174, 228, 270, 300, 327, 336, 336, 336],
    "Q5000": [2.217, 4.720, 7.300, 9.586, 11.487, 13.061, 15.009, 16.609, 17.963, 19.145],
    "40 kJ": [2.267, 4.815, 7.438, 9.772, 11.727, 13.358, 15.391, 17.073, 18.505, 19.761],
}


@pytest.mark.parametrize(
    ("hours", "readings", "table"),
    [(MILD_H, MILD_C, MILD), (COLD_H, COLD_C, COLD)],
    ids=["mild", "cold"],
)
def test_worked_histories(
    hours: list[float], readings: list[float], table: dict[str, list[float]]
) -> None:
    step = np.diff(hours)
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    for datum, name in ((-10.0, "M(-10)"), (0.0, "M(0)")):
        factor = temperature_time_factor(mean, step, datum)
        np.testing.assert_allclose(factor, table[name], rtol=0, atol=0.5)
    for ea, name in ((Q5000, "Q5000"), (40_000.0, "40 kJ")):
        age = equivalent_age(mean, step, lambda t, ea=ea: gamma_constant(t, ea, 23.0))
        np.testing.assert_allclose(age, table[name], rtol=0, atol=5.1e-4)


@pytest.mark.parametrize(
    ("hours", "minus_10", "zero"),
    [(24, 792, 552), (72, 2376, 1656), (168, 5544, 3864), (672, 22_176, 15_456)],
)
def test_standard_curing_at_23_c(hours: float, minus_10: float, zero: float) -> None:
    assert float(temperature_time_factor([23.0], hours, -10.0)[0]) == minus_10
    assert float(temperature_time_factor([23.0], hours)[0]) == zero


def test_twelve_hours_at_50_f() -> None:
    assert float(temperature_time_factor([10.0], 12.0, -10.0)[0]) == 240.0
    assert float(temperature_time_factor([10.0], 12.0)[0]) == 120.0


def test_28_days_at_18_c_with_plowmans_datum() -> None:
    # 19 488 °C h, which Plowman's tables round to 19 800: seen on a teaching page, no standard.
    assert float(temperature_time_factor([18.0], 672.0, -11.0)[0]) == 19_488.0


def test_iowa_materials_im_383() -> None:
    # Iowa DOT Materials IM 383: M = sum (T + 10) dt.
    assert temperature_time_factor([25.0, 15.0], 1.0, -10.0).tolist() == [35.0, 60.0]


def test_daily_mean_under_counts() -> None:
    # A day of 10 ± 10 °C: 0.5953 against 0.5475 at its mean; computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 10.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    age = equivalent_age(swing, 0.01, lambda t: gamma_constant(t, Q5000, 20.0))
    assert float(age[-1]) / 24.0 == pytest.approx(0.5953, abs=5e-5)


def test_clipping_step_by_step() -> None:
    # 5 ± 10 °C over the datum 0: 6.090 an hour clipped, 5.000 not; over -10: 15.0. Computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 5.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    assert float(temperature_time_factor(swing, 0.01)[-1]) / 24 == pytest.approx(6.090, abs=5e-4)
    assert float(temperature_time_factor(swing, 0.01, -10.0)[-1]) / 24 == pytest.approx(15.0)
