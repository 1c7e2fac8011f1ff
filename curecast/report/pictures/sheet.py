"""The sheet that a picture is drawn on: its shape, its legend, its title for those who hear it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from curecast.report.pictures.elements import element, line, number, together, width_of, words

#: Size of the type in every picture. [px]
TYPE = 12.0
_ROW = 16.0


@dataclass(frozen=True)
class Shape:
    """How wide a picture is drawn: for a screen or paper, or for a phone."""

    name: str
    width: float

    @property
    def narrow(self) -> bool:
        """Whether it is for a phone."""
        return self.name == "narrow"


WIDE, NARROW = Shape("wide", 720.0), Shape("narrow", 344.0)


def legend(items: Sequence[tuple[Markup, str]], shape: Shape) -> tuple[Markup, float]:
    """Samples with their words, in rows; also how high they are. [px]

    A sample is drawn about (13, 0), 26 px wide.
    """
    parts: list[Markup] = []
    x, y = 4.0, 12.0
    for sample, text in items:
        wide = 32.0 + width_of(text, TYPE)
        if x > 4.0 and x + wide > shape.width:
            x, y = 4.0, y + _ROW
        shift = f"translate({number(x)} {number(y - 4)})"
        parts.append(element("g", sample, transform=shift))
        parts.append(words(x + 31, y, text))
        x += wide + 12.0
    return together(parts), y + 6.0


def sample_line(class_: str) -> Markup:
    """A sample of a line for the legend."""
    return line(1, 0, 25, 0, f"line {class_}")


def picture(
    name: str, shape: Shape, height: float, title: str, told: str, parts: Sequence[Markup]
) -> Markup:
    """The whole picture, with a title and a description for those who do not see it."""
    key = f"{name}-{shape.name}"
    return element(
        "svg",
        element("title", title, id=f"{key}-title"),
        element("desc", told, id=f"{key}-desc"),
        together(parts),
        class_=f"picture {shape.name}",
        viewBox=f"0 0 {number(shape.width)} {number(height)}",
        role="img",
        aria_labelledby=f"{key}-title {key}-desc",
    )
