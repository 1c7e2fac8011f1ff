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
from tests.validation.rows import Agree

SOURCE = "ASTM C1074"
AT_C = (5.0, 20.0, 23.0)
Q5000 = 5000.0 * 8.314  # J/mol; Q = 5000 K where it was not measured


def aged(temp_c: list[float], step_h: list[float] | float) -> np.ndarray:
    return equivalent_age(temp_c, step_h, lambda t: gamma_constant(t, Q5000))


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
def test_rates(agree: Agree, row: tuple[float, ...]) -> None:
    t, q20, ea20, datum_0, datum_minus_10, q23, ea23 = row
    ours = [gamma_constant(t, ea, at) for at in (20.0, 23.0) for ea in (Q5000, 40_000.0)]
    agree(
        f"rate at {t} °C, Q 5000 K and 40 kJ/mol, at 20 and 23 °C",
        SOURCE, [q20, ea20, q23, ea23], ours, 5e-5, "h/h", "computed",
    )  # fmt: skip
    days = [
        age_days_at_20_from_ttf(temperature_time_factor([t], 24.0, datum), datum)[0]
        for datum in (0.0, -10.0)
    ]
    agree(
        f"a day at {t} °C over data of 0 and -10 °C, as days at 20 °C",
        SOURCE, [datum_0, datum_minus_10], days, 5e-4, "d", "computed",
    )  # fmt: skip


def test_rate_at_5_c_uses_273_15(agree: Agree) -> None:
    # 273 for 273.15 would give 0.39821.
    ours = gamma_constant(5.0, Q5000)
    agree("rate at 5 °C, kelvin from 273.15", SOURCE, 0.39860, [ours], 5e-6, "h/h", "computed")


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
    ("history", "hours", "readings", "table"),
    [("mild, 72 h", MILD_H, MILD_C, MILD), ("cold, 48 h", COLD_H, COLD_C, COLD)],
)
def test_worked_histories(
    agree: Agree,
    history: str,
    hours: list[float],
    readings: list[float],
    table: dict[str, list[float]],
) -> None:
    step = np.diff(hours)
    mean = (np.array(readings[1:]) + np.array(readings[:-1])) / 2.0
    for datum, name in ((-10.0, "M(-10)"), (0.0, "M(0)")):
        factor = temperature_time_factor(mean, step, datum)
        what = f"worked history, {history}: {name}"
        agree(what, SOURCE, table[name], factor, 0.5, "°C h", "computed")
    for ea, name in ((Q5000, "Q5000"), (40_000.0, "40 kJ")):
        age = equivalent_age(mean, step, lambda t, ea=ea: gamma_constant(t, ea, 23.0))
        what = f"worked history, {history}: equivalent age at 23 °C, {name}"
        agree(what, SOURCE, table[name], age, 5.1e-4, "h", "computed")


@pytest.mark.parametrize(
    ("hours", "minus_10", "zero"),
    [(24, 792, 552), (72, 2376, 1656), (168, 5544, 3864), (672, 22_176, 15_456)],
)
def test_standard_curing_at_23_c(agree: Agree, hours: float, minus_10: float, zero: float) -> None:
    ours = [temperature_time_factor([23.0], hours, datum)[0] for datum in (-10.0, 0.0)]
    what = f"{hours} h at 23 °C over data of -10 and 0 °C"
    agree(what, SOURCE, [minus_10, zero], ours, 0.0, "°C h", "computed")


def test_twelve_hours_at_50_f(agree: Agree) -> None:
    ours = [temperature_time_factor([10.0], 12.0, datum)[0] for datum in (-10.0, 0.0)]
    what = "12 h at 10 °C over data of -10 and 0 °C"
    agree(what, SOURCE, [240.0, 120.0], ours, 0.0, "°C h", "computed")


def test_28_days_at_18_c_with_plowmans_datum(agree: Agree) -> None:
    # 19 488 °C h, which Plowman's tables round to 19 800.
    ours = temperature_time_factor([18.0], 672.0, -11.0)
    what = "28 d at 18 °C over Plowman's datum of -11 °C"
    agree(what, "Plowman's maturity on a teaching page", 19_488, ours, 0.0, "°C h", "supplier")


def test_iowa_materials_im_383(agree: Agree) -> None:
    # M = sum (T + 10) dt.
    ours = temperature_time_factor([25.0, 15.0], 1.0, -10.0)
    what = "an hour at 25 and one at 15 °C, by its formula"
    agree(what, "Iowa DOT Materials IM 383", [35.0, 60.0], ours, 0.0, "°C h", "computed")


@pytest.mark.parametrize(("temp_c", "days"), [(10.0, 12.8), (5.0, 17.6)])
def test_seven_days_at_20_c_take_longer_in_the_cold(
    agree: Agree, temp_c: float, days: float
) -> None:
    ours = 7.0 / gamma_constant(temp_c, Q5000)
    what = f"7 d at 20 °C, in days at {temp_c:.0f} °C, Q 5000 K"
    agree(what, SOURCE, days, [ours], 0.05, "d", "computed")


@pytest.mark.parametrize("temp_c", [-4.0, 3.0, 17.0])
def test_where_an_interval_is_cut_changes_nothing(temp_c: float) -> None:
    for age in (temperature_time_factor, aged):
        whole, cut = age([temp_c], 6.0), age([temp_c] * 3, [1.5, 0.5, 4.0])
        assert cut[-1] == pytest.approx(whole[-1], rel=1e-12)


def test_age_at_its_own_reference_is_clock_time(agree: Agree) -> None:
    ours = [equivalent_age([t], 31.0, lambda x, t=t: gamma_constant(x, Q5000, t))[-1] for t in AT_C]
    agree("31 h at the reference temperature, 5, 20, 23 °C", SOURCE, [31.0] * 3, ours, 1e-9, "h",
          "computed", note="an identity")  # fmt: skip


def test_daily_mean_under_counts(agree: Agree) -> None:
    # A day of 10 ± 10 °C: 0.5953 against 0.5475 at its mean; computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 10.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    age = equivalent_age(swing, 0.01, lambda t: gamma_constant(t, Q5000, 20.0))
    what = "mean rate of a day of 10 ± 10 °C, Q 5000 K"
    agree(what, SOURCE, 0.5953, age[-1] / 24.0, 5e-5, "h/h", "computed")


def test_clipping_step_by_step(agree: Agree) -> None:
    # 5 ± 10 °C over the datum 0: 6.090 an hour clipped, 5.000 not; over -10: 15.0. Computed.
    hour = (np.arange(2400) + 0.5) / 100.0
    swing = 5.0 + 10.0 * np.sin(2 * np.pi * hour / 24.0)
    clipped = temperature_time_factor(swing, 0.01)[-1] / 24
    whole = temperature_time_factor(swing, 0.01, -10.0)[-1] / 24
    what = "a day of 5 ± 10 °C, clipped at {} °C, an hour"
    agree(what.format(0), SOURCE, 6.090, clipped, 5e-4, "°C h", "computed")
    agree(what.format(-10), SOURCE, 15.0, whole, 1.5e-5, "°C h", "computed")
