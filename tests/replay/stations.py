"""Observed hours to replay: the typical years of two stations that pvlib brings along.

Each month of a typical year (TMY3) is one that was observed. Hours are local standard time at
the end of each hour; here they are set on UTC, so that sun and air keep step.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from curecast.core.weather.series import SPANS, HourlyWeather

YEAR_H = 8760
#: 1 January 2026, 00:00 UTC, in hours since 1970.
NEW_YEAR_H = 490_896


@dataclass(frozen=True)
class Station:
    """Where the hours were observed."""

    name: str
    file: str
    latitude: float
    longitude: float
    zone: str
    utc_offset_h: int

    @property
    def place(self) -> str:
        return f"{self.latitude}, {self.longitude}"


STATIONS = (
    Station("Greensboro", "723170TYA.CSV", 36.10, -79.95, "America/New_York", -5),
    Station("Sand Point", "703165TY.csv", 55.32, -160.52, "America/Anchorage", -9),
)


@lru_cache
def year(station: Station) -> dict[str, np.ndarray]:
    """A typical year of hours: air, dew point, wind, cloud."""
    import pvlib

    with (Path(pvlib.__file__).parent / "data" / station.file).open(encoding="utf-8") as file:
        next(file)
        rows = list(csv.DictReader(file))
    columns = {
        "air_c": "Dry-bulb (C)", "dew_point_c": "Dew-point (C)", "wind_ms": "Wspd (m/s)",
        "cloud": "TotCld (tenths)",
    }  # fmt: skip
    found = {k: np.array([float(r[c]) for r in rows]) for k, c in columns.items()}
    found["cloud"] /= 10.0
    return found


def evening_h(station: Station) -> int:
    """The UTC hour of day next to 17:40 of local solar time, when measured forecasts were made."""
    return round(17.6 - station.longitude / 15.0) % 24


def year_hours(station: Station, from_h: int, count: int) -> np.ndarray:
    """Which hours of the station's year a stretch of time falls on."""
    return (from_h - NEW_YEAR_H + station.utc_offset_h - 1 + np.arange(count)) % YEAR_H


def observed(station: Station, from_h: int, count: int) -> HourlyWeather:
    """A stretch of the station's year, ``from_h`` in hours since 1970. [h]"""
    at, hours = year_hours(station, from_h, count), year(station)
    none = np.full(count, np.nan)
    return HourlyWeather(
        from_h, *(hours[k][at] for k in ("air_c", "dew_point_c", "wind_ms", "cloud")), none, none,
        np.full(count, SPANS.index("forecast"), dtype=np.int8),
    )  # fmt: skip
