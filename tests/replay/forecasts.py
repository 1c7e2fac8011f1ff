"""A week's forecast of observed hours: air off as measured ones were, the rest as assumed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from curecast.core.concrete.evaporation import saturation_kpa
from curecast.core.weather.ensemble import dew_point_of
from curecast.core.weather.series import Forecast
from tests.replay.pairs import WEEK_H, forecast_c, usual_c
from tests.replay.stations import Station, observed, year, year_hours

#: Nothing measured says how far wind and cloud are off: as physics assumes (ASSUMED). [-]
_WIND_LOG_SD, _CLOUD_EITHER_WAY = 0.3, 0.2


def forecast_at(station: Station, now_h: int, rng: np.random.Generator) -> Forecast:
    """A forecast of the next seven days, made in the evening.

    Parameters
    ----------
    station : Station
        Where.
    now_h : int
        When it is made, hours since 1970, at about 18:00 of local solar time. [h]
    rng : Generator
        Draws its errors.
    """
    came = observed(station, now_h, WEEK_H)
    usual = usual_c(year(station)["air_c"])[year_hours(station, now_h, WEEK_H)]
    air = forecast_c(came.air_c, usual, rng)
    rh = np.minimum(saturation_kpa(came.dew_point_c) / saturation_kpa(came.air_c), 1.0)
    day = np.arange(WEEK_H) // 24
    gusts = np.exp(_WIND_LOG_SD * rng.standard_normal(7))[day]
    haze = _CLOUD_EITHER_WAY * rng.uniform(-1.0, 1.0, 7)[day]
    said = replace(
        came, air_c=air, dew_point_c=dew_point_of(rh * saturation_kpa(air)),
        wind_ms=came.wind_ms * gusts, cloud=np.clip(came.cloud + haze, 0.0, 1.0),
    )  # fmt: skip
    return Forecast("replay", float(now_h), float(now_h), said)
