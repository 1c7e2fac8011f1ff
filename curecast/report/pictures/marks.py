"""Small marks that differ in shape, so that no meaning hangs on a colour."""

from __future__ import annotations

from markupsafe import Markup

from curecast.report.pictures.elements import element, number, together

#: Words of a hold's states as people read them.
STATE_WORDS = {
    "not-poured": "not poured",
    "projected": "projected",
    "unproven": "unproven",
    "released": "released",
    "signed-off": "signed off",
    "withdrawn": "withdrawn",
    "barred": "barred",
    "over": "over",
}
#: What each state means, for the key.
STATE_MEANS = {
    "not-poured": "the slab is not poured",
    "projected": "date ahead, by the model alone: wait",
    "unproven": "date passed by the model, evidence lacking: wait",
    "released": "criteria met on evidence",
    "signed-off": "by a named person, on their reason",
    "withdrawn": "was allowed, is not any more: stop",
    "barred": "froze early or failed a test: stop",
    "over": "the window has closed",
}
VERDICT_WORDS = {
    "pour": "pour",
    "pour-with-protection": "pour, protected",
    "at-risk": "at risk",
    "do-not-pour": "do not pour",
}
READING_WORDS = {
    "surface": "read on the surface",
    "inside": "read inside the slab",
    "under-cover": "read under the cover",
    "air": "read in the air",
    "ground": "read in the ground",
}


def _path(d: str, class_: str) -> Markup:
    return element("path", d=d, class_=class_)


def _polygon(x: float, y: float, offsets: tuple[tuple[float, float], ...], class_: str) -> Markup:
    points = "L".join(f"{number(x + dx)} {number(y + dy)}" for dx, dy in offsets)
    return _path(f"M{points}Z", class_)


def _square(x: float, y: float, r: float, class_: str) -> Markup:
    return _polygon(x, y, ((-r, -r), (r, -r), (r, r), (-r, r)), class_)


def _diamond(x: float, y: float, r: float, class_: str) -> Markup:
    s = 1.3 * r
    return _polygon(x, y, ((0.0, -s), (s, 0.0), (0.0, s), (-s, 0.0)), class_)


def _triangle(x: float, y: float, r: float, class_: str) -> Markup:
    return _polygon(x, y, ((0.0, -1.2 * r), (1.2 * r, r), (-1.2 * r, r)), class_)


def _circle(x: float, y: float, r: float, class_: str) -> Markup:
    return element("circle", cx=float(x), cy=float(y), r=float(r), class_=class_)


def _cross(x: float, y: float, r: float, class_: str) -> Markup:
    a, b, c, d = (number(v) for v in (x - r, y - r, x + r, y + r))
    return _path(f"M{a} {b}L{c} {d}M{c} {b}L{a} {d}", class_)


def _barred(x: float, y: float, r: float, class_: str) -> Markup:
    a, b, c = (number(v) for v in (x - 0.7 * r, y, x + 0.7 * r))
    return together(
        [_circle(x, y, 1.15 * r, class_), _path(f"M{a} {b}L{c} {b}", f"{class_} heavy")]
    )


def state_mark(state: str, x: float, y: float, r: float = 4.5) -> Markup:
    """The mark of a hold's state: only the two permissions are filled, and in other shapes."""
    if state == "released":
        return _square(x, y, r, "mark full ok")
    if state == "signed-off":
        return _diamond(x, y, r, "mark full signed")
    if state == "unproven":
        return _triangle(x, y, r, "mark open wait")
    if state == "withdrawn":
        return _cross(x, y, r, "mark open stop heavy")
    if state == "barred":
        return _barred(x, y, r, "mark open stop")
    if state == "over":
        return _square(x, y, 0.8 * r, "mark open quiet")
    return _circle(x, y, r, "mark open quiet")


def verdict_mark(verdict: str, x: float, y: float, r: float = 4.5) -> Markup:
    """The mark of a start's verdict."""
    if verdict == "pour":
        return _square(x, y, r, "mark full ok")
    if verdict == "pour-with-protection":
        return _diamond(x, y, r, "mark full signed")
    if verdict == "at-risk":
        return _triangle(x, y, r, "mark open wait")
    return _cross(x, y, r, "mark open stop heavy")


def reading_mark(where: str, x: float, y: float, r: float = 3.2) -> Markup:
    """The mark of a reading, by where it was taken."""
    if where == "air":
        return _cross(x, y, 0.8 * r, "mark open air")
    if where == "inside":
        return _diamond(x, y, r, "mark open middle")
    if where == "under-cover":
        return _triangle(x, y, r, "mark open surface")
    if where == "ground":
        return _square(x, y, 0.9 * r, "mark open quiet")
    return _circle(x, y, r, "mark open surface")


def in_line(mark: Markup) -> Markup:
    """A mark drawn about (7, 7) as a small picture among words."""
    return element(
        "svg", mark, viewBox="0 0 14 14", width="14", height="14", class_="sign",
        aria_hidden="true",
    )  # fmt: skip
