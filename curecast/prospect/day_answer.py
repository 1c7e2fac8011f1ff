"""The crew's day as ``crew`` answers it in JSON, and its instants."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from curecast.clock import from_unix_h
from curecast.prospect.case import takeoff_of
from curecast.prospect.crew_day import CrewDay
from curecast.prospect.day_limits import Limit


def instant_of(day: CrewDay, after_h: float) -> Any:
    """An instant of the day, to the minute; None where it never comes."""
    return _minute(day.start_h + after_h)


def _minute(unix_h: float | None) -> Any:
    if unix_h is None or not math.isfinite(unix_h):
        return None
    return from_unix_h(round(unix_h * 60.0) / 60.0)


def batch_rows(day: CrewDay) -> list[dict[str, Any]]:
    """One row a batch, or a truck's load; bags, water and volume add up to the take-off."""
    table = day.table
    if table is None or day.water_l is None:
        return [
            {
                "n": n,
                "bags": None,
                "water_l": None,
                "volume_m3": load.volume_m3,
                "mix_at": instant_of(day, load.mix_h),
                "chute_at": instant_of(day, load.chute_h),
                "placed_by": instant_of(day, load.placed_h),
                "empty_by": instant_of(day, load.empty_by_h),
                "next_by": instant_of(day, day.sets_h[n - 1]),
            }
            for n, load in enumerate(day.loads, 1)
        ]
    return [
        {
            "n": n + 1,
            "bags": bags,
            "water_l": bags * day.water_l,
            "mix_at": instant_of(day, float(table.mix_min[n]) / 60.0),
            "placed_by": instant_of(day, float(table.placed_min[n]) / 60.0),
            "next_by": instant_of(day, day.sets_h[n]),
        }
        for n, bags in enumerate(table.bags)
    ]


def finish_rows(day: CrewDay) -> list[dict[str, Any]]:
    """The windows of finishing."""
    return [
        {"step": w.step, "from": instant_of(day, w.from_h), "to": instant_of(day, w.to_h)}
        for w in day.windows
    ]


def compare_row(day: CrewDay) -> dict[str, Any]:
    """One crew in the table of crews; ``margin_h`` is what is left of the day."""
    assert day.crew is not None
    margin = day.ends.first_h - day.start_h - day.finished_h
    return {
        "people": day.crew.people,
        "mix": "drum" if day.crew.drum else "by hand",
        "bags_per_batch": day.crew.per_batch,
        "placed_by": instant_of(day, day.placed.screeded_h),
        "finished": instant_of(day, day.finished_h),
        "margin_h": margin if math.isfinite(margin) else None,
        "cold_joints": len(day.late),
        "person_hours": day.person_hours,
    }


def day_answer(
    day: CrewDay, limits: Sequence[Limit], compared: Sequence[CrewDay]
) -> dict[str, Any]:
    """All of a day.

    Parameters
    ----------
    day : CrewDay
        As worked through.
    limits : sequence of Limit
        Its bounds.
    compared : sequence of CrewDay
        Other crews on the same day; empty where nobody asked.
    """
    order = takeoff_of(day.job)
    crew = day.job.crew
    return {
        "start": _minute(day.start_h),
        "people": crew.people,
        "mix": crew.mix if day.crew else "truck",
        "bags": order.bags,
        "water_l": None if day.water_l is None or not order.bags else order.bags * day.water_l,
        "volume_m3": order.volume_m3,
        "batches": batch_rows(day),
        "finish": finish_rows(day),
        "limits": [{"what": x.what, "at": _minute(x.at_h), "why": x.why} for x in limits],
        "person_hours": day.person_hours,
        "placed_c": day.placed_c,
        "gap_h": day.gap_h,
        "finished": instant_of(day, day.finished_h),
        "chance_in_time": day.chance,
        "compare": [compare_row(other) for other in compared],
    }
