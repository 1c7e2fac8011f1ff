"""Strength at the anchors: likely and by nine of ten, against what each hold asks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from curecast.core.histories import PLACE_NAMES
from curecast.prospect.standing import HoldAnswer, SlabAnswer, strength_quantiles
from curecast.quantities import show_quantity
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
    line,
    spread,
    together,
    words,
)
from curecast.report.pictures.marks import STATE_WORDS, state_mark
from curecast.report.pictures.sheet import Shape, legend, picture, sample_line

_LABEL = 14.0
#: States without a date of their own.
STOPPED = ("withdrawn", "barred")


@dataclass(frozen=True)
class Growth:
    """Strength at the anchors: instants since 1970 [h], likely and by nine of ten [MPa]."""

    at_h: Array
    likely_mpa: Array
    count_on_mpa: Array
    places: tuple[str, ...]

    def at(self, at_h: float) -> tuple[float, float] | None:
        """Likely and nine-of-ten strength at an instant; None outside the history. [MPa]"""
        if not self.at_h[0] <= at_h <= self.at_h[-1]:
            return None
        return (
            float(np.interp(at_h, self.at_h, self.likely_mpa)),
            float(np.interp(at_h, self.at_h, self.count_on_mpa)),
        )


def growth_of(answer: SlabAnswer) -> Growth:
    """Strength where the anchors sit: the weaker of their places."""
    places = answer.strengths.places("anchor")
    likely, count_on = zip(*(strength_quantiles(answer, i) for i in places), strict=True)
    return Growth(
        answer.past.t_h + answer.origin_h,
        np.min(likely, axis=0),
        np.min(count_on, axis=0),
        tuple(PLACE_NAMES[i] for i in places),
    )


def strength_span(answer: SlabAnswer) -> tuple[float, float]:
    """From the pour to past the last date that can be counted on, hours since 1970. [h]"""
    first = float(np.floor(answer.record.start_h)) - 2.0
    dates = [h.count_on_h for h in answer.holds.values() if np.isfinite(h.count_on_h)]
    last = max([answer.now_h + 48.0, first + 96.0, *dates])
    if any(not np.isfinite(h.count_on_h) for h in answer.holds.values()):
        last = max(last, answer.origin_h + min(float(answer.past.t_h[-1]), 4320.0))
    return first, last + 0.04 * (last - first)


def strength_picture(answer: SlabAnswer, growth: Growth, shape: Shape, units: str) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.
    growth : Growth
        Its strength at the anchors.
    shape : Shape
        Wide or narrow.
    units : {"us", "si"}
        Whose units.
    """
    first, last = strength_span(answer)
    within = growth.at_h <= last
    times_h = growth.at_h[within]
    likely = shown(growth.likely_mpa[within], "strength", units)
    count_on = shown(growth.count_on_mpa[within], "strength", units)
    asked = {n: h for n, h in answer.holds.items() if h.rule.strength_mpa is not None}
    mpa = [h.rule.strength_mpa or 0.0 for h in asked.values()]
    needs = dict(zip(asked, shown(mpa, "strength", units).tolist(), strict=True))
    tests = [t for t in answer.record.tested if first <= t.at_h <= last]
    tested = [float(shown(t.strength_mpa, "strength", units)) for t in tests]
    top = 1.03 * max([float(np.nanmax(likely)), *needs.values(), *tested])
    low, high, step = rounded_limits(0.0, top, 6)
    key, head = legend(_legend(asked, bool(tests)), shape)
    height = head + (296.0 if shape.narrow else 236.0)
    room = 114.0 if shape.narrow else 176.0
    frame = Frame(
        shape, 48.0, shape.width - room, head + 24.0, height - 52.0, first, last,
        answer.job.site.zone, low, high,
    )  # fmt: skip
    x = frame.across(times_h)
    parts = [
        key,
        value_axis(frame, unit_sign("strength", units), step),
        time_axis(frame),
        band(x, frame.down(likely), frame.down(count_on), "band strength"),
        _needs(frame, asked, needs, units),
        curve(x, frame.down(likely), "likely"),
        curve(x, frame.down(count_on), "count-on"),
        time_marks(frame, answer.now_h),
        together(
            state_mark(h.state, frame.x(at_h), frame.y(needs[n]))
            for n, h in asked.items()
            if frame.holds(at_h := marked_h(h, answer.now_h))
        ),
        together(_test(frame, t.at_h, v) for t, v in zip(tests, tested, strict=True)),
    ]
    told = (
        f"Two rising lines, likely and by nine of ten, in {unit_sign('strength', units)}, at the"
        f" {' or '.join(growth.places)}; level lines for "
        + ", ".join(f"{n} {_said(h, units)}" for n, h in asked.items()) + "."
    )  # fmt: skip
    return picture("strength", shape, height, "Strength where the anchors sit", told, parts)


def marked_h(hold: HoldAnswer, now_h: float) -> float:
    """Where a hold's mark stands: at its date; at now where it has none, being stopped. [h]"""
    return now_h if hold.state in STOPPED else hold.count_on_h


def _said(hold: HoldAnswer, units: str) -> str:
    return show_quantity(hold.rule.strength_mpa, "strength", units)


def _needs(
    frame: Frame, asked: dict[str, HoldAnswer], needs: dict[str, float], units: str
) -> Markup:
    """A level line for each hold, named beyond the plot's right edge."""
    names = list(asked)
    wanted = [frame.y(needs[n]) + 4.0 for n in names]
    places = spread(wanted, _LABEL, frame.top + 4.0, frame.bottom + 4.0)
    parts: list[Markup] = []
    for name, y in zip(names, places, strict=True):
        level = frame.y(needs[name])
        text = name if frame.shape.narrow else f"{name} {_said(asked[name], units)}"
        parts.append(line(frame.left, level, frame.right, level, "need"))
        parts.append(line(frame.right, level, frame.right + 12, y - 4, "need"))
        parts.append(words(frame.right + 15, y, text))
    return together(parts)


def _test(frame: Frame, at_h: float, value: float) -> Markup:
    x, y = frame.x(at_h), frame.y(value)
    return line(x - 6, y, x + 6, y, "test") + line(x, y - 6, x, y + 6, "test")


def _legend(asked: dict[str, HoldAnswer], tested: bool) -> list[tuple[Markup, str]]:
    items = [
        (sample_line("likely"), "likely"),
        (sample_line("count-on"), "nine of ten"),
        (box(1, -5, 24, 10, "band strength"), "between the two"),
        (sample_line("need"), "needed"),
    ]
    for state in dict.fromkeys(h.state for h in asked.values()):
        items.append((state_mark(state, 13, 0), STATE_WORDS.get(state, state)))
    if tested:
        items.append((line(7, 0, 19, 0, "test") + line(13, -6, 13, 6, "test"), "test"))
    return items
