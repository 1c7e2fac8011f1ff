"""Writes the saved weather of the two sample jobs. All of it is invented.

Run from anywhere: ``python sample_jobs/weather/make_weather.py``.
"""

from __future__ import annotations

from pathlib import Path

from shapes import Hour, Place, eased, grid_payload, hourly_payload, write_payload

HERE = Path(__file__).resolve().parent

#: A cool week on the coast, over the clock change of 14 March 2027: two clear nights of
#: frost, a mild middle, rain on Thursday, and a clear frost at the end.
CRANE_BASE = Place("XCC", 61, 27, 44.10, -69.11, 7.0, "America/New_York", "2027-03-08T06:00")
#: (day, coldest about 6:00, warmest about 15:00, dew point, wind by day m/s, cloud, rain mm)
CRANE_DAYS = [
    ("mon", -2.0, 3.4, -6.0, 4.0, 0.25, 0.0),
    ("tue", -4.8, 3.9, -5.5, 3.0, 0.10, 0.0),
    ("wed", -4.2, 6.2, -2.0, 3.5, 0.35, 0.0),
    ("thu", 3.0, 7.4, 4.5, 6.5, 0.97, 13.0),
    ("fri", 3.9, 9.0, 2.0, 5.0, 0.60, 0.0),
    ("sat", 2.2, 7.1, -2.0, 6.0, 0.30, 0.0),
    ("sun", -3.6, 3.2, -7.0, 4.5, 0.08, 0.0),
    ("mon", -4.6, 2.8, -8.0, 3.0, 0.10, 0.0),
    ("tue", -3.0, 4.0, -5.0, 3.0, 0.40, 0.0),
]

#: April inland: cool nights, one frost, one warm, dry, windy afternoon, one day of rain.
SPRING_PAD = Place("XCC", 34, 52, 42.60, -77.40, 402.0, "America/New_York", "2027-04-12T06:00")
SPRING_DAYS = [
    ("mon", 2.4, 11.6, 1.0, 4.0, 0.45, 0.0),
    ("tue", -2.0, 13.0, -3.0, 2.5, 0.10, 0.0),
    ("wed", 3.1, 18.4, 1.0, 4.5, 0.25, 0.0),
    ("thu", 5.0, 24.2, -1.0, 9.5, 0.15, 0.0),
    ("fri", 4.9, 10.8, 6.5, 6.0, 0.96, 18.0),
    ("sat", 4.1, 9.6, 2.0, 5.0, 0.70, 0.0),
    ("sun", 0.6, 12.2, 0.0, 3.5, 0.30, 0.0),
    ("mon", 1.8, 14.6, 2.0, 3.5, 0.35, 0.0),
    ("tue", 3.5, 15.0, 3.0, 4.0, 0.50, 0.0),
]

Days = list[tuple[str, float, float, float, float, float, float]]


def invented_hour(days: Days, hour: int) -> Hour:
    """The weather ``hour`` hours after the first midnight."""
    air, dew, cloud = [], [], []
    for i, (_, coldest, warmest, dew_point, _, cover, _) in enumerate(days):
        air += [(24.0 * i + 6, coldest), (24.0 * i + 15, warmest)]
        dew += [(24.0 * i + 12, dew_point)]
        cloud += [(24.0 * i + 2, cover), (24.0 * i + 14, cover)]
    of_day = hour % 24
    _, _, _, _, wind, _, rain = days[min(hour // 24, len(days) - 1)]
    by_day = 0.55 + 0.45 * eased([(0, 0), (6, 0), (14, 1), (21, 0), (24, 0)], of_day)
    wet = rain > 0 and 5 <= of_day < 19
    air_c = eased(air, hour)
    return Hour(
        air_c=air_c,
        dew_point_c=min(eased(dew, hour), air_c - 0.3),
        wind_ms=wind * by_day,
        cloud=eased(cloud, hour),
        rain_mm=rain / 14 if wet else 0.0,
        chance_rain=0.85 if wet else max(0.0, round(0.35 * (eased(cloud, hour) - 0.4), 2)),
    )


def write_place(name: str, place: Place, days: Days) -> None:
    """Hourly: 156 periods from 6:00 of the first day; grid: from midnight, 7.5 days and 6 h."""
    hours = [invented_hour(days, hour) for hour in range(6 + 180)]
    write_payload(HERE / f"{name}-hourly.json", hourly_payload(place, hours[6:]))
    write_payload(HERE / f"{name}-grid.json", grid_payload(place, hours))


if __name__ == "__main__":
    write_place("crane-base", CRANE_BASE, CRANE_DAYS)
    write_place("spring-pad", SPRING_PAD, SPRING_DAYS)
