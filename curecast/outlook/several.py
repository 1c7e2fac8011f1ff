"""More than one forecast for a place: which are followed beside the first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from curecast.core.weather.seams import followed
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.sources.forecast_file import read_forecast
from curecast.tracking import OLDEST_H, for_site, in_order

__all__ = ["fresh_beside", "read_several"]

#: A source that speaks of fewer hours ahead is no second opinion (ASSUMED). [h]
_LEAST_H = 24.0


def fresh_beside(
    newest: Iterable[Forecast], at_h: float, order: Sequence[str]
) -> tuple[Forecast, ...]:
    """The sources after the first that are young enough, and speak of a day ahead at least.

    Parameters
    ----------
    newest : iterable of Forecast
        One of each source.
    at_h : float
        Now. [h]
    order : sequence of str
        The services in their order: the first of them is left out.
    """
    fresh = [f for f in in_order(newest, order) if at_h - f.issued_h <= OLDEST_H]
    return tuple(f for f in fresh[1:] if f.weather.end_h >= at_h + _LEAST_H)


def read_several(files: Sequence[str | Path], job: Job) -> tuple[Forecast, tuple[Forecast, ...]]:
    """Saved forecasts for one place.

    Parameters
    ----------
    files : sequence of path
        Two or more, the better one first.
    job : Job
        For its height.

    Returns
    -------
    forecast : Forecast
        The first, carried on by the others where it ends.
    beside : tuple of Forecast
        The others.
    """
    given = []
    for file in files:
        one = for_site(read_forecast(file), job)
        name = Path(file).name
        source = one.source if name in one.source else f"{one.source} ({name})"
        given.append(replace(one, source=source))
    whole = given[0]
    for other in given[1:]:
        whole = followed(whole, other)
    return replace(whole, source=given[0].source), tuple(given[1:])
