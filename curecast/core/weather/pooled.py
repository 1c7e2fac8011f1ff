"""Two forecasts for one place: both are followed, and what they disagree by widens the doubt.

Of the members every source has its equal share, each member with the whole error of its own
source; the run without error goes by their mean. With two sources that lie d apart the spread
of the members is that of one source and d/2 beside it, and no verdict rests on the milder alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.weather.ensemble import Members
from curecast.core.weather.seams import SECOND_FADE_H
from curecast.core.weather.series import SPANS, HourlyWeather

Array = NDArray[np.float64]

_OBSERVED = SPANS.index("observed")


@dataclass(frozen=True)
class Spread:
    """How far two forecasts lie apart.

    Parameters
    ----------
    largest_k, mean_k : float
        Largest and mean absolute difference of the air in the hours that both know. [K]
    at_h : int
        When it is largest, since 1970-01-01T00:00 UTC. [h]
    first_c, second_c : float
        Both then. [°C]
    """

    largest_k: float
    mean_k: float
    at_h: int
    first_c: float
    second_c: float


def spread_of(
    first: HourlyWeather, second: HourlyWeather, from_h: float, until_h: float
) -> Spread | None:
    """How far two forecasts lie apart ahead.

    Parameters
    ----------
    first, second : HourlyWeather
        Of one place. [various]
    from_h, until_h : float
        Which hours are looked at, since 1970-01-01T00:00 UTC. [h]

    Returns
    -------
    Spread or None
        None where they share no such hour. [various]
    """
    low = int(np.ceil(max(first.start_h, second.start_h, from_h)))
    high = int(np.floor(min(first.end_h, second.end_h, until_h)))
    if high < low:
        return None
    one, two = (w.air_c[low - w.start_h : high + 1 - w.start_h] for w in (first, second))
    apart = np.abs(one - two)
    k = int(np.argmax(apart))
    return Spread(float(apart[k]), float(apart.mean()), low + k, float(one[k]), float(two[k]))


def told_by(base: HourlyWeather, other: HourlyWeather) -> HourlyWeather:
    """The base as another source tells it, hour by hour where that source speaks.

    Parameters
    ----------
    base : HourlyWeather
        With its past and what follows it. [various]
    other : HourlyWeather
        The other source. [various]

    Returns
    -------
    HourlyWeather
        The base's hours. What was observed stays; after the other source's last hour its
        difference fades within 24 h. [various]
    """
    low, high = max(base.start_h, other.start_h), min(base.end_h, other.end_h)
    if high < low:
        return base
    mine = slice(low - base.start_h, high + 1 - base.start_h)
    theirs = slice(low - other.start_h, high + 1 - other.start_h)
    ahead = base.span[mine] != _OBSERVED
    columns: dict[str, Array] = {}
    for name in ("air_c", "dew_point_c", "wind_ms", "cloud"):
        own = getattr(base, name).copy()
        given = getattr(other, name)[theirs]
        own[mine] = np.where(ahead & np.isfinite(given), given, own[mine])
        columns[name] = own
    after = np.arange(1, len(base) - mine.stop + 1)
    last_k = columns["air_c"][mine.stop - 1] - base.air_c[mine.stop - 1]
    fading_k = last_k * np.exp(-after / SECOND_FADE_H)
    columns["air_c"][mine.stop :] += fading_k
    columns["dew_point_c"][mine.stop :] += fading_k
    columns["dew_point_c"] = np.minimum(columns["dew_point_c"], columns["air_c"])
    return replace(base, **columns)  # type: ignore[arg-type]


def pooled(sources: Sequence[Members]) -> Members:
    """Members that follow all sources in turn.

    Parameters
    ----------
    sources : sequence of Members
        One a source, same hours, same count, drawn from the same seed. [various]

    Returns
    -------
    Members
        Column 0 is the mean of the runs without error; member k is that of source k modulo
        their number. [various]
    """
    if len(sources) == 1:
        return sources[0]
    tables: list[Array] = []
    for name in ("air_c", "dew_point_c", "wind_ms", "cloud"):
        table = getattr(sources[0], name).copy()
        table[:, 0] = np.mean([getattr(s, name)[:, 0] for s in sources], axis=0)
        for k, source in enumerate(sources):
            table[:, 1 + k :: len(sources)] = getattr(source, name)[:, 1 + k :: len(sources)]
        tables.append(table)
    return Members(sources[0].start_h, *tables)
