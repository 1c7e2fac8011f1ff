"""Set clocks of several starts of one day, and what the day has to end before."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.clock import from_unix_h, local_hour
from curecast.core.batches import Batch, run
from curecast.core.build.finishing import Placed, SetClock
from curecast.core.histories import SURFACE
from curecast.core.rules.limits import limits_of
from curecast.core.weather.climate import extended
from curecast.core.weather.ensemble import members
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.case import case_of
from curecast.prospect.week import _sunset_h
from curecast.prospect.week_weather import lead_days

Array = NDArray[np.float64]

#: How long a start is followed. [h]
_FOLLOW_H = 60.0


@dataclass(frozen=True)
class Ends:
    """What the day must end before, hours since 1970; None where nothing is known of it.

    ``cold_h``: the air at the slab falls through the limit of cold weather.
    """

    dark_h: float | None
    crew_h: float
    cold_h: float | None

    @property
    def first_h(self) -> float:
        """The first of them."""
        return min(h for h in (self.dark_h, self.crew_h, self.cold_h) if h is not None)


def clocks_of(
    job: Job, forecast: Forecast, starts: Array, placed: Placed
) -> tuple[list[SetClock], list[tuple[Array, Array]]]:
    """Set clocks of several starts, and the air at the slab with its hours since 1970."""
    case, latitude = replace(case_of(job), placing_h=placed.last_h), job.site.latitude
    until = math.ceil(starts[-1] + _FOLLOW_H) + 2
    weather = extended(forecast.weather, until, latitude, normals_c=job.climate.normals_c)
    lead = lead_days(weather, forecast.hour_issues_h(len(weather)))
    one = members(weather, lead, count=0, seed=0, latitude=latitude)
    past = run(case, one, Batch(starts, case.covers), _FOLLOW_H, latitude=latitude)
    at = np.concatenate([[0.0], case.middle_h + past.t_h])
    if at[1] <= 0.0:
        at = at[1:]
    clocks = []
    for i in range(len(starts)):
        temps = past.temp_c[:, SURFACE, i]
        clocks.append(SetClock(at, np.concatenate([temps[:1], temps])[-len(at) :]))
    hours = [s + case.middle_h + past.t_h for s in starts]
    return clocks, [(h, past.air_c[:, i]) for i, h in enumerate(hours)]


def ends_of(job: Job, start_h: float, air: tuple[Array, Array]) -> Ends:
    """What a start has to end before, by the job, the sun and the air at the slab."""
    limits = limits_of(
        job.rules.set, job.slab.thickness_m, strict=job.rules.strict, own=job.rules.thresholds
    )
    at, air_c = air
    mild = air_c >= limits.cold_air_c
    falls = np.flatnonzero(mild[:-1] & ~mild[1:])
    falls = falls[at[falls] < start_h + 24.0]
    clock = local_hour(from_unix_h(start_h), job.site.zone)
    return Ends(
        dark_h=_sunset_h(job, start_h),
        crew_h=start_h + job.crew.to_h - clock,
        cold_h=float(at[falls[0] + 1]) if len(falls) else None,
    )
