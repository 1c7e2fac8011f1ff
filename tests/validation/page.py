"""The page of all comparisons: written from the rows of a run, read back to be checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby

from tests.validation.rows import KINDS, Row, digits, shown

HEAD = """\
# What the numbers were held against

Written by `make validation` from the tests in `tests/published`, never by hand. Each row is a
number that a test compares with something outside the project; the test fails when the two differ
by more than the tolerance. That is half a unit in the last printed digit, or the reason stands
beside it. Where a row stands for several numbers, it shows the one that is farthest off for its
tolerance.
"""

COLUMNS = "| what | kind | numbers | expected | got | tolerance |"
RULE = "|--|--|--:|--:|--:|--|"


def page(rows: Iterable[Row], pictures: Sequence[tuple[str, str]]) -> str:
    """The page as Markdown; sources in the order of the alphabet, rows in that of the tests."""
    ordered = sorted(rows, key=lambda r: (r.source.casefold(), r.source))
    twice = [key for key, count in Counter(r.key for r in ordered).items() if count > 1]
    assert not twice, f"two rows have the same name: {twice}"
    parts = [HEAD, _kinds(ordered), _pictures(pictures)]
    for source, group in groupby(ordered, key=lambda r: r.source):
        parts.append(_table(source, list(group)))
    return "\n".join(part for part in parts if part)


def _kinds(rows: Sequence[Row]) -> str:
    count, numbers = Counter(r.kind for r in rows), Counter[str]()
    for row in rows:
        numbers[row.kind] += row.numbers
    lines = ["| kind | what it stands on | rows | numbers |", "|--|--|--:|--:|"]
    lines += [f"| {k} | {v} | {count[k]} | {numbers[k]} |" for k, v in KINDS.items() if count[k]]
    lines.append(f"| all | | {len(rows)} | {sum(numbers.values())} |")
    return "\n".join(lines) + "\n"


def _pictures(pictures: Sequence[tuple[str, str]]) -> str:
    return "\n".join(f"![{title}]({name})\n" for name, title in pictures)


def _table(source: str, rows: Sequence[Row]) -> str:
    files = ", ".join(f"`{name}`" for name in dict.fromkeys(r.file for r in rows))
    count = "one row" if len(rows) == 1 else f"{len(rows)} rows"
    lines = [f"## {source}", "", f"{files}: {count}", "", COLUMNS, RULE]
    return "\n".join([*lines, *(line(row) for row in rows)]) + "\n"


def line(row: Row) -> str:
    """One row as a line of its table."""
    unit = f" {row.unit}" if row.unit else ""
    slack = f"{row.tolerance:.3g}" if row.tolerance else "exact"
    cells = (
        row.what,
        row.kind,
        str(row.numbers),
        f"{wanted(row)}{unit}",
        f"{shown(row.got, row.tolerance)}{unit}",
        slack + (f" ({row.note})" if row.note else ""),
    )
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def wanted(row: Row) -> str:
    """What was expected, as typed, or where it was computed one digit finer than the result."""
    typed = f"{row.expected:.10g}"
    if row.tolerance == 0.0:
        return typed
    return min(typed, f"{row.expected:.{digits(row.tolerance) + 1}f}", key=len)


def cells(text: str) -> dict[tuple[str, str], list[str]]:
    """The tables of a page, read back: cells by source and name."""
    found: dict[tuple[str, str], list[str]] = {}
    source = ""
    for text_line in text.splitlines():
        if text_line.startswith("## "):
            source = text_line[3:]
        elif source and text_line.startswith("| ") and text_line != COLUMNS:
            row = [cell.strip() for cell in text_line.strip("|").split(" | ")]
            found[source, row[0]] = row
    return found
