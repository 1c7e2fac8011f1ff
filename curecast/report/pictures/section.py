"""The edge of a poured slab cut through: lines of equal temperature at two hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from curecast.core.protection import LAP_M
from curecast.prospect.edge_picture import SectionFields
from curecast.report.pictures.axes import nice_step, shown, unit_sign
from curecast.report.pictures.contours import contour_lines, with_column
from curecast.report.pictures.elements import (
    Array,
    box,
    element,
    line,
    number,
    together,
    width_of,
    words,
)
from curecast.report.pictures.sheet import TYPE, Shape, legend, picture
from curecast.report.words import short_date

#: What is shown of the slab from its edge inwards, of the soil beside and below. [m]
_INWARDS_M, _BESIDE_M, _BELOW_M = 0.9, 0.42, 0.32
#: Room over the slab for cover and anchors. [px]
_ABOVE = 16.0
#: Lines of equal temperature over both hours together, at most. [-]
_LINES = 8
#: Where on a line its label is tried, as a share of its points.
_TRIED = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)


@dataclass(frozen=True)
class _Panel:
    """Where one hour's section lies: metres from the centre line and below the top to pixels."""

    left: float
    top: float
    scale: float
    from_m: float
    to_m: float
    deep_m: float

    def x(self, at_m: float) -> float:
        return self.left + self.scale * (at_m - self.from_m)

    def z(self, below_m: float) -> float:
        return self.top + self.scale * below_m


def section_picture(
    fields: SectionFields, shape: Shape, units: str, zone: str | None, anchor_m: float | None
) -> Markup:
    """Draw it.

    Parameters
    ----------
    fields : SectionFields
        The section at two hours.
    shape : Shape
        Wide: side by side; narrow: one below the other.
    units : {"us", "si"}
        Whose units.
    zone : str or None
        Whose clock.
    anchor_m : float or None
        How deep the anchors reach; None where nobody said. [m]
    """
    half_m = 0.5 * fields.section.width_m
    from_m, to_m = max(0.0, half_m - _INWARDS_M), half_m + _BESIDE_M
    deep_m = fields.section.column.thickness_m + _BELOW_M
    columns = 1 if shape.narrow else 2
    wide = (shape.width - 24.0 * columns) / columns
    scale = min(wide / (to_m - from_m), 520.0)
    key, head = legend(_legend(units, anchor_m), shape)
    tall = 20.0 + _ABOVE + scale * deep_m + 18.0
    shown_c = [shown(field, "temperature", units) for field in fields.fields_c]
    levels = _levels(shown_c, fields, from_m, to_m, deep_m)
    freeze = float(shown(0.0, "temperature", units))
    parts = [_hatch(shape), key]
    for k, at_h in enumerate(fields.at_h):
        left = 12.0 + (k % columns) * (wide + 24.0) + 0.5 * (wide - scale * (to_m - from_m))
        top = head + 20.0 + _ABOVE + (k // columns) * tall
        panel = _Panel(left, top, scale, from_m, to_m, deep_m)
        parts.append(words(left, top - _ABOVE - 6.0, short_date(at_h, zone), "strong"))
        parts.append(_still(panel, fields, k, shape, anchor_m))
        parts.append(_isotherms(panel, fields, shown_c[k], levels, freeze))
    height = head + tall * (-(-len(fields.at_h) // columns)) + 4.0
    title = "The slab's edge cut through, with lines of equal temperature"
    return picture("section", shape, height, title, fields.said, parts)


def _levels(
    shown_c: Sequence[Array], fields: SectionFields, from_m: float, to_m: float, deep_m: float
) -> list[float]:
    """Levels on whole steps, the freezing point's own among them."""
    seen = np.ix_(fields.z_m <= deep_m, (fields.x_m >= from_m) & (fields.x_m <= to_m))
    low = min(float(np.nanmin(field[seen])) for field in shown_c)
    high = max(float(np.nanmax(field[seen])) for field in shown_c)
    step = max(nice_step(max(high - low, 1e-6), _LINES), 0.5)
    first = int(np.ceil(low / step))
    return [round(step * n, 9) for n in range(first, int(np.floor(high / step)) + 1)]


def _isotherms(
    panel: _Panel, fields: SectionFields, field: Array, levels: Sequence[float], freeze: float
) -> Markup:
    """The lines with one label each, the freezing line the boldest."""
    x_m, z_m, padded = _framed(panel, fields, field)
    lines: list[Markup] = []
    labels: list[Markup] = []
    taken: list[tuple[float, float, float]] = []
    for level in sorted({*levels, freeze}):
        text = f"{level:.1f}".removesuffix(".0")
        class_ = "isotherm frost" if level == freeze else "isotherm"
        drawn = [
            piece
            for chain in contour_lines(x_m, z_m, padded, level)
            for piece in _inside(panel, chain)
        ]
        lines += [element("path", d=_path(piece), class_=class_) for piece in drawn]
        for piece in sorted(drawn, key=len, reverse=True)[:1]:
            labels += _label(panel, piece, text, taken)
    return together([*lines, *labels])


def _framed(panel: _Panel, fields: SectionFields, field: Array) -> tuple[Array, Array, Array]:
    """The field out to centre line and top, with a row and columns on the picture's borders."""
    x_m, z_m = np.concatenate([[0.0], fields.x_m]), np.concatenate([[0.0], fields.z_m])
    framed = np.pad(field, ((1, 0), (1, 0)), mode="edge")
    for border_m in (panel.from_m, panel.to_m):
        x_m, framed = with_column(x_m, framed, border_m)
    z_m, turned = with_column(z_m, framed.T, panel.deep_m)
    return x_m, z_m, turned.T


def _inside(panel: _Panel, chain: Array) -> list[Array]:
    """The pieces of a line that lie in the picture, in pixels."""
    keep = (chain[:, 0] >= panel.from_m - 1e-9) & (chain[:, 0] <= panel.to_m + 1e-9)
    keep &= chain[:, 1] <= panel.deep_m + 1e-9
    pixels = np.array([panel.x(0.0), panel.z(0.0)]) + panel.scale * chain
    edges = np.flatnonzero(np.diff(np.concatenate([[False], keep, [False]])))
    return [pixels[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _path(pixels: Array) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in pixels)


def _label(
    panel: _Panel, piece: Array, text: str, taken: list[tuple[float, float, float]]
) -> list[Markup]:
    """A label on its line where no other lies; none where there is no room."""
    half = 0.5 * width_of(text, TYPE) + 2.0
    right, foot = panel.x(panel.to_m), panel.z(panel.deep_m)
    for share in _TRIED:
        x, y = (float(v) for v in piece[int(share * (len(piece) - 1))])
        free = all(abs(x - a) > half + h or abs(y - b) > TYPE + 3.0 for a, b, h in taken)
        within = panel.left + half <= x <= right - half and panel.top + 8.0 <= y <= foot - 4.0
        if free and within:
            taken.append((x, y, half))
            return [words(x, y + 4.0, text, "halo", "middle")]
    return []


def _still(
    panel: _Panel, fields: SectionFields, k: int, shape: Shape, anchor_m: float | None
) -> Markup:
    """What does not change with temperature: slab, soil, form, cover, anchors."""
    section = fields.section
    half_m, thick_m = 0.5 * section.width_m, section.column.thickness_m
    grade_m = thick_m if section.above_grade_m is None else section.above_grade_m
    side, right, foot = panel.x(half_m), panel.x(panel.to_m), panel.z(panel.deep_m)
    top, under, grade = panel.z(0.0), panel.z(thick_m), panel.z(grade_m)
    below = box(panel.left, under, side - panel.left, foot - under, "ground")
    beside = box(side, grade, right - side, foot - grade, "ground")
    parts = [
        element("g", below, beside, fill=f"url(#section-soil-{shape.name})"),
        line(side, grade, right, grade, "outline"),
        element("path", d=f"M{number(panel.left)} {number(top)}H{number(side)}V{number(under)}"
                f"H{number(panel.left)}", class_="outline slab"),
    ]  # fmt: skip
    if panel.from_m == 0.0:
        parts.append(line(panel.left, top, panel.left, foot, "centre"))
        parts.append(words(panel.left, foot + 13.0, "centre line", "tick"))
    if fields.formed[k] and section.form_r_m2k_w > 0.0 and grade_m > 0.0:
        parts.append(box(side + 1.0, top, 6.0, grade - top, "form"))
    if fields.covers[k].covered:
        parts.append(_cover(panel, fields.covers[k].laps, side, grade, right))
    parts.append(_anchor(panel, half_m - section.anchor_edge_m, anchor_m))
    return together(parts)


def _cover(panel: _Panel, laps: bool, side: float, grade: float, right: float) -> Markup:
    """The cover over the top; where it laps, down the side and out over the soil."""
    top, off = panel.top - 5.0, side + 10.0
    path = f"M{number(panel.left)} {number(top)}H{number(off if laps else side)}"
    if laps:
        hangs = min(grade - 3.0, panel.top + panel.scale * LAP_M)
        path += f"V{number(hangs)}"
        out = min(off + panel.scale * LAP_M - (hangs - top), right)
        path += f"H{number(out)}" if hangs >= grade - 3.5 and out > off else ""
    return element("path", d=path, class_="blanket")


def _anchor(panel: _Panel, at_m: float, deep_m: float | None) -> Markup:
    """The outermost anchor; a cross on the top where its depth is not known."""
    x, top = panel.x(at_m), panel.top
    if deep_m is None:
        return together(
            [line(x - 4, top - 4, x + 4, top + 4, "anchor"),
             line(x - 4, top + 4, x + 4, top - 4, "anchor")]
        )  # fmt: skip
    return together(
        [line(x, top - 9, x, panel.z(deep_m), "anchor"), line(x - 5, top - 5, x + 5, top - 5,
                                                              "anchor")]
    )  # fmt: skip


def _hatch(shape: Shape) -> Markup:
    dots = element("circle", cx="3", cy="3", r="0.7", class_="dot")
    return element(
        "defs",
        element(
            "pattern", dots, id=f"section-soil-{shape.name}", width="9", height="9",
            patternUnits="userSpaceOnUse",
        ),
    )  # fmt: skip


def _legend(units: str, anchor_m: float | None) -> list[tuple[Markup, str]]:
    sign = unit_sign("temperature", units)
    freeze = float(shown(0.0, "temperature", units))
    anchor = "anchor" if anchor_m is not None else "anchor, depth not known"
    cross = together([line(9, -4, 17, 4, "anchor"), line(9, 4, 17, -4, "anchor")])
    return [
        (line(1, 0, 25, 0, "isotherm"), f"equal temperature, {sign}"),
        (line(1, 0, 25, 0, "isotherm frost"), f"freezing, {freeze:.0f} {sign}"),
        (line(1, 0, 25, 0, "blanket"), "cover"),
        (box(10, -5, 6, 10, "form"), "form"),
        (cross if anchor_m is None else line(13, -6, 13, 6, "anchor"), anchor),
    ]
