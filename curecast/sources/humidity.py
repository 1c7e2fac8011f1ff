"""Humidity: the dew points that a payload leaves out, and a test of its units."""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping

from curecast.errors import WeatherUnusable
from curecast.sources.samples import Samples
from curecast.sources.units import dew_point_from_rh_c, rh_from_dew_point

__all__ = ["add_dew_points", "check_humidity"]

#: Median difference between the relative humidity that is given and the one that air and dew
#: point make: below 0.01 in recorded forecasts, above 0.5 where °F are called °C. ASSUMED
_CONTRADICTION = 0.25
#: Fewer hours than this prove nothing. ASSUMED
_FEWEST = 6


def _known(samples: Samples) -> dict[float, float]:
    pairs = zip(samples.times_h, samples.values, strict=True)
    return {time_h: value for time_h, value in pairs if math.isfinite(value)}


def add_dew_points(columns: Mapping[str, Samples], humidity: Samples) -> None:
    """Dew points from relative humidity, for the hours whose dew point is not given.

    Parameters
    ----------
    columns : mapping of str to Samples
        With ``air_c`` and ``dew_point_c``, which is added to.
    humidity : Samples
        Relative humidity, 0..1; 0 is how a service pads hours that it does not know. [-]
    """
    air, given = _known(columns["air_c"]), _known(columns["dew_point_c"])
    for time_h, rh in _known(humidity).items():
        air_c = air.get(time_h, math.nan)
        if time_h not in given and 0.01 <= rh <= 1.0 and abs(air_c) <= 60.0:
            columns["dew_point_c"].add(time_h, dew_point_from_rh_c(air_c, rh))


def check_humidity(columns: Mapping[str, Samples], humidity: Samples, what: str) -> None:
    """Refuse a payload whose air, dew point and humidity belong to different units.

    Parameters
    ----------
    columns : mapping of str to Samples
        With ``air_c`` and ``dew_point_c`` as the payload gives them. [°C]
    humidity : Samples
        Relative humidity as the payload gives it, 0..1. [-]
    what : str
        What was read, for the message.

    Raises
    ------
    WeatherUnusable
        They contradict each other in most hours.
    """
    air, dew = _known(columns["air_c"]), _known(columns["dew_point_c"])
    apart = [
        abs(rh_from_dew_point(air[time_h], dew[time_h]) - rh)
        for time_h, rh in _known(humidity).items()
        if 0.01 <= rh <= 1.0
        and abs(air.get(time_h, math.nan)) <= 60.0
        and abs(dew.get(time_h, math.nan)) <= 80.0
    ]
    if len(apart) >= _FEWEST and statistics.median(apart) > _CONTRADICTION:
        raise WeatherUnusable(
            f"{what}: its temperatures, dew points and humidities contradict each other, so a "
            "unit in it is wrong",
            hint="fetch it again later, or use another source",
        )
