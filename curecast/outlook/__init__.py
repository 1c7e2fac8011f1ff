"""The weather ahead for a job: asked for, joined, or as it is kept.

Offline is a normal state: whatever is younger than a day serves, with its age, and an older
one serves nobody.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.outlook.looking import Outlook, look_out
from curecast.outlook.several import read_several
from curecast.tracking import OLDEST_H

if TYPE_CHECKING:
    from curecast.store.connection import Store

__all__ = ["Outlook", "get_outlook", "look_out", "present_for", "read_several"]


def get_outlook(
    job: Job, now_h: float, *, file: str | Path | None = None, store: Store | None = None
) -> tuple[Forecast, str]:
    """The weather ahead, and what is to be said beside it; see ``look_out``."""
    outlook = look_out(job, now_h, file=file, store=store)
    return outlook.forecast, outlook.note


def present_for(forecast: Forecast, now_h: float, said: bool) -> tuple[float, str]:
    """The present by which a saved forecast is judged.

    Parameters
    ----------
    forecast : Forecast
        From a file.
    now_h : float
        The clock's present. [h]
    said : bool
        Whether ``--now`` fixed it.

    Returns
    -------
    now_h : float
        The clock's, unless the file is from another time: then its issue. [h]
    note : str
        Says so.
    """
    weather = forecast.weather
    usable = weather.start_h <= now_h + 1.0 and weather.end_h >= now_h + 48.0
    if said or (usable and now_h - forecast.issued_h <= OLDEST_H):
        return now_h, ""
    at = max(forecast.issued_h, float(weather.start_h))
    return at, "the saved forecast is from another time; its own issue is taken as now"
