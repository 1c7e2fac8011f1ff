"""Holds on a time axis: from likely to what can be counted on, with the state's mark."""

from __future__ import annotations

import math
from collections.abc import Mapping

from markupsafe import Markup

from curecast.clock import from_unix_h, show_day
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.report.pictures.axes import Frame, time_axis, time_marks
from curecast.report.pictures.elements import box, line, together, width_of, words
from curecast.report.pictures.marks import STATE_WORDS, state_mark
from curecast.report.pictures.sheet import TYPE, Shape, legend, picture
from curecast.report.pictures.strength import STOPPED, strength_span
from curecast.report.words import BEYOND, short_date

_ROW = 26.0
_NAME = 122.0


def dates_picture(answer: SlabAnswer, shape: Shape) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.
    shape : Shape
        Wide or narrow.
    """
    first, last = strength_span(answer)
    holds = answer.holds
    key, head = legend(_legend(holds), shape)
    top = head + 22.0
    bottom = top + _ROW * len(holds) + 4.0
    zone = answer.job.site.zone
    frame = Frame(shape, _NAME, shape.width - 16.0, top, bottom, first, last, zone)
    parts = [key, time_axis(frame)]
    for row, (name, hold) in enumerate(holds.items()):
        parts.append(_row(frame, top + _ROW * (row + 0.5) + 2.0, name, hold, answer.now_h))
    parts.append(time_marks(frame, answer.now_h))
    told = "; ".join(
        f"{name}: {STATE_WORDS.get(h.state, h.state)}, count on {short_date(h.count_on_h, zone)}"
        for name, h in holds.items()
    )
    return picture("dates", shape, bottom + 52.0, "Holds over time", told, parts)


def _row(frame: Frame, y: float, name: str, hold: HoldAnswer, now_h: float) -> Markup:
    parts = [
        words(frame.left - 8, y + 4, name, "strong", "end"),
    ]
    if hold.state in STOPPED:
        x = frame.x(min(max(now_h, frame.from_h), frame.to_h))
        return together(
            [
                *parts,
                line(frame.left, y, x, y, "grid"),
                state_mark(hold.state, x, y, 5.0),
                *_label(frame, x, x, y, f"{STATE_WORDS[hold.state]}, no date"),
            ]
        )
    far = not math.isfinite(hold.count_on_h)
    likely = min(max(hold.likely_h, frame.from_h), frame.to_h)
    end = frame.to_h if far else min(max(hold.count_on_h, frame.from_h), frame.to_h)
    parts.append(line(frame.left, y, frame.x(likely), y, "grid"))
    if math.isfinite(hold.likely_h):
        wide = frame.x(end) - frame.x(likely)
        parts.append(box(frame.x(likely), y - 3.5, wide, 7, "bar"))
    if hold.closes_h is not None and math.isfinite(hold.closes_h) and not far:
        close = frame.x(min(hold.closes_h, frame.to_h))
        parts.append(line(frame.x(end), y, close, y, "window"))
        parts.append(line(close, y - 5, close, y + 5, "window"))
    x = frame.x(end)
    if far:
        above = 5.0 if math.isfinite(hold.likely_h) else -4.0
        parts.append(words(frame.right - 4, y - above, BEYOND, "halo", "end"))
        return together(parts)
    parts.append(state_mark(hold.state, x, y, 5.0))
    text = short_date(hold.count_on_h, frame.zone)
    if frame.shape.narrow:
        text = show_day(from_unix_h(hold.count_on_h), frame.zone)
    else:
        text = f"{text}, {STATE_WORDS.get(hold.state, hold.state)}"
    return together([*parts, *_label(frame, frame.x(likely), x, y, text)])


def _label(frame: Frame, begin: float, end: float, y: float, text: str) -> list[Markup]:
    """Words right of a mark, or left of its bar where the right has no room."""
    if end + 12.0 + width_of(text, TYPE) <= frame.shape.width:
        return [words(end + 11.0, y + 4.0, text, "halo")]
    return [words(min(begin, end) - 9.0, y + 4.0, text, "halo", "end")]


def _legend(holds: Mapping[str, HoldAnswer]) -> list[tuple[Markup, str]]:
    items = [(box(1, -3.5, 24, 7, "bar"), "from likely to count on")]
    for state in dict.fromkeys(h.state for h in holds.values()):
        items.append((state_mark(state, 13, 0), STATE_WORDS.get(state, state)))
    if any(h.closes_h is not None for h in holds.values()):
        items.append((line(1, 0, 25, 0, "window"), "window open"))
    return items
