"""A table of hourly weather: CSV with the columns time, air_c and some optional ones."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Mapping

import numpy as np

from curecast.core.weather.series import Forecast
from curecast.errors import WeatherUnusable
from curecast.sources.hours import whole_hours
from curecast.sources.instants import parse_instant_h
from curecast.sources.samples import Samples, new_columns
from curecast.sources.units import dew_point_from_rh_c

__all__ = ["TABLE_COLUMNS", "parse_table"]

#: Columns that are read; all but ``rh`` bear the names of the hourly weather.
TABLE_COLUMNS = (
    "time", "air_c", "dew_point_c", "rh", "wind_ms", "cloud", "rain_mm", "chance_rain",
)  # fmt: skip
#: The usual step of a table may be this long. ASSUMED
_LONGEST_STEP_H = 3.0
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?")
_BLANK = ("", "nan", "na", "n/a", "null", "none", "-")
_HINT = "the columns are: time (ISO 8601 with offset), air_c, and any of " + " ".join(
    TABLE_COLUMNS[2:]
)

Row = dict[str, float]


def parse_table(text: str, what: str = "the table", *, fetched_h: float | None = None) -> Forecast:
    """A forecast from CSV text.

    Parameters
    ----------
    text : str
        One header line with ``time`` and ``air_c`` in any order, then one line for each
        time. Air and dew point in °C, 10 m wind in m/s, ``rh``, ``cloud`` and
        ``chance_rain`` 0..1, ``rain_mm`` from this line's time to the next one's.
    what : str
        Name of the table, for messages.
    fetched_h : float or None
        When it was read, since 1970-01-01T00:00 UTC; None takes its first hour. [h]

    Returns
    -------
    Forecast
        At whole hours; issued at its first hour.

    Raises
    ------
    WeatherUnusable
        With the line at fault; also for a usual step of more than 3 h and for gaps.
    """
    rows = list(_read_rows(text, what))
    if not rows:
        raise WeatherUnusable(f"{what} has a header but no lines of weather", hint=_HINT)
    rows.sort(key=lambda row: row["time"])
    step_h = _usual_step_h(rows, what)
    columns = new_columns()
    for row in rows:
        _take(row, columns)
    _share_out_rain(rows, step_h, columns["rain_mm"])
    weather, flags = whole_hours(columns, what)
    first_h = float(weather.start_h)
    return Forecast(what, first_h, first_h if fetched_h is None else fetched_h, weather, None,
                    None, flags)  # fmt: skip


def _read_rows(text: str, what: str) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    header: list[str] | None = None
    try:
        for fields in reader:
            if not any(field.strip() for field in fields):
                continue
            if header is None:
                header = _check_header(fields, what)
            else:
                yield _read_row(header, fields, f"{what}, line {reader.line_num}")
    except csv.Error as error:
        raise WeatherUnusable(
            f"{what}, line {reader.line_num}: {error}", hint="look for a quotation mark left open"
        ) from None
    if header is None:
        raise WeatherUnusable(f"{what} is empty", hint=_HINT)


def _check_header(fields: list[str], what: str) -> list[str]:
    header = [field.strip().lower() for field in fields]
    for name in ("time", "air_c"):
        if name not in header:
            found = ", ".join(name[:30] for name in header[:10])
            raise WeatherUnusable(f"{what} has no column {name}; it has: {found}", hint=_HINT)
    for name in TABLE_COLUMNS:
        if header.count(name) > 1:
            raise WeatherUnusable(f"{what} has the column {name} twice")
    return header


def _read_row(header: list[str], fields: list[str], where: str) -> Row:
    if len(fields) != len(header):
        raise WeatherUnusable(
            f"{where}: {len(fields)} fields, but the header has {len(header)}",
            hint="numbers need a decimal point, not a comma",
        )
    row: Row = {}
    for name, field in zip(header, fields, strict=True):
        if name == "time":
            try:
                row["time"] = parse_instant_h(field)
            except WeatherUnusable as error:
                raise WeatherUnusable(f"{where}: {error.message}", error.hint) from None
        elif name in TABLE_COLUMNS:
            row[name] = _number(field.strip(), f"{where}: {name}")
            if name in ("rh", "cloud", "chance_rain") and row[name] > 1.5:
                raise WeatherUnusable(f"{where}: {name} is {row[name]:g}, but it runs from 0 to 1")
    return row


def _number(field: str, where: str) -> float:
    if field.lower() in _BLANK:
        return math.nan
    if not _NUMBER.fullmatch(field) or not abs(value := float(field)) < 1e9:
        raise WeatherUnusable(
            f"{where} is {field[:30]!r}, not a plain number",
            hint="units stand in the column's name: air_c is in °C, wind_ms in m/s",
        )
    return value


def _usual_step_h(rows: list[Row], what: str) -> float:
    steps = np.diff(np.unique([row["time"] for row in rows]))
    if not len(steps):
        return 1.0
    step_h = float(np.median(steps))
    if step_h > _LONGEST_STEP_H + 1e-6:
        raise WeatherUnusable(
            f"{what} has a line only every {step_h:g} h; curecast needs one at least every 3 h"
        )
    return step_h


def _take(row: Row, columns: Mapping[str, Samples]) -> None:
    """One row's values that stand at its instant; the dew point also from ``rh``."""
    time_h = row["time"]
    for name, samples in columns.items():
        if name in row and name != "rain_mm":
            samples.add(time_h, row[name])
    rh, air_c = row.get("rh", math.nan), row["air_c"]
    if not math.isfinite(row.get("dew_point_c", math.nan)) and math.isfinite(rh + air_c):
        if rh < 0:
            columns["dew_point_c"].spoil(time_h, f"a relative humidity of {rh:g}")
        elif rh >= 0.01 and abs(air_c) <= 60.0:
            columns["dew_point_c"].add(time_h, dew_point_from_rh_c(air_c, min(rh, 1.0)))


def _share_out_rain(rows: list[Row], step_h: float, samples: Samples) -> None:
    """Rain from each row's time to the next one's, shared out over whole hours."""
    fallen: dict[int, float] = {}
    for row, after in zip(rows, [*rows[1:], None], strict=True):
        start_h, rain_mm = row["time"], row.get("rain_mm", math.nan)
        length_h = step_h if after is None else min(step_h, after["time"] - start_h)
        if length_h <= 0:
            continue
        end_h = start_h + length_h
        for hour in range(math.floor(start_h), math.ceil(end_h)):
            part = (min(end_h, hour + 1) - max(start_h, hour)) / length_h
            fallen[hour] = fallen.get(hour, 0.0) + part * rain_mm
    for hour, rain_mm in fallen.items():
        samples.add(float(hour), rain_mm)
