"""ASHRAE Handbook of Fundamentals, saturation pressure, through psychrolib."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.concrete.evaporation import saturation_kpa

psychrolib = pytest.importorskip("psychrolib")


def test_saturation_pressure_within_one_percent_above_0_c() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    temps = np.arange(0.01, 60.0, 0.5)
    real = [psychrolib.GetSatVapPres(float(t)) / 1000.0 for t in temps]
    np.testing.assert_allclose(saturation_kpa(temps), real, rtol=0.01)


def test_below_0_c_it_stands_over_water_not_ice() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert float(saturation_kpa(-10.0)) * 1000 == pytest.approx(285.7, abs=0.05)  # Tetens, computed
    assert float(saturation_kpa(-10.0)) > 1.05 * psychrolib.GetSatVapPres(-10.0) / 1000.0
