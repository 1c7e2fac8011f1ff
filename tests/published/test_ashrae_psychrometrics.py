"""ASHRAE Handbook of Fundamentals, saturation pressure, through psychrolib."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.evaporation import saturation_kpa
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


def test_below_0_c_it_stands_over_water_not_ice(agree: Agree) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    ours = 1000 * float(saturation_kpa(-10.0))
    agree("over water at -10 °C, Tetens", SOURCE, 285.7, ours, 0.05, "Pa", "computed")
    assert float(saturation_kpa(-10.0)) > 1.05 * psychrolib.GetSatVapPres(-10.0) / 1000.0
