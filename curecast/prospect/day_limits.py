"""What bounds the crew's day: the pace, the widest gap, the latest start, where to turn back."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from curecast.core.build.crewing import BARROW_M3, USEFUL_PEOPLE, Mixing
from curecast.core.concrete.setting import INITIAL_SET
from curecast.core.rules.limits import limits_of
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.crew_day import CrewDay, other_crew
from curecast.prospect.lap import lapped
from curecast.prospect.told import said

#: How far rain on the radar is seen ahead, and laying the sheet (ASSUMED). [h]
RADAR_H, SHEET_H = 1.0, 0.25
#: Why a bound of pace stands there.
PACE = "the pace to hold"
#: A chance of rain that is told. [-]
_RAIN_LIKELY = 0.3


@dataclass(frozen=True)
class Limit:
    """One bound: what, when in hours since 1970 (None: no instant), and why."""

    what: str
    at_h: float | None
    why: str


def limits_of_day(day: CrewDay, forecast: Forecast, now_h: float) -> list[Limit]:
    """Every bound of a day.

    Parameters
    ----------
    day : CrewDay
        As worked through.
    forecast : Forecast
        For its rain.
    now_h : float
        A latest start before this is none, hours since 1970. [h]
    """
    parts = (
        _pace(day),
        _gap(day),
        _start(day, now_h),
        _turn(day),
        _ends(day),
        _rain(day, forecast),
    )
    return [limit for part in parts for limit in part]


def turning_batch(day: CrewDay) -> int | None:
    """Number of the first batch from which the crew carries through; None for a truck."""
    if day.table is None:
        return None
    last_h = day.placed.last_h - RADAR_H + SHEET_H
    n = int(np.searchsorted(day.table.mix_min / 60.0, last_h - 1e-9))
    return 1 + min(n, len(day.sets_h) - 1)


def _pace(day: CrewDay) -> Iterable[Limit]:
    if day.table is None:
        return
    done = np.cumsum(day.table.bags)
    for quarter in (0.25, 0.5, 0.75, 1.0):
        i = int(np.searchsorted(done, math.ceil(quarter * done[-1])))
        at_h = day.start_h + float(day.table.placed_min[i]) / 60.0
        yield Limit(f"bag {done[i]} placed", at_h, PACE)


def _gap(day: CrewDay) -> Iterable[Limit]:
    kind = "load" if day.table is None else "batch"
    which = f"{kind} {day.gap_batch + 1}"
    if day.late:
        first = day.late[0]
        yield Limit(
            "cold joint",
            day.start_h + day.sets_h[first],
            f"by this plan {kind} {first + 1} sets before the next lies against it: more hands, or "
            "a smaller part at a time",
        )
    if not math.isfinite(day.gap_h):
        yield Limit("widest gap", None, "too cold to set: keep the concrete above freezing")
        return
    yield Limit(
        f"widest gap {said(day.job, day.gap_h, 'time')}",
        day.start_h + day.sets_h[day.gap_batch],
        f"{which} then begins to set ({INITIAL_SET:.0%} of the way): what comes later makes a cold "
        "joint".replace("%", " %"),
    )


def _start(day: CrewDay, now_h: float) -> Iterable[Limit]:
    why = "later, finishing runs past " + _first_name(day)
    if day.latest_h is None or day.latest_h < now_h - 0.1:
        yield Limit("latest start", None, f"none tried ends in time: finishing runs past "
                    f"{_first_name(day)}; more hands, or another day")  # fmt: skip
        return
    late = day.latest_h < day.start_h - 1e-6
    yield Limit("latest start", day.latest_h, why + (": this start is too late" if late else ""))


def _first_name(day: CrewDay) -> str:
    ends = day.ends
    named = {"the daylight": ends.dark_h, "the crew's day": ends.crew_h,
             "the fall of the temperature": ends.cold_h}  # fmt: skip
    return min((h, name) for name, h in named.items() if h is not None)[1]


def _turn(day: CrewDay) -> Iterable[Limit]:
    n = turning_batch(day)
    if n is None or day.table is None:
        yield from _truck(day)
        return
    at_h = day.start_h + float(day.table.mix_min[n - 1]) / 60.0
    yield Limit(
        f"point of no return: batch {n}",
        at_h,
        f"rain on the radar: before batch {n} stop at a straight, upright edge under a sheet; from "
        "it on carry through, the form is full before rain that is an hour away",
    )


def _truck(day: CrewDay) -> Iterable[Limit]:
    yield Limit(
        "point of no return: the last truck is loaded",
        day.start_h + day.placed.last_mix_h,
        "rain on the radar before that: put it off; after it carry through, a sheet on a frame",
    )
    for n, load in enumerate(day.loads, 1):
        yield Limit(
            f"load {n} empty",
            day.start_h + load.empty_by_h,
            "90 min after its water met the cement, by its ticket (common practice; ASTM C94 "
            "until 2021, since then by the order): what is later goes back",
        )


def _ends(day: CrewDay) -> Iterable[Limit]:
    job, ends = day.job, day.ends
    finished = day.start_h + day.finished_h if math.isfinite(day.finished_h) else None
    opens = next(w.from_h for w in day.windows if w.step == "float")
    if opens < day.placed.screeded_h:
        yield Limit("float before the last batch", day.start_h + opens,
                    "the first batch bears the float while others are still to place: one of the "
                    "crew leaves placing, or it is too late for a smooth face")  # fmt: skip
    why = "the last float or trowel leaves the face"
    if finished is None:
        why = "too cold to set: finishing would not end that day"
    yield Limit("finished", finished, why)
    yield Limit("crew's day ends", ends.crew_h, "as the job has it")
    if ends.dark_h is not None:
        yield Limit("daylight ends", ends.dark_h, "lamps at hand, or be finished")
    if ends.cold_h is not None:
        cold_c = limits_of(job.rules.set, job.slab.thickness_m).cold_air_c
        yield Limit("temperature falls", ends.cold_h,
                    f"the air at the slab goes below {said(job, cold_c, 'temperature')}: finished "
                    f"and covered by then, {lapped(job)}")  # fmt: skip


def _rain(day: CrewDay, forecast: Forecast) -> Iterable[Limit]:
    weather = forecast.weather
    if day.job.site.exposure != "open" and day.job.site.sky_view < 0.5:
        return
    hours = weather.start_h + np.arange(len(weather), dtype=float)
    rained = np.where(weather.rain_mm > 0.2, 0.5, 0.0)
    chance = np.where(np.isfinite(weather.chance_rain), weather.chance_rain, rained)
    final = day.clock.set_h(day.placed.last_mix_h)
    until = day.start_h + (final if math.isfinite(final) else 24.0)
    wet = (hours >= day.start_h - 1.0) & (hours < until) & (chance >= _RAIN_LIKELY)
    if wet.any():
        i = int(np.argmax(wet))
        yield Limit("rain likely", float(hours[i]),
                    f"{100 * chance[i]:.0f} % in that hour, before final set: the sheet stands "
                    "ready on a frame, never on the wet face")  # fmt: skip


def crew_variants(day: CrewDay) -> list[CrewDay]:
    """The same day with other crews, batches and a drum, the job's own among them."""
    if day.crew is None:
        return []
    own = day.crew
    one = BARROW_M3 if own.bag_m3 is None else own.bag_m3
    sizes = [n for n in sorted({1, 2, own.per_batch}) if n * one <= BARROW_M3 or n == own.per_batch]
    most = max(own.people, min(own.people + 2, USEFUL_PEOPLE))
    least = max(1, own.people - 1)
    return [
        other_crew(day, replace(own, people=people, per_batch=size, drum=drum))
        for people in range(least, most + 1)
        for drum in (False, True)
        for size in sizes
    ]


def change_lines(day: CrewDay) -> list[str]:
    """What one more person, or a drum for two bags at a time, would change."""
    if day.crew is None:
        return []
    tries: list[tuple[str, Mixing]] = [
        ("one more person", replace(day.crew, people=day.crew.people + 1))
    ]
    if not day.crew.drum:
        size = 2 if 2 * (day.crew.bag_m3 or BARROW_M3) <= BARROW_M3 else 1
        tries.append(("a drum mixer", replace(day.crew, drum=True, per_batch=size)))
    return [_change(day.job, name, day, other_crew(day, crew)) for name, crew in tries]


def _change(job: Job, name: str, day: CrewDay, other: CrewDay) -> str:
    sooner = day.placed.screeded_h - other.placed.screeded_h
    if abs(sooner) < 1.0 / 30.0:
        return f"{name}: changes nothing"
    word = "earlier" if sooner > 0 else "later"
    line = f"{name}: the last batch lies {said(job, abs(sooner), 'time')} {word}"
    ends = day.finished_h - other.finished_h
    if math.isfinite(ends) and abs(ends) > 1.0 / 30.0:
        word = "earlier" if ends > 0 else "later"
        line += f", finishing ends {said(job, abs(ends), 'time')} {word}"
    return line
