"""A long history day by day: what the surface and the air ranged over, and what was read."""

from __future__ import annotations

import numpy as np
from markupsafe import Markup

from curecast.core.histories import SURFACE
from curecast.prospect.standing import SlabAnswer
from curecast.report.pictures.axes import (
    Frame,
    midnights,
    rounded_limits,
    shown,
    time_axis,
    time_marks,
    unit_sign,
    value_axis,
)
from curecast.report.pictures.elements import Array, box, line, together
from curecast.report.pictures.marks import READING_WORDS, reading_mark
from curecast.report.pictures.sheet import Shape, legend, picture
from curecast.report.pictures.temperature import (
    LANE,
    covers_lane,
    freeze_item,
    freeze_line,
    hatches,
    readings,
    with_freeze,
)


def history_picture(answer: SlabAnswer, shape: Shape, units: str) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab, some weeks old.
    shape : Shape
        Wide or narrow.
    units : {"us", "si"}
        Whose units.
    """
    zone = answer.job.site.zone
    first, last = float(np.floor(answer.record.start_h)) - 2.0, answer.now_h
    at_h = answer.past.t_h + answer.origin_h
    within = at_h <= last
    surface = np.median(answer.past.temp_c[within, SURFACE, 1:], axis=1)
    air = np.median(answer.past.air_c[within, 1:], axis=1)
    edges = [first, *midnights(first, last, zone), last]
    days = _ranges(at_h[within], np.array(edges), shown(surface, "temperature", units))
    airs = _ranges(at_h[within], np.array(edges), shown(air, "temperature", units))
    seen = [s for s in answer.record.seen if first <= s.at_h <= last]
    read = shown([s.value_c for s in seen], "temperature", units)
    freeze = float(shown(0.0, "temperature", units))
    every = np.concatenate([days.ravel(), airs.ravel(), read])
    every = with_freeze(every[np.isfinite(every)], units)
    low, high, step = rounded_limits(float(every.min()), float(every.max()), 5)
    items = [
        (box(9, -6, 8, 12, "range"), "surface, lowest to highest of the day"),
        (line(13, -7, 13, 7, "whisker"), "air at the slab, the same"),
        *([freeze_item(freeze, units)] if freeze >= low else []),
    ]
    for where in dict.fromkeys(s.where for s in seen):
        items.append((reading_mark(where, 13, 0), READING_WORDS.get(where, where)))
    key, head = legend(items, shape)
    height = head + 256.0
    frame = Frame(
        shape, 40.0, shape.width - 24.0, head + 24.0, height - 64.0, first, last, zone, low, high
    )
    parts = [
        hatches(shape, "history"),
        key,
        value_axis(frame, unit_sign("temperature", units), step),
        time_axis(frame, frame.bottom + LANE),
        covers_lane(frame, answer.spells, answer.origin_h, "history"),
        freeze_line(frame, freeze) if freeze >= low else Markup(""),
        _bars(frame, edges, days, airs),
        readings(frame, seen, read),
        time_marks(frame, answer.now_h),
    ]
    told = (
        f"Surface between {np.nanmin(days):.0f} and {np.nanmax(days):.0f}, air between"
        f" {np.nanmin(airs):.0f} and {np.nanmax(airs):.0f} {unit_sign('temperature', units)};"
        f" {len(seen)} readings."
    )
    return picture("history", shape, height, "Temperature since the pour, by days", told, parts)


def _ranges(at_h: Array, edges: Array, values: Array) -> Array:
    """Lowest and highest between each two edges, shape (day, 2); NaN where there is nothing."""
    found = np.full((len(edges) - 1, 2), np.nan)
    day = np.searchsorted(edges, at_h, side="right") - 1
    for k in range(len(found)):
        inside = values[day == k]
        if len(inside):
            found[k] = inside.min(), inside.max()
    return found


def _bars(frame: Frame, edges: list[float], days: Array, airs: Array) -> Markup:
    parts: list[Markup] = []
    for begin, end, day, air in zip(edges[:-1], edges[1:], days, airs, strict=True):
        if not np.isfinite([*day, *air]).all() or end - begin < 3.0:
            continue
        x, room = frame.x(0.5 * (begin + end)), frame.x(end) - frame.x(begin)
        wide = min(max(0.5 * room, 1.0), 8.0)
        top, foot = frame.y(day[1]), frame.y(day[0])
        parts.append(line(x, frame.y(air[1]), x, frame.y(air[0]), "whisker"))
        parts.append(box(x - 0.5 * wide, top, wide, max(foot - top, 1.0), "range"))
    return together(parts)
