"""Maturity where the anchors sit: days at 20 °C by both ages, against what each hold asks."""

from __future__ import annotations

import numpy as np
from markupsafe import Markup

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.prospect.standing import SlabAnswer
from curecast.report.pictures.axes import (
    Frame,
    rounded_limits,
    time_axis,
    time_marks,
    value_axis,
)
from curecast.report.pictures.elements import Array, band, box, curve, line, spread, together, words
from curecast.report.pictures.sheet import Shape, legend, picture, sample_line
from curecast.report.pictures.strength import strength_span

_LABEL = 14.0
#: Holds whose needs lie closer than this share a line and a name. [d]
_SAME_D = 0.05


def maturity_picture(answer: SlabAnswer, shape: Shape) -> Markup:
    """Draw it.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.
    shape : Shape
        Wide or narrow.
    """
    first, last = strength_span(answer)
    at_h = answer.past.t_h + answer.origin_h
    within = at_h <= last
    likely, count_on, factor = (ages[within] for ages in _ages(answer))
    wanted = {
        name: hold.needed_d
        for name, hold in answer.holds.items()
        if hold.rule.strength_mpa is not None and np.isfinite(hold.needed_d)
    }
    most = float(np.nanmax(likely))
    shown = {name: days for name, days in wanted.items() if days <= 1.25 * most}
    low, high, step = rounded_limits(0.0, 1.03 * max([most, *shown.values()]), 5)
    key, head = legend(_legend(), shape)
    height = head + (256.0 if shape.narrow else 206.0)
    frame = Frame(
        shape, 48.0, shape.width - (114.0 if shape.narrow else 176.0), head + 24.0, height - 52.0,
        first, last, answer.job.site.zone, low, high,
    )  # fmt: skip
    x = frame.across(at_h[within])
    parts = [
        key,
        value_axis(frame, "days", step),
        time_axis(frame),
        band(x, frame.down(likely), frame.down(count_on), "band strength"),
        _asked(frame, shown),
        curve(x, frame.down(factor), "factor"),
        curve(x, frame.down(likely), "likely"),
        curve(x, frame.down(count_on), "count-on"),
        time_marks(frame, answer.now_h),
    ]
    told = "Rising lines, in days of curing in the warm; level lines for " + ", ".join(
        f"{name} {_days(days)}" for name, days in shown.items()
    )
    return picture("maturity", shape, height, "Maturity where the anchors sit", told, parts)


def _ages(answer: SlabAnswer) -> tuple[Array, Array, Array]:
    """Equivalent age, likely and by nine of ten, and the factor as an age, likely. [d]"""
    past, places = answer.past, answer.strengths.places("anchor")
    te = [past.te20_h[:, i, 1:] / 24.0 for i in places]
    ttf = [age_days_at_20_from_ttf(past.ttf_c_h[:, i, 1:]) for i in places]
    return (
        np.min([np.quantile(t, 0.5, axis=1) for t in te], axis=0),
        np.min([np.quantile(t, 0.1, axis=1) for t in te], axis=0),
        np.min([np.quantile(t, 0.5, axis=1) for t in ttf], axis=0),
    )


def _days(days: float) -> str:
    return f"{days:.1f} d" if days < 10.0 else f"{days:.0f} d"


def _asked(frame: Frame, asked: dict[str, float]) -> Markup:
    """A level line for what each hold needs; holds that need the same share their label."""
    groups: list[tuple[float, list[str]]] = []
    for name, days in sorted(asked.items(), key=lambda item: -item[1]):
        if groups and groups[-1][0] - days < _SAME_D:
            groups[-1][1].append(name)
        else:
            groups.append((days, [name]))
    places = spread(
        [frame.y(days) + 4.0 for days, _ in groups], _LABEL, frame.top + 4.0, frame.bottom + 4.0
    )
    parts: list[Markup] = []
    for (days, names), y in zip(groups, places, strict=True):
        level = frame.y(days)
        text = names[0] if frame.shape.narrow else f"{names[0]} {_days(days)}"
        parts.append(line(frame.left, level, frame.right, level, "need"))
        parts.append(line(frame.right, level, frame.right + 12, y - 4, "need"))
        parts.append(words(frame.right + 15, y, text))
    return together(parts)


def _legend() -> list[tuple[Markup, str]]:
    return [
        (sample_line("likely"), "equivalent age, likely"),
        (sample_line("count-on"), "by nine of ten"),
        (box(1, -5, 24, 10, "band strength"), "between the two"),
        (sample_line("factor"), "by the temperature-time factor"),
        (sample_line("need"), "needed"),
    ]
