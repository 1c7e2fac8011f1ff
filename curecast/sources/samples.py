"""Values as a source gave them, column by column, before they are trusted."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from curecast.errors import WeatherUnusable
from curecast.sources.instants import hour_text

__all__ = ["COLUMNS", "Samples", "clean", "new_columns", "refuse_if_spoilt"]

Array = NDArray[np.float64]


class _Column(NamedTuple):
    label: str
    low: float
    high: float
    unit: str
    alike: float


#: What each column may hold, and how far two values for one instant may differ and still
#: count as one. Bounds -60..57 °C: the coldest of North America (-63 at Snag) and the
#: world's hottest air (56.7), from memory; the others ASSUMED wide enough for real weather.
COLUMNS = {
    "air_c": _Column("air temperature", -60.0, 57.0, "°C", 1.0),
    "dew_point_c": _Column("dew point", -80.0, 40.0, "°C", 1.0),
    "wind_ms": _Column("wind", 0.0, 75.0, "m/s", 2.0),
    "cloud": _Column("cloud cover", 0.0, 1.0, "of the sky", 0.2),
    "rain_mm": _Column("rain", 0.0, 300.0, "mm/h", 1.0),
    "chance_rain": _Column("chance of rain", 0.0, 1.0, "of 1", 0.2),
}

#: More bad air temperatures than this within a day are no slip of the pen. ASSUMED
_MOST_BAD_A_DAY = 3
#: Share of bad values above which the whole payload is refused. ASSUMED
_MOST_BAD_SHARE = 0.05


@dataclass
class Samples:
    """One column: instants, values (NaN where the source says it does not know), and faults."""

    times_h: list[float] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    bad_h: list[float] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def add(self, time_h: float, value: float | None) -> None:
        """Take one value; None is a value that the source does not know."""
        self.times_h.append(time_h)
        self.values.append(math.nan if value is None else value)

    def spoil(self, time_h: float, fault: str) -> None:
        """Note a value that is not to be used; NaN where even its time is unknown."""
        self.bad_h.append(time_h)
        self.faults.append(fault)


def new_columns() -> dict[str, Samples]:
    """Empty samples for every column of the weather."""
    return {name: Samples() for name in COLUMNS}


def clean(name: str, samples: Samples) -> tuple[Array, Array]:
    """Known values within their bounds, in order of time, one for each instant.

    Parameters
    ----------
    name : str
        A key of ``COLUMNS``.
    samples : Samples
        As read; what is dropped here is added to its faults.

    Returns
    -------
    times_h, values : ndarray, shape (value,)
        Without unknown ones. [h], [unit of the column]
    """
    column = COLUMNS[name]
    times_h, values = np.array(samples.times_h), np.array(samples.values)
    known = np.isfinite(values) & np.isfinite(times_h)
    times_h, values = np.round(times_h[known], 6), values[known]
    slack = 1e-6
    absurd = (values < column.low - slack) | (values > column.high + slack)
    for i in np.flatnonzero(absurd):
        samples.spoil(
            times_h[i],
            f"{_amount(values[i])} {column.unit} at {hour_text(times_h[i])} is beyond "
            f"{column.low:g} to {column.high:g}",
        )
    times_h, values = times_h[~absurd], np.clip(values[~absurd], column.low, column.high)
    order = np.argsort(times_h, kind="stable")
    return _one_each(times_h[order], values[order], column.alike, samples)


def _amount(value: float) -> str:
    return f"{value:.5g}"


def _one_each(times_h: Array, values: Array, alike: float, samples: Samples) -> tuple[Array, Array]:
    """The first value of each instant; two that contradict each other are both unknown."""
    once_h, first, count = np.unique(times_h, return_index=True, return_counts=True)
    once = values[first]
    keep = np.ones(len(once), dtype=bool)
    for i in np.flatnonzero(count > 1):
        given = values[first[i] : first[i] + count[i]]
        if np.ptp(given) > alike:
            keep[i] = False
            samples.spoil(
                once_h[i],
                f"both {_amount(given.min())} and {_amount(given.max())} are given for "
                f"{hour_text(once_h[i])}",
            )
    return once_h[keep], once[keep]


def refuse_if_spoilt(name: str, samples: Samples, what: str) -> tuple[str, ...]:
    """A flag for the bad values of one column, or a refusal when there are too many.

    Parameters
    ----------
    name : str
        A key of ``COLUMNS``.
    samples : Samples
        With all its faults.
    what : str
        What was read, for the message.

    Returns
    -------
    tuple of str
        Empty, or one flag.

    Raises
    ------
    WeatherUnusable
        More than one bad value and more than 5 % of them, or more than three bad air
        temperatures within a day.
    """
    bad = len(samples.faults)
    if not bad:
        return ()
    label = COLUMNS[name].label
    # An absurd value stands in times_h as well as in bad_h: it counts once in the share.
    total = max(len(samples.times_h), bad)
    bad_h = np.sort(np.array([h for h in samples.bad_h if math.isfinite(h)]))
    n = _MOST_BAD_A_DAY
    crowded = name == "air_c" and bool(np.any(bad_h[n:] - bad_h[:-n] < 24.0))
    if bad > max(1.0, _MOST_BAD_SHARE * total) or crowded:
        raise WeatherUnusable(
            f"{what}: {bad} of {total} values of the {label} are not to be trusted "
            f"(first: {samples.faults[0]})",
            hint="fetch it again later, or use another source",
        )
    number = "1 value was" if bad == 1 else f"{bad} values were"
    return (f"{label}: {number} not to be trusted and dropped ({samples.faults[0]})",)
