"""Clark & Allen 1978, emissivity of the night sky; worked out by hand from the formula."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.heat.surface import sky_emissivity, surroundings
from tests.validation.rows import Agree

SOURCE = "Clark & Allen 1978"


def test_emissivity(agree: Agree) -> None:
    # (0.787 + 0.764 ln(T_dew/273.15)) (1 + 0.0224 N - 0.0035 N2 + 0.00028 N3), N in tenths
    agree("clear sky, dew point -10, 0, 10 °C", SOURCE, [0.7585, 0.7870, 0.8145],
          sky_emissivity([-10.0, 0.0, 10.0], 0.0), 5e-5, "", "computed")  # fmt: skip
    agree("dew point 0 °C, 5 and 10 tenths of cloud", SOURCE, [0.8338, 0.9082],
          sky_emissivity([0.0, 0.0], [0.5, 1.0]), 5e-5, "", "computed")  # fmt: skip
    assert float(sky_emissivity(30.0, 1.0)) <= 1.0


def test_loss_of_a_clear_night(agree: Agree) -> None:
    # emissivity 0.9, air 0 °C, dew point -3 °C, clear: 0.9 x 315.68 x (1 - 0.7786) W/m2
    one = np.ones(1)
    around = surroundings(
        0.0 * one, -3.0 * one, one, 0.0 * one, 0.0, sky_view=1.0, sun=1.0, wind_factor=1.0
    )
    agree("loss to the clear sky against the air, 0 °C, dew point -3 °C", SOURCE, -62.91,
          around.sky_w_m2[0], 5e-3, "W/m2", "computed")  # fmt: skip
    half = surroundings(
        0.0 * one, -3.0 * one, one, 0.0 * one, 0.0, sky_view=0.3, sun=1.0, wind_factor=1.0
    )
    assert half.sky_w_m2[0] == pytest.approx(0.3 * around.sky_w_m2[0])
