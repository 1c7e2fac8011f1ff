"""Forecast error of the National Weather Service at Omaha, September and October 2019.

Grid forecasts of lead days 1 to 7 with the observations of KMLE: 424 hours a lead day, ten
whole issues. Means over 72 h are within one issue. So few issues scatter by a fifth of
themselves: the model of the doubt is asked to come within that.
"""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.weather.doubt import air_error_c, forecast_sigma_c
from curecast.core.weather.series import HourlyWeather
from tests.validation.rows import Agree

SOURCE = "NWS forecasts and observations, Omaha 2019"
NOTE = "ten issues scatter by a fifth"
OCTOBER_H = 499_176 - 31 * 24  # 1 October 2026 or so: no winter factor
HOURLY = [1.80, 2.07, 1.98, 2.25, 2.76, 3.09, 3.42]
OVER_24_H = [1.05, 1.28, 1.11, 1.47, 2.06, 2.35, 2.55]
OVER_72_H = {(1, 3): 0.84, (3, 5): 1.34, (5, 7): 1.87}


@pytest.fixture(scope="module")
def errors() -> np.ndarray:
    """Errors of one issue's seven days, shape (hour, member)."""
    n = 168
    none = np.full(n, np.nan)
    weather = HourlyWeather(
        OCTOBER_H, np.zeros(n), none, none, none, none, none, np.ones(n, dtype=np.int8)
    )
    return air_error_c(weather, np.arange(n) / 24.0 + 0.5, 4000, 7, 41.0)


def rms(values: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def test_hourly(agree: Agree, errors: np.ndarray) -> None:
    ours = [rms(errors[24 * d : 24 * d + 24]) for d in range(7)]
    agree("standard error of an hour, lead days 1 to 7", SOURCE, HOURLY, ours,
          0.05 * np.array(HOURLY), "°C", "data", "5 %: fitted to these hours")  # fmt: skip
    middle = forecast_sigma_c(np.arange(1.0, 8.0), np.zeros(7, dtype=bool))
    assert middle.tolist() == [1.80, 2.05, 2.05, 2.25, 2.75, 3.10, 3.40]


def test_means(agree: Agree, errors: np.ndarray) -> None:
    days = [rms(errors[24 * d : 24 * d + 24].mean(axis=0)) for d in range(7)]
    agree("standard error of a 24 h mean, lead days 1 to 7", SOURCE, OVER_24_H, days,
          0.2 * np.array(OVER_24_H), "°C", "data", NOTE)  # fmt: skip
    spans = [rms(errors[24 * (a - 1) : 24 * b].mean(axis=0)) for a, b in OVER_72_H]
    told = np.array(list(OVER_72_H.values()))
    agree("standard error of a 72 h mean, lead days 1-3, 3-5, 5-7", SOURCE, told, spans,
          0.2 * told, "°C", "data", NOTE)  # fmt: skip
    # Independent hours would give a 72 h mean of a third of a degree: errors do not average out.
    assert spans[0] > 0.7
