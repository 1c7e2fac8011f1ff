"""Hourly weather as the core knows it: plain arrays on a run of whole UTC hours.

Values stand at the hour and are linear between hours; a forecast's value that holds
from an hour on is taken as standing at that hour. NaN means "not known", and only
the optional columns may hold it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.errors import WeatherUnusable

Array = NDArray[np.float64]

#: Where an hour came from, best first.
SPANS = ("observed", "forecast", "second forecast", "climatology")


@dataclass(frozen=True)
class HourlyWeather:
    """Weather at every whole hour from ``start_h`` on.

    Parameters
    ----------
    start_h : int
        First hour, counted from 1970-01-01T00:00 UTC. [h]
    air_c : ndarray, shape (hour,)
        Air temperature at 2 m; never NaN. [°C]
    dew_point_c : ndarray, shape (hour,)
        Dew point; NaN where unknown. [°C]
    wind_ms : ndarray, shape (hour,)
        Wind at 10 m; NaN where unknown. [m/s]
    cloud : ndarray, shape (hour,)
        Cloud cover 0..1; NaN where unknown. [-]
    rain_mm : ndarray, shape (hour,)
        Rain in the hour that begins here; NaN where unknown. [mm]
    chance_rain : ndarray, shape (hour,)
        Chance of rain 0..1 in that hour; NaN where unknown. [-]
    span : ndarray of int, shape (hour,)
        Index into ``SPANS``: where the hour came from. [-]
    """

    start_h: int
    air_c: Array
    dew_point_c: Array
    wind_ms: Array
    cloud: Array
    rain_mm: Array
    chance_rain: Array
    span: NDArray[np.int8]

    def __post_init__(self) -> None:
        n = len(self.air_c)
        if n == 0:
            raise WeatherUnusable("the weather holds no hours")
        for name in ("dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain", "span"):
            if len(getattr(self, name)) != n:
                raise WeatherUnusable(f"the weather's column {name} has another length than air_c")
        if not np.all(np.isfinite(self.air_c)):
            raise WeatherUnusable("an air temperature is missing in the weather")

    @property
    def end_h(self) -> int:
        """The last hour that is known, from 1970-01-01T00:00 UTC. [h]"""
        return self.start_h + len(self.air_c) - 1

    def __len__(self) -> int:
        return len(self.air_c)

    def from_hour(self, hour: int) -> HourlyWeather:
        """The same weather without what lies before ``hour``."""
        cut = max(0, hour - self.start_h)
        if cut >= len(self):
            raise WeatherUnusable("all hours of the weather lie in the past")
        return replace(
            self,
            start_h=self.start_h + cut,
            air_c=self.air_c[cut:],
            dew_point_c=self.dew_point_c[cut:],
            wind_ms=self.wind_ms[cut:],
            cloud=self.cloud[cut:],
            rain_mm=self.rain_mm[cut:],
            chance_rain=self.chance_rain[cut:],
            span=self.span[cut:],
        )


@dataclass(frozen=True)
class Origin:
    """A run of hours that came from one source, both ends counted.

    Parameters
    ----------
    source : str
        Who said it, as shown to people.
    issued_h : float
        When it was made, hours since 1970-01-01T00:00 UTC. [h]
    from_h, to_h : int
        First and last hour, on the same clock. [h]
    """

    source: str
    issued_h: float
    from_h: int
    to_h: int


@dataclass(frozen=True)
class Forecast:
    """One forecast, as a source gave it, or several joined.

    Parameters
    ----------
    source : str
        Who made it, as shown to people.
    issued_h : float
        When it was made, hours since 1970-01-01T00:00 UTC. [h]
    fetched_h : float
        When it was fetched, on the same clock. [h]
    weather : HourlyWeather
        Its hours.
    elevation_m : float or None
        Height of the source's ground at this place. [m]
    zone : str or None
        IANA time zone that the source names for the place.
    flags : tuple of str
        What was odd about it, in plain words (an hour filled in, a value dropped).
    credits : tuple of str
        Words that its source wants to see wherever its data are shown.
    origins : tuple of Origin
        Of a joined forecast: what came from where; empty where one source made all of it.
    """

    source: str
    issued_h: float
    fetched_h: float
    weather: HourlyWeather
    elevation_m: float | None = None
    zone: str | None = None
    flags: tuple[str, ...] = ()
    credits: tuple[str, ...] = ()
    origins: tuple[Origin, ...] = ()

    def hour_origins(self) -> tuple[Origin, ...]:
        """What came from where, in order of time: of a plain forecast one run of hours."""
        if self.origins:
            return self.origins
        weather = self.weather
        return (Origin(self.source, self.issued_h, weather.start_h, weather.end_h),)

    def hour_issues_h(self, count: int | None = None) -> Array:
        """When each hour was forecast.

        Parameters
        ----------
        count : int or None
            Hours wanted, from the first on; None: those of the forecast. After its end its
            last issue stands. [h]

        Returns
        -------
        ndarray, shape (hour,)
            Hours since 1970-01-01T00:00 UTC. [h]
        """
        issued = np.full(len(self.weather) if count is None else count, float(self.issued_h))
        for origin in self.origins:
            first = max(origin.from_h - self.weather.start_h, 0)
            issued[first:] = origin.issued_h
        return issued
