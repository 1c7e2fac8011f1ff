"""The crew's day in words: batches, loads, finishing windows and limits as they are printed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from curecast.clock import from_unix_h, local_hour, show_day, show_time_of_day
from curecast.job.layout import Job
from curecast.prospect.crew_day import CrewDay
from curecast.prospect.day_limits import Limit
from curecast.prospect.told import bag_water, volume

#: The texts of one line of a table.
Row = tuple[str, ...]


def clock_of(job: Job, unix_h: float | None, day_h: float) -> str:
    """Time of day at the slab; with its day where that is another than the start's."""
    if unix_h is None or not math.isfinite(unix_h):
        return "-"
    at = from_unix_h(round(unix_h * 60.0) / 60.0)
    text = show_time_of_day(round(local_hour(at, job.site.zone) * 60.0) % 1440 / 60.0)
    day = show_day(at, job.site.zone)
    return text if day == show_day(from_unix_h(day_h), job.site.zone) else f"{day} {text}"


def finish_words(day: CrewDay) -> list[Row]:
    """Step, from, to of every window; what never opens says so."""
    rows: list[Row] = []
    for w in day.windows:
        if not math.isfinite(w.from_h):
            rows.append((w.step, "too cold to set", "-"))
            continue
        if w.to_h - w.from_h < 1.0 / 60.0:
            at = clock_of(day.job, day.start_h + w.to_h, day.start_h)
            none = "none" if w.step == "bleed wait" else f"too late: the first batch sets {at}"
            rows.append((w.step, none, "-"))
            continue
        rows.append(
            (
                w.step,
                clock_of(day.job, day.start_h + w.from_h, day.start_h),
                clock_of(day.job, day.start_h + w.to_h, day.start_h)
                if math.isfinite(w.to_h)
                else "not set in two days: too cold",
            )
        )
    return rows


def batch_words(day: CrewDay) -> list[Row]:
    """Number, bags, water, mix at, placed by; empty for trucks."""
    table, water_l = day.table, day.water_l
    if table is None or water_l is None:
        return []
    return [
        (
            str(n + 1),
            str(bags),
            bag_water(day.job, bags * water_l),
            clock_of(day.job, day.start_h + float(table.mix_min[n]) / 60.0, day.start_h),
            clock_of(day.job, day.start_h + float(table.placed_min[n]) / 60.0, day.start_h),
        )
        for n, bags in enumerate(table.bags)
    ]


def load_words(day: CrewDay) -> list[Row]:
    """Number, volume, loaded at, chute at, placed by, empty by of every truck."""

    def at(hour: float) -> str:
        return clock_of(day.job, day.start_h + hour, day.start_h)

    return [
        (str(n), volume(day.job, load.volume_m3), at(load.mix_h), at(load.chute_h),
         at(load.placed_h), at(load.empty_by_h))
        for n, load in enumerate(day.loads, 1)
    ]  # fmt: skip


def limit_words(day: CrewDay, limits: Sequence[Limit]) -> list[Row]:
    """What, when and why of every bound, in the order of the day; those without an hour last."""
    ordered = sorted(limits, key=lambda x: math.inf if x.at_h is None else x.at_h)
    return [(x.what, clock_of(day.job, x.at_h, day.start_h), x.why) for x in ordered]
