"""Temperature as it was and as it may come: air, surface, middle, edge, and what was read."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from markupsafe import Markup

from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import EDGE, MIDDLE, PLACES, SURFACE
from curecast.core.weather.series import SPANS, HourlyWeather
from curecast.prospect.record import Seen
from curecast.prospect.standing import SlabAnswer
from curecast.report.pictures.axes import (
    Frame,
    rounded_limits,
    shown,
    time_axis,
    time_marks,
    unit_sign,
    value_axis,
)
from curecast.report.pictures.elements import (
    Array,
    band,
    box,
    curve,
    element,
    line,
    together,
    width_of,
    words,
)
from curecast.report.pictures.marks import READING_WORDS, reading_mark
from curecast.report.pictures.sheet import NARROW, Shape, legend, picture, sample_line

#: How far the outlook goes beyond now at least and at most. [h]
_AHEAD_H, _FAR_H = 72.0, 240.0
#: From this age on only the last days are drawn hour by hour. [h]
_LONG_H, _RECENT_H = 120.0, 120.0
#: What a phone shows before and after now. [h]
_PHONE_H = (60.0, 132.0)
LANE = 13.0
#: Freezing is no matter where nothing came down to this. [°C]
_FAR_ABOVE_C = 12.0


def forecast_end_h(weather: HourlyWeather) -> float | None:
    """The last hour that a source forecast or observed; None where all is climate. [h]"""
    known = np.flatnonzero(weather.span != SPANS.index("climatology"))
    return float(weather.start_h + known[-1]) if len(known) else None


def is_long(answer: SlabAnswer) -> bool:
    """Whether the slab is too old for one picture of every hour."""
    return answer.now_h - answer.record.start_h > _LONG_H


def is_followed(answer: SlabAnswer) -> bool:
    """Whether the history reaches into the days that would be drawn."""
    return span_of(answer, NARROW)[0] < answer.origin_h + float(answer.past.t_h[-1]) - 12.0


def span_of(answer: SlabAnswer, shape: Shape) -> tuple[float, float]:
    """From the pour, or the last days of an old slab, to the end of the outlook. [h]"""
    end = forecast_end_h(answer.weather)
    ahead = answer.now_h + _AHEAD_H if end is None else end + 12.0
    ahead = min(max(ahead, answer.now_h + _AHEAD_H), answer.now_h + _FAR_H)
    first = float(np.floor(answer.record.start_h)) - 2.0
    if is_long(answer):
        recent = _PHONE_H[0] if shape.narrow else _RECENT_H
        first = float(np.floor(answer.now_h)) - recent
    if shape.narrow:
        ahead = min(ahead, answer.now_h + _PHONE_H[1])
    return first, max(ahead, first + 96.0)


def temperature_picture(answer: SlabAnswer, shape: Shape, units: str) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.
    shape : Shape
        Wide or narrow.
    units : {"us", "si"}
        Whose units.
    """
    first, last = span_of(answer, shape)
    at_h = answer.past.t_h + answer.origin_h
    within = (at_h >= first) & (at_h <= last)
    at_h = at_h[within]
    temps = shown(answer.past.temp_c[within, :, 1:], "temperature", units)
    air = shown(answer.past.air_c[within, 1:], "temperature", units)
    low, high = np.quantile(temps[:, SURFACE], [0.1, 0.9], axis=1)
    likely = np.median(temps, axis=2)
    seen = [s for s in answer.record.seen if first <= s.at_h <= answer.now_h + 1.0]
    read = shown([s.value_c for s in seen], "temperature", units)
    freeze = float(shown(0.0, "temperature", units))
    air_likely = np.median(air, axis=1)
    every = np.concatenate([low, high, likely.ravel(), air_likely, read])
    every = with_freeze(every[np.isfinite(every)], units)
    bottom, top, step = rounded_limits(float(every.min()), float(every.max()), 6)
    key, head = legend(_legend(seen, freeze if freeze >= bottom else None, units), shape)
    height = head + (300.0 if shape.narrow else 254.0)
    frame = Frame(
        shape, 40.0, shape.width - 16.0, head + 24.0, height - 64.0, first, last,
        answer.job.site.zone, bottom, top,
    )  # fmt: skip
    x = frame.across(at_h)
    parts = [
        hatches(shape, "temperature"),
        key,
        value_axis(frame, unit_sign("temperature", units), step),
        time_axis(frame, frame.bottom + LANE),
        covers_lane(frame, answer.spells, answer.origin_h, "temperature"),
        band(x, frame.down(low), frame.down(high), "band surface"),
        freeze_line(frame, freeze) if freeze >= bottom else Markup(""),
        curve(x, frame.down(air_likely), "air"),
        curve(x, frame.down(likely[:, EDGE]), "edge"),
        curve(x, frame.down(likely[:, MIDDLE]), "middle"),
        curve(x, frame.down(likely[:, SURFACE]), "surface"),
        readings(frame, seen, read),
        time_marks(frame, answer.now_h, forecast_end_h(answer.weather)),
    ]
    told = f"{_told(likely, units)} {len(seen)} readings."
    return picture("temperature", shape, height, "Temperature of the slab", told, parts)


def _told(likely: Array, units: str) -> str:
    """What the lines say, for those who do not see them."""
    if not len(likely):
        return "The slab is not followed this far."
    ranges = ", ".join(
        f"{PLACES[i]} between {likely[:, i].min():.0f} and {likely[:, i].max():.0f}"
        for i in (SURFACE, MIDDLE, EDGE)
    )
    return f"Lines over time: {ranges} {unit_sign('temperature', units)}."


def _legend(seen: Sequence[Seen], freeze: float | None, units: str) -> list[tuple[Markup, str]]:
    items = [
        (sample_line("air"), "air at the slab"),
        (sample_line("surface"), "surface"),
        (sample_line("middle"), "middle"),
        (sample_line("edge"), "edge"),
        (box(1, -5, 24, 10, "band surface"), "surface, eight in ten"),
        *([] if freeze is None else [freeze_item(freeze, units)]),
    ]
    for where in dict.fromkeys(s.where for s in seen):
        items.append((reading_mark(where, 13, 0), READING_WORDS.get(where, where)))
    return items


def hatches(shape: Shape, name: str) -> Markup:
    """Patterns for a cover and for a heated enclosure."""
    slant = element(
        "pattern", line(0, 0, 0, 6, "hatch"), id=f"{name}-cover-{shape.name}",
        width="6", height="6", patternUnits="userSpaceOnUse", patternTransform="rotate(45)",
    )  # fmt: skip
    dots = element(
        "pattern",
        element("circle", cx="2", cy="2", r="1.1", class_="dot"),
        id=f"{name}-heat-{shape.name}", width="4", height="4", patternUnits="userSpaceOnUse",
    )  # fmt: skip
    return element("defs", slant, dots)


def covers_lane(frame: Frame, spells: Sequence[CoverSpell], origin_h: float, name: str) -> Markup:
    """When covers lay or will lie on, as a hatched lane under the plot."""
    parts: list[Markup] = []
    for spell in spells:
        begin = max(origin_h + spell.from_h, frame.from_h)
        end = min(origin_h + spell.to_h, frame.to_h)
        if end <= begin:
            continue
        x, wide = frame.x(begin), frame.x(end) - frame.x(begin)
        kind, text = ("heat", "heated") if spell.heat_to_c is not None else ("cover", "covered")
        area = box(x, frame.bottom + 1, wide, LANE - 2, "cover")
        parts.append(element("g", area, fill=f"url(#{name}-{kind}-{frame.shape.name})"))
        if wide > width_of(text, 10.0) + 8.0:
            parts.append(words(x + wide / 2, frame.bottom + LANE - 3, text, "lane", "middle"))
    return together(parts)


def with_freeze(values: Array, units: str) -> Array:
    """The values and freezing; without it where all lie far above, as in summer."""
    freeze, far = shown([0.0, _FAR_ABOVE_C], "temperature", units)
    return values if len(values) and values.min() > far else np.append(values, freeze)


def freeze_line(frame: Frame, freeze: float) -> Markup:
    """0 °C across the plot."""
    return line(frame.left, frame.y(freeze), frame.right, frame.y(freeze), "freeze")


def freeze_item(freeze: float, units: str) -> tuple[Markup, str]:
    """Its words for the legend."""
    return line(1, 0, 25, 0, "freeze"), f"freezing, {freeze:.0f} {unit_sign('temperature', units)}"


def readings(frame: Frame, seen: Sequence[Seen], read: Array) -> Markup:
    """What was read; of very many the lowest and highest in every two pixels."""
    columns: dict[tuple[str, int], list[int]] = {}
    for i, one in enumerate(seen):
        columns.setdefault((one.where, int(frame.x(one.at_h) / 2.0)), []).append(i)
    keep: set[int] = set()
    for found in columns.values():
        keep |= {min(found, key=lambda i: read[i]), max(found, key=lambda i: read[i])}
    return together(
        reading_mark(seen[i].where, frame.x(seen[i].at_h), frame.y(float(read[i])))
        for i in sorted(keep)
    )
