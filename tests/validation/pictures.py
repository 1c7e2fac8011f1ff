"""The two pictures of the page, drawn from the numbers that a test has just compared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from markupsafe import Markup

from curecast.report.pictures.axes import rounded_limits
from curecast.report.pictures.elements import box, curve, element, line, together, words

WIDTH, HEIGHT, LEFT, RIGHT, TOP = 860.0, 510.0, 60.0, 840.0, 72.0
COLOURS = {"surface": "#b3261e", "middle": "#7a5af5", "bottom": "#1c6b48"}
#: From the first hour to the last.
RAMP = ("#440154", "#46327e", "#365c8d", "#277f8e", "#1fa187", "#4ac16d", "#a0da39", "#d8b400")
STYLE = """
text{font:12px system-ui,sans-serif;fill:#222}
.title{font-size:15px;font-weight:600}
.line{fill:none}
.grid{stroke:#ddd}.axis{stroke:#555}
.cover{fill:#f0ead8}.slab{fill:#eee}
"""


class Axes:
    """A plot's frame: data in, pixels out."""

    def __init__(
        self,
        box_px: tuple[float, float, float, float],
        x: tuple[float, float],
        y: tuple[float, float],
    ) -> None:
        self.left, self.right, self.top, self.bottom = box_px
        self.x_of, self.y_of = x, y

    def x(self, value: Any) -> Any:
        low, high = self.x_of
        return self.left + (np.asarray(value) - low) / (high - low) * (self.right - self.left)

    def y(self, value: Any) -> Any:
        low, high = self.y_of
        return self.bottom - (np.asarray(value) - low) / (high - low) * (self.bottom - self.top)

    def up(self, values: Sequence[float], sign: str, form: str = "{:.0f}") -> Markup:
        parts = [words(self.left - 46, self.top - 12, sign)]
        for value in values:
            at = float(self.y(value))
            parts.append(line(self.left, at, self.right, at, "grid"))
            parts.append(words(self.left - 6, at + 4, form.format(value), anchor="end"))
        return together(parts)

    def across(self, values: Sequence[float], form: str = "{:.0f}") -> Markup:
        parts = [line(self.left, self.bottom, self.right, self.bottom, "axis")]
        for value in values:
            at = float(self.x(value))
            parts.append(line(at, self.top, at, self.bottom, "grid"))
            parts.append(words(at, self.bottom + 16, form.format(value), anchor="middle"))
        return together(parts)

    def drawn(self, x: Any, y: Any, colour: str, width: float, opacity: float = 1.0) -> Markup:
        path = curve(self.x(x), self.y(y), "", pixels=0.5)
        style = f"stroke:{colour};stroke-width:{width:g};stroke-opacity:{opacity:g}"
        return element("g", path, style=style)


def sheet(title: str, *inside: object) -> str:
    """One picture, with its title for those who hear it."""
    return str(
        element(
            "svg", element("title", title), element("style", Markup(STYLE)),
            element("rect", width=WIDTH, height=HEIGHT, fill="#fff"),
            words(LEFT, 22.0, title, "title"), *inside,
            xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}", role="img",
        )
    ) + "\n"  # fmt: skip


def steps_of(*values: Any, most: int = 6) -> tuple[float, float, list[float]]:
    """Limits on whole steps about the values, and the steps."""
    low, high, step = rounded_limits(
        min(float(np.min(v)) for v in values), max(float(np.max(v)) for v in values), most
    )
    return low, high, [low + i * step for i in range(round((high - low) / step) + 1)]


def week(
    title: str,
    hours: Any,
    air_c: Any,
    ours: Mapping[str, Any],
    reference: Mapping[str, Any],
    covers: Sequence[tuple[float, float]],
    limit_k: float,
) -> str:
    """Surface, middle and bottom by both solvers, and how far apart they are."""
    low, high, ticks = steps_of(air_c, *reference.values())
    end = float(hours[-1])
    top = Axes((LEFT, RIGHT, TOP, 330.0), (0.0, end), (low, high))
    settled = np.asarray(hours) >= 1.0
    apart = {n: (np.asarray(ours[n]) - np.asarray(reference[n]))[settled] for n in COLOURS}
    *limits, apart_ticks = steps_of(*apart.values(), most=4)
    foot = Axes((LEFT, RIGHT, 390.0, 470.0), (0.0, end), (limits[0], limits[1]))
    days = [24.0 * d for d in range(int(end // 24) + 1)]
    parts = [
        box(float(top.x(a)), TOP, float(top.x(b) - top.x(a)), 330.0 - TOP, "cover")
        for a, b in covers
    ]
    parts += [top.across(days), top.up(ticks, "°C")]
    parts.append(top.drawn(hours, air_c, "#888", 1.0))
    for name, colour in COLOURS.items():
        parts.append(top.drawn(hours, reference[name], colour, 5.0, 0.3))
        parts.append(top.drawn(hours, ours[name], colour, 1.2))
    said = f"difference from the first hour on, K; allowed: {limit_k}"
    parts += [foot.across(days), foot.up(apart_ticks, said, "{:.3f}")]
    for name, colour in COLOURS.items():
        parts.append(foot.drawn(np.asarray(hours)[settled], apart[name], colour, 1.2))
    parts.append(words(RIGHT, 504.0, "hours after the start", anchor="end"))
    return sheet(title, *parts, legend([*COLOURS.items(), ("air", "#888")]), note())


def note() -> Markup:
    said = "wide and pale: the reference; thin: curecast; shaded: covered"
    return words(RIGHT, 42.0, said, anchor="end")


def legend(names: Sequence[tuple[str, str]]) -> Markup:
    """Names beside strokes of their colours, in a row under the title."""
    parts, at = [], LEFT
    for name, colour in names:
        parts.append(
            element("g", line(at, 38.0, at + 18, 38.0, "line"),
                    style=f"stroke:{colour};stroke-width:3")
        )  # fmt: skip
        parts.append(words(at + 22, 42.0, name))
        at += 36.0 + 7.0 * len(name)
    return together(parts)


def profiles(
    title: str,
    slab_m: float,
    hours: Sequence[int],
    ours: Sequence[tuple[Any, Any]],
    reference: Sequence[tuple[Any, Any]],
) -> str:
    """Temperature against depth at some hours: lines by curecast, dots by the reference."""
    foot_m = 0.6
    low, high, ticks = steps_of(*(t[np.asarray(d) <= foot_m] for d, t in reference))
    plot = Axes((LEFT, RIGHT, TOP, 470.0), (low, high), (foot_m, 0.0))
    parts = [
        box(LEFT, TOP, RIGHT - LEFT, float(plot.y(slab_m)) - TOP, "slab"),
        plot.across(ticks),
        plot.up((0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6), "depth, m", "{:.1f}"),
    ]
    for colour, (depth, temp), (fine_depth, fine_temp) in zip(RAMP, ours, reference, strict=True):
        inside = np.asarray(depth) <= foot_m
        x, y = plot.x(np.asarray(temp)[inside]), plot.y(np.asarray(depth)[inside])
        path = "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x, y, strict=True))
        parts.append(element("path", d=path, class_="line", stroke=colour, stroke_width="1.6"))
        for at in np.arange(0.01, foot_m, 0.02):
            here = float(np.interp(at, fine_depth, fine_temp))
            parts.append(
                element("circle", cx=float(plot.x(here)), cy=float(plot.y(at)), r=2.2, fill=colour)
            )
    parts.append(words(LEFT + 6, float(plot.y(slab_m)) - 6, "concrete"))
    parts.append(words(LEFT + 6, float(plot.y(slab_m)) + 16, "soil"))
    parts.append(words(RIGHT, 504.0, "°C", anchor="end"))
    named = [(f"{h} h", colour) for h, colour in zip(hours, RAMP, strict=True)]
    said = words(RIGHT, 42.0, "lines: curecast; dots: the reference", anchor="end")
    return sheet(title, *parts, legend(named), said)
