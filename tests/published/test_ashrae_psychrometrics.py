"""ASHRAE Handbook of Fundamentals, saturation pressure, through psychrolib."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.weather.ensemble import dew_point_of
from tests.validation.rows import Agree

SOURCE = "psychrolib (ASHRAE Handbook of Fundamentals)"

psychrolib = pytest.importorskip("psychrolib")


def test_saturation_pressure_within_one_percent_above_0_c(agree: Agree) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    temps = np.arange(0.01, 60.0, 0.5)
    real = np.array([psychrolib.GetSatVapPres(float(t)) / 1000.0 for t in temps])
    agree(
        "saturation pressure, 0 to 60 °C", SOURCE, real, saturation_kpa(temps), 0.01 * real,
        "kPa", "library", note="Tetens' formula holds to 1 %",
    )  # fmt: skip


def test_dew_point(agree: Agree) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    airs, humidities = np.meshgrid([0.0, 5.0, 12.0, 20.0, 35.0], [0.4, 0.75, 1.0])
    real = [
        psychrolib.GetTDewPointFromRelHum(float(t), float(rh))
        for t, rh in zip(airs.flat, humidities.flat, strict=True)
    ]
    ours = dew_point_of(humidities * saturation_kpa(airs)).ravel()
    warm = np.array(real) >= 0.0
    agree(
        "dew point of air at 0 to 35 °C, 40 to 100 %, where it is above 0 °C", SOURCE,
        np.array(real)[warm], ours[warm], 0.15, "°C", "library",
        note="the 1 % of Tetens' pressure",
    )  # fmt: skip
    # Below 0 °C psychrolib's is a frost point, over ice: warmer than the dew point over water.
    assert (ours[~warm] < np.array(real)[~warm]).all()


def test_below_0_c_it_stands_over_water_not_ice(agree: Agree) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    ours = 1000 * float(saturation_kpa(-10.0))
    agree("over water at -10 °C, Tetens", SOURCE, 285.7, ours, 0.05, "Pa", "computed")
    assert float(saturation_kpa(-10.0)) > 1.05 * psychrolib.GetSatVapPres(-10.0) / 1000.0
