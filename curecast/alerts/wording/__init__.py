"""The words of every message: title and body, in the job's units and local time.

Each body says on what it rests, with what margin, what was read last, who decides, and how
to answer. Only a hold that its evidence carries is ever called released.
"""

from __future__ import annotations

from curecast.alerts.findings.kinds import (
    BarredTogether,
    BetterDay,
    DateMoved,
    DayChanged,
    Finding,
    FreezeAhead,
    HoldChanged,
    ProtectionFailing,
    ReadingWanted,
)
from curecast.alerts.findings.kinds_ahead import (
    BarLifted,
    CoverMayGo,
    RainAhead,
    TestDue,
    WeatherLost,
)
from curecast.alerts.wording import cold, days, holds, next_steps, sky
from curecast.alerts.wording.phrases import Words
from curecast.job.layout import Job

__all__ = ["Words", "word"]


def word(job: Job, found: Finding) -> Words:
    """A finding as people read it.

    Parameters
    ----------
    job : Job
        For its name, units and zone.
    found : Finding
        The news.

    Returns
    -------
    Words
        Title and body.
    """
    match found:
        case HoldChanged():
            return holds.hold_changed(job, found)
        case BarredTogether():
            return holds.barred_together(job, found)
        case DateMoved():
            return holds.moved(job, found)
        case ReadingWanted():
            return holds.reading(job, found)
        case FreezeAhead():
            return cold.freeze(job, found)
        case ProtectionFailing():
            return cold.failing(job, found)
        case DayChanged():
            return days.changed(job, found)
        case BetterDay():
            return days.better(job, found)
        case RainAhead():
            return sky.rain(job, found)
        case WeatherLost():
            return sky.lost(job, found)
        case CoverMayGo():
            return next_steps.uncover(job, found)
        case TestDue():
            return next_steps.test(job, found)
        case BarLifted():
            return next_steps.lifted(job, found)
    raise ValueError(f"no words for {type(found).__name__}")
