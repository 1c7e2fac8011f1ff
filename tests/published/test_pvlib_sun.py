"""Sun and clear sky against pvlib: NREL's SPA for the place, Haurwitz for the radiation."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.heat.sun import clear_sky_w_m2, cos_zenith, through_cloud
from tests.validation.rows import Agree

pandas = pytest.importorskip("pandas")
pvlib = pytest.importorskip("pvlib")

PLACES = [(45.0, -93.3), (64.1, -21.9), (-33.9, 151.2), (3.0, 101.7), (71.0, 25.8)]


@pytest.mark.parametrize("place", PLACES)
def test_where_the_sun_stands(agree: Agree, place: tuple[float, float]) -> None:
    when = pandas.date_range("2024-01-03", "2034-12-30", freq="187h13min", tz="UTC")
    told = pvlib.solarposition.spa_python(when, *place)["zenith"].to_numpy()
    hours = np.asarray((when - pandas.Timestamp("1970-01-01", tz="UTC")) / pandas.Timedelta("1h"))
    ours = np.degrees(np.arccos(cos_zenith(hours, *place)))
    agree(f"zenith distance at {place[0]}, {place[1]}, eleven years",
          "Reda & Andreas 2004 (SPA), through pvlib", told, ours, 0.05, "°", "library",
          "0.05° is asked; the sun is half a degree wide")  # fmt: skip


def test_clear_sky(agree: Agree) -> None:
    # pvlib writes 0.059 where the paper as cited here has 0.057: 1 % apart above 15°.
    elevation = np.arange(15.0, 90.5, 0.5)
    told = pvlib.clearsky.haurwitz(pandas.Series(90.0 - elevation))["ghi"].to_numpy()
    ours = clear_sky_w_m2(np.sin(np.radians(elevation)))
    agree("clear sky, sun from 15° to 90°", "Haurwitz 1945, through pvlib", told, ours,
          0.01 * told, "W/m2", "library", "its exponent is 0.059, not 0.057: 1 %")  # fmt: skip
    assert clear_sky_w_m2([-0.3, 0.0]).tolist() == [0.0, 0.0]


def test_cloud(agree: Agree) -> None:
    # 1 - 0.75 (N/8)^3.4, N in eighths
    agree("share of the sun under 0, 4 and 8 eighths of cloud", "Kasten & Czeplak 1980",
          [1.0, 0.929, 0.25], through_cloud([0.0, 0.5, 1.0]), 5e-4, "", "computed")  # fmt: skip
