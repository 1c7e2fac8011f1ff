"""How the answer moved since the forecast before: the same starts, judged by both."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.clock import from_unix_h, show_day
from curecast.core.starts import Judged
from curecast.core.weather.series import Forecast
from curecast.prospect.plain_words import degrees, when
from curecast.prospect.start_words import start_words
from curecast.prospect.week import WeekAnswer, assess_week
from curecast.prospect.week_glance import best_of_days


@dataclass(frozen=True)
class Moved:
    """What an earlier forecast said of the best start of each day.

    Parameters
    ----------
    issued_h : float
        When it was made, hours since 1970. [h]
    pairs : tuple of (Judged, Judged)
        Each start by it, and by the newest.
    best_was : Judged or None
        The best of them by it; None where none worked.
    """

    issued_h: float
    pairs: tuple[tuple[Judged, Judged], ...]
    best_was: Judged | None


def moved_since(week: WeekAnswer, previous: Forecast) -> Moved | None:
    """Judge the best start of each day by an earlier forecast too.

    Parameters
    ----------
    week : WeekAnswer
        By the newest.
    previous : Forecast
        The earlier one.

    Returns
    -------
    Moved or None
        None where it reaches none of them by a day.
    """
    reach_h = float(previous.weather.end_h) - 24.0
    now = [week.starts[i] for i in best_of_days(week).values()]
    now = [one for one in now if one.candidate.start_h <= reach_h]
    if not now:
        return None
    then = assess_week(
        week.job, previous, previous.issued_h, only_h=[one.candidate.start_h for one in now]
    )
    best = None if then.best is None else then.starts[then.best]
    return Moved(previous.issued_h, tuple(zip(then.starts, now, strict=True)), best)


def moved_lines(week: WeekAnswer, moved: Moved) -> list[str]:
    """How the answer moved, in a line or a few."""
    job = week.job
    since = f"Since the forecast of {when(job, moved.issued_h)}"
    best = None if week.best is None else week.starts[week.best]
    said = []
    for was, now in moved.pairs:
        words = start_words(was), start_words(now)
        day = show_day(from_unix_h(now.candidate.start_h), job.site.zone)
        if words[0] != words[1]:
            said.append(f"{day} was “{words[0]}”, is “{words[1]}”")
        elif now is best:
            colds = was.frost.likely_coldest_c, now.frost.likely_coldest_c
            said.append(
                f"{day} still “{words[1]}”, likely coldest {degrees(job, colds[1])} after "
                f"{degrees(job, colds[0])}"
            )
    lines = [f"{since}: {'; '.join(said)}." if said else f"{since}: no verdict moved."]
    if moved.best_was is None and best is not None:
        lines.append("By that one no day worked.")
    elif moved.best_was is not None and not _same_day(week, moved.best_was, best):
        day = show_day(from_unix_h(moved.best_was.candidate.start_h), job.site.zone)
        lines.append(f"The best day then was {day}.")
    return lines


def _same_day(week: WeekAnswer, one: Judged, other: Judged | None) -> bool:
    if other is None:
        return False
    zone = week.job.site.zone
    days = {show_day(from_unix_h(j.candidate.start_h), zone) for j in (one, other)}
    return len(days) == 1
