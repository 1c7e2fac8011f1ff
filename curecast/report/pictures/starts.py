"""The air of the coming week, and under it every start in the lane of its verdict."""

from __future__ import annotations

import numpy as np
from markupsafe import Markup

from curecast.prospect.week import VERDICTS, WeekAnswer
from curecast.report.pictures.axes import (
    Frame,
    rounded_limits,
    shown,
    time_axis,
    time_marks,
    unit_sign,
    value_axis,
)
from curecast.report.pictures.elements import box, curve, element, line, together, words
from curecast.report.pictures.marks import VERDICT_WORDS
from curecast.report.pictures.sheet import Shape, legend, picture, sample_line
from curecast.report.pictures.temperature import freeze_item, freeze_line, with_freeze

_LANE = 18.0
_CLASS = dict(zip(VERDICTS, ("ok", "signed", "wait", "stop"), strict=True))


def week_span(answer: WeekAnswer) -> tuple[float, float]:
    """From now to a day past the last start, hours since 1970. [h]"""
    first = float(np.floor(answer.now_h)) - 2.0
    last = max([first + 7 * 24.0, *(s.candidate.start_h + 24.0 for s in answer.starts)])
    return first, last


def week_picture(answer: WeekAnswer, shape: Shape, units: str) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : WeekAnswer
        A judged week.
    shape : Shape
        Wide or narrow.
    units : {"us", "si"}
        Whose units.
    """
    first, last = week_span(answer)
    weather = answer.forecast.weather
    hours = weather.start_h + np.arange(len(weather), dtype=float)
    within = (hours >= first) & (hours <= last)
    air = shown(weather.air_c[within], "temperature", units)
    freeze = float(shown(0.0, "temperature", units))
    every = with_freeze(air, units)
    low, high, step = rounded_limits(float(every.min()) - 0.5, float(every.max()) + 0.5, 5)
    items = [(sample_line("surface"), "air by the forecast")]
    items += [freeze_item(freeze, units)] if freeze >= low else []
    if answer.best is not None:
        items.append((element("circle", cx="13", cy="0", r="8", class_="ring"), "best start"))
    key, head = legend(items, shape)
    top = head + 24.0
    bottom = top + 170.0
    foot = bottom + 8.0 + _LANE * len(VERDICTS)
    frame = Frame(
        shape, 104.0, shape.width - 14.0, top, bottom, first, last, answer.job.site.zone, low, high
    )
    parts = [
        key,
        value_axis(frame, unit_sign("temperature", units), step),
        time_axis(frame, foot),
        freeze_line(frame, freeze) if freeze >= low else Markup(""),
        curve(frame.across(hours[within]), frame.down(air), "surface"),
        _lanes(frame, answer),
        time_marks(frame, answer.now_h, float(weather.end_h)),
    ]
    said = f"between {air.min():.0f} and {air.max():.0f}" if len(air) else "unknown"
    told = (
        f"Air {said} {unit_sign('temperature', units)}; starts: "
        + ", ".join(
            f"{sum(s.verdict == v for s in answer.starts)} {VERDICT_WORDS[v]}" for v in VERDICTS
        ) + "."
    )  # fmt: skip
    return picture("week", shape, foot + 52.0, "Air of the week and its starts", told, parts)


def _lanes(frame: Frame, answer: WeekAnswer) -> Markup:
    """One lane a verdict: its place says it even without its mark."""
    wide = max(1.4, frame.x(frame.from_h + 1.0) - frame.left - 0.8)
    parts: list[Markup] = []
    for k, verdict in enumerate(VERDICTS):
        y = frame.bottom + 8.0 + _LANE * (k + 0.5)
        parts.append(words(frame.left - 8, y + 4, VERDICT_WORDS[verdict], "tick", "end"))
        parts.append(line(frame.left, y, frame.right, y, "grid"))
        for i, start in enumerate(answer.starts):
            if start.verdict != verdict or not frame.holds(start.candidate.start_h):
                continue
            x = frame.x(start.candidate.start_h)
            parts.append(box(x - 0.5 * wide, y - 5.0, wide, 10.0, f"start {_CLASS[verdict]}"))
            if i == answer.best:
                parts.append(element("circle", cx=x, cy=y, r=8.5, class_="ring"))
    return together(parts)
