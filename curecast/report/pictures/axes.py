"""The frame of a picture: time across in local days, a quantity up in the job's units."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from markupsafe import Markup
from numpy.typing import ArrayLike

from curecast.clock import from_unix_h, show_day, starts_in_week, to_local
from curecast.quantities import KINDS
from curecast.report.pictures.elements import Array, line, together, width_of, words
from curecast.report.pictures.sheet import TYPE, Shape

_DAY_LABEL = 46.0
_EVERY = (1, 2, 7, 14, 28, 56, 112)
#: What people see on an axis, by kind and system of units: unit in `KINDS`, its sign.
_UNITS = {
    "temperature": {"si": ("C", "°C"), "us": ("F", "°F")},
    "strength": {"si": ("MPa", "MPa"), "us": ("psi", "psi")},
}


def shown(value: ArrayLike, kind: str, units: str) -> Array:
    """SI values in the units of a picture.

    >>> shown([0.0, 10.0], "temperature", "us").tolist()
    [32.0, 50.0]
    """
    factor, offset = KINDS[kind].units[_UNITS[kind][units][0]]
    return np.round((np.asarray(value, dtype=float) - offset) / factor, 9)


def unit_sign(kind: str, units: str) -> str:
    """The sign of the unit that a picture shows."""
    return _UNITS[kind][units][1]


@dataclass(frozen=True)
class Frame:
    """Where the plot lies in its picture, and what its edges stand for.

    Parameters
    ----------
    shape : Shape
        Wide or narrow.
    left, right, top, bottom : float
        Edges of the plot. [px]
    from_h, to_h : float
        Time at its left and right edge, since 1970-01-01T00:00 UTC. [h]
    zone : str or None
        Whose clock.
    low, high : float
        Value at its lower and upper edge. [shown unit]
    """

    shape: Shape
    left: float
    right: float
    top: float
    bottom: float
    from_h: float
    to_h: float
    zone: str | None
    low: float = 0.0
    high: float = 1.0

    def x(self, at_h: float) -> float:
        """Across, for one instant. [px]"""
        return float(self.across(at_h))

    def y(self, value: float) -> float:
        """Down, for one value. [px]"""
        return float(self.down(value))

    def across(self, at_h: ArrayLike) -> Array:
        """Across, for instants. [px]"""
        share = (np.asarray(at_h, dtype=float) - self.from_h) / (self.to_h - self.from_h)
        return np.asarray(self.left + share * (self.right - self.left))

    def down(self, value: ArrayLike) -> Array:
        """Down, for values. [px]"""
        share = (np.asarray(value, dtype=float) - self.low) / (self.high - self.low)
        return np.asarray(self.bottom - share * (self.bottom - self.top))

    def holds(self, at_h: float) -> bool:
        """Whether an instant lies between its edges; infinity never does."""
        return self.from_h <= at_h <= self.to_h


def nice_step(span: float, most: int) -> float:
    """A step of 1, 2 or 5 times a power of ten that parts a span at most so often.

    >>> nice_step(37.0, 6), nice_step(4000.0, 6)
    (10.0, 1000.0)
    """
    raw = span / max(most, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    return float(next(power * m for m in (1, 2, 5, 10) if power * m >= raw * (1 - 1e-9)))


def rounded_limits(low: float, high: float, most: int) -> tuple[float, float, float]:
    """Limits on whole steps about a span, and the step."""
    if not high - low > 1e-6:
        low, high = low - 1.0, high + 1.0
    step = nice_step(high - low, most)
    return math.floor(low / step) * step, math.ceil(high / step) * step, step


def value_axis(frame: Frame, sign: str, step: float) -> Markup:
    """Lines across, their values, and the unit above them."""
    parts: list[Markup] = [words(frame.left - 6, frame.top - 12, sign, "unit", "end")]
    for k in range(round((frame.high - frame.low) / step) + 1):
        value = round(frame.low + k * step, 9) + 0.0
        y = frame.y(value)
        said = f"{value:,.0f}" if step >= 1 else f"{value:.1f}"
        parts.append(line(frame.left, y, frame.right, y, "grid"))
        parts.append(words(frame.left - 6, y + 4, said, "tick", "end"))
    return together(parts)


def midnights(from_h: float, to_h: float, zone: str | None) -> list[float]:
    """Local midnights of a span, hours since 1970; a day has 23 to 25 hours. [h]"""
    found: list[float] = []
    for at in starts_in_week(from_h, to_h, zone, range(7), 0.0, 0.0):
        if not found or at - found[-1] > 12.0:
            found.append(at)
    return found


def time_axis(frame: Frame, foot: float | None = None) -> Markup:
    """Local midnights with the names of the days, from the plot's foot or a lane below it."""
    foot = frame.bottom if foot is None else foot
    nights = midnights(frame.from_h, frame.to_h, frame.zone)
    day_px = 24.0 * (frame.right - frame.left) / (frame.to_h - frame.from_h)
    every = next((k for k in _EVERY if k * day_px >= _DAY_LABEL), _EVERY[-1])
    parts = [line(frame.left, foot, frame.right, foot, "axis")]
    if day_px > 100.0:
        parts.append(_hours(frame, foot))
    for at in nights:
        named = every == 1 or _is_named(at, nights, every, frame.zone)
        x = frame.x(at)
        if every <= 2 or named:
            parts.append(line(x, frame.top, x, foot, "grid"))
        parts.append(line(x, foot, x, foot + (7 if named else 3), "axis"))
        if named and every > 1:
            parts.append(_day_label(frame, x, at, foot))
    if every == 1:
        edges = [frame.from_h, *nights, frame.to_h]
        for begin, end in pairwise(edges):
            if frame.x(end) - frame.x(begin) >= 0.9 * _DAY_LABEL:
                middle = 0.5 * (begin + end)
                parts.append(_day_label(frame, frame.x(middle), middle, foot))
    zone = f"local time, {frame.zone}" if frame.zone else "time in UTC"
    parts.append(words(frame.left, foot + 46, f"date ({zone})", "tick"))
    return together(parts)


def _is_named(at: float, nights: Sequence[float], every: int, zone: str | None) -> bool:
    """Whether a midnight gets a label: every second, or Mondays some weeks apart."""
    if every == 2:
        return nights.index(at) % 2 == 0
    mondays = [n for n in nights if to_local(from_unix_h(n), zone).weekday() == 0]
    return at in mondays and mondays.index(at) % (every // 7) == 0


def _day_label(frame: Frame, x: float, at: float, foot: float) -> Markup:
    day, date = show_day(from_unix_h(at), frame.zone).split(" ", 1)
    half = 0.5 * width_of(date, TYPE)
    if x + half > frame.shape.width or x - half < 0.0:
        return Markup("")
    return words(x, foot + 18, day, "tick", "middle") + words(x, foot + 31, date, "tick", "middle")


def _hours(frame: Frame, foot: float) -> Markup:
    """Short ticks at six, noon and eighteen hours, where a day is wide."""
    return together(
        line(frame.x(at), foot, frame.x(at), foot + 3, "axis")
        for hour in (6.0, 12.0, 18.0)
        for at in starts_in_week(frame.from_h, frame.to_h, frame.zone, range(7), hour, hour)
    )


def time_marks(frame: Frame, now_h: float, end_h: float | None = None) -> Markup:
    """Now, and where the forecast ends and the climate of the place takes over."""
    parts: list[Markup] = []
    free = frame.left
    if frame.holds(now_h):
        x, half = frame.x(now_h), 0.5 * width_of("now", TYPE)
        at = min(max(x, frame.left + half), frame.right - half)
        parts.append(line(x, frame.top, x, frame.bottom, "now"))
        parts.append(words(at, frame.top - 6, "now", "strong", "middle"))
        free = at + half + 6.0
    if end_h is not None and frame.holds(end_h):
        x = frame.x(end_h)
        parts.append(line(x, frame.top, x, frame.bottom, "end"))
        text = "forecast ends" if frame.shape.narrow else "forecast ends, climate after"
        wide = width_of(text, TYPE)
        at = min(x - 0.5 * wide, frame.shape.width - 2.0 - wide)
        parts.append(words(max(at, free), frame.top - 6, text, "tick"))
    return together(parts)
