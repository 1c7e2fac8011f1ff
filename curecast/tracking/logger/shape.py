"""What a logger's table looks like: which column holds what, in which unit, on which clock."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from curecast.errors import ReadingsError
from curecast.tracking.logger.times import find_offset, find_stamp
from curecast.tracking.logger.values import find_number, find_unit, is_blank

Rows = Sequence[Sequence[str]]

_HEAD_LINES = 60
_TIME = re.compile(r"time|date|zeit|datum|heure|hora|fecha|uhr|stamp", re.IGNORECASE)
_OTHER = re.compile(
    r"\brh\b|humid|feucht|dew|tau|batt|volt|press|druck|wind|rain|light|lux|index|event|serial|"
    r"status|flag|co2|millis|elapsed|seconds since|\bid\b|\bno\b|\bnr\b|\bs/?n\b|"
    r"record|sample|\brow\b",
    re.IGNORECASE,
)
_TEMP = re.compile(r"temp|°|℃|℉|\bdeg|_c\b|_f\b|[(\[]\s*[CF]\s*[)\]]|probe|sensor|\bch", re.I)
_ZONE = re.compile(r"[A-Za-z]{1,5}|[+-]\d{1,2}:?\d{0,2}")
_PLACES = (
    ("under-cover", re.compile(r"under.?(cover|blanket)|beneath", re.I)),
    ("air", re.compile(r"\b(air|ambient|outside|outdoor|luft|shed)\b|(?:^|_)air(?:_|$)", re.I)),
    ("ground", re.compile(r"\b(ground|soil|boden|earth)\b|(?:^|_)(?:ground|soil)(?:_|$)", re.I)),
    ("inside", re.compile(r"\b(inside|core|centre|center|embedded|middle)\b|(?:^|_)core_", re.I)),
    ("surface", re.compile(r"surface|\b(slab|concrete|top|beton)\b|(?:^|_)slab_", re.I)),
)


@dataclass(frozen=True)
class Channel:
    """One column of temperatures: ``unit`` is C, F, K or empty; ``where`` empty if not said."""

    column: int
    name: str
    unit: str
    where: str


@dataclass(frozen=True)
class Shape:
    """First row of data, the columns of time (one, or a date and a time), temperatures, clock.

    ``others`` names columns of temperatures that are not read.
    """

    first: int
    time_columns: tuple[int, ...]
    channels: tuple[Channel, ...]
    offset: timedelta | None
    header: bool
    others: tuple[str, ...] = ()


def mended(rows: Rows, shape: Shape) -> list[list[str]]:
    """Rows whose decimal comma was taken for what parts columns, put together again.

    That is so where every row has one cell more than the header, and a whole number is followed
    by one or two digits.
    """
    heads = rows[shape.first - 1] if shape.first else []
    body = [row for row in rows[shape.first :] if any(row)]
    k = shape.channels[0].column
    more = len(heads) + 1 if shape.header else 3
    parted = body and all(
        len(row) == more and row[k].lstrip("+-−").isdigit() and re.fullmatch(r"\d{1,2}", row[k + 1])
        for row in body
    )
    if not parted:
        return [list(row) for row in rows]
    return [
        [*row[:k], f"{row[k]}.{row[k + 1]}", *row[k + 2 :]] if len(row) > k + 1 else list(row)
        for row in rows
    ]


def find_shape(name: str, rows: Rows) -> Shape:
    """Find the shape of a table.

    Parameters
    ----------
    name : str
        Of the file, for words.
    rows : sequence of sequence of str
        As read.

    Raises
    ------
    ReadingsError
        No row holds a time and a number.
    """
    first, times = _first_data(name, rows)
    heads = _heads(rows[:first], times, len(rows[first]))
    before = [" ".join(row) for row in rows[:first]]
    head_units = " ".join(heads)
    found = _channels(rows, first, times, heads)
    channels = _placed(found)
    if not channels:
        raise ReadingsError(
            f"{name} holds times but no column of temperatures",
            "name the column temp_c or temp_f in its first line",
        )
    offset = None
    for text in (" ".join(heads[k] for k in times), *(b for b in before if _TIME.search(b))):
        offset = find_offset(text) if offset is None else offset
    others = tuple(c.name or f"column {c.column + 1}" for c in found if c not in channels)
    return Shape(first, times, tuple(channels), offset, bool(head_units.strip()), others)


def _first_data(name: str, rows: Rows) -> tuple[int, tuple[int, ...]]:
    """The first row that holds a time, and where: in one cell, or a date and a time."""
    for i, row in enumerate(rows[:_HEAD_LINES]):
        spans: list[tuple[int, ...]] = [(k,) for k in range(len(row))]
        spans += [(k, k + 1) for k in range(len(row) - 1)]
        for span in spans:
            cells = [row[k] for k in span]
            rest = [c for k, c in enumerate(row) if k not in span]
            read = any(find_number(c) is not None or (c and is_blank(c)) for c in rest)
            if all(cells) and read and find_stamp(" ".join(cells)) is not None:
                return i, _with_zone(row, span)
    raise ReadingsError(
        f"{name} has no row that begins with a date and a time",
        "write a time like 2027-03-12 07:00 and a temperature in each row",
    )


def _with_zone(row: Sequence[str], span: tuple[int, ...]) -> tuple[int, ...]:
    """The columns of a time, and the one behind them where that names its zone."""
    more = (*span, span[-1] + 1)
    if more[-1] >= len(row) or not _ZONE.fullmatch(row[more[-1]]):
        return span
    stamp = find_stamp(" ".join(row[k] for k in more))
    return span if stamp is None or not (stamp.instant or stamp.walls[0] is None) else more


def _heads(before: Rows, times: Sequence[int], width: int) -> list[str]:
    """The header's words by column; a row of units below it is added to them."""
    heads = [""] * width
    for row in before[::-1][:3]:
        cells = [*row, *[""] * width][:width]
        filled = sum(1 for c in cells if c)
        if filled < min(2, width) or any(find_number(c) is not None for c in cells):
            break
        heads = [f"{c} {h}".strip() for c, h in zip(cells, heads, strict=True)]
        if any(_TIME.search(cells[k]) for k in times):
            break
    return heads


def _channels(rows: Rows, first: int, times: Sequence[int], heads: list[str]) -> list[Channel]:
    body = rows[first : first + 500]
    found: list[Channel] = []
    for k, head in enumerate(heads):
        if k in times or (head and _OTHER.search(head) and not re.search(r"temp", head, re.I)):
            continue
        if re.search(r"dew|tau|humid", head, re.I):
            continue
        numbers = [find_number(row[k]) for row in body if len(row) > k]
        known = [n for n in numbers if n is not None]
        whole = not any(re.search(r"\d[.,]\d", row[k]) for row in body if len(row) > k)
        if not known or (whole and _is_count(known)):
            continue
        cells = " ".join(row[k] for row in body[:5] if len(row) > k)
        where = next((place for place, word in _PLACES if word.search(head)), "")
        found.append(Channel(k, head, find_unit(head) or find_unit(cells), where))
    return [c for c in found if _TEMP.search(c.name) or c.unit or c.where] or found


def _placed(found: list[Channel]) -> list[Channel]:
    """Columns that name different places are all read, else one: the slab's before any other."""
    placed = {c.where: c for c in reversed(found) if c.where}
    if len(placed) > 1:
        return [c for c in found if placed.get(c.where) is c]
    return ([c for c in found if c.where == "surface"] or found)[:1]


def _is_count(numbers: Sequence[float]) -> bool:
    """Whether a column only counts the rows."""
    steps = {b - a for a, b in itertools.pairwise(numbers)}
    return steps == {1.0} and (len(numbers) > 2 or numbers[0] in (0.0, 1.0))
