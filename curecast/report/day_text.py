"""The sheet for the day as plain text: one page of 66 lines, 80 columns wide, where it fits."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from curecast.prospect.day_sheet import DaySheet
from curecast.prospect.day_words import Row

#: A printed page of plain text. [columns, lines]
WIDE, LINES = 80, 66


@dataclass(frozen=True)
class _Form:
    """How close it is set.

    ``air`` between sections; ``flow`` what runs on without a line of its own: nothing, what is
    not ticked, or everything; ``placed`` when batches lie, beside when they are mixed.
    """

    air: bool
    flow: int
    placed: bool
    together: int = 1


#: From roomy to close; the first that fits on a page is taken, else the last.
_FORMS = (
    _Form(True, 0, True),
    _Form(False, 0, True),
    _Form(False, 1, True),
    _Form(False, 1, False),
    _Form(False, 2, False),
    _Form(False, 2, False, 3),
    _Form(False, 2, False, 5),
)


def text_day(sheet: DaySheet, *, version: str) -> str:
    """The sheet as plain text.

    Parameters
    ----------
    sheet : DaySheet
        Everything on it.
    version : str
        Of curecast.

    Returns
    -------
    str
        One page where the day allows: set closer the more batches there are.
    """
    lines: list[str] = []
    for form in _FORMS:
        lines = _lines(sheet, form, version)
        if len(lines) <= LINES:
            break
    return "\n".join(lines) + "\n"


def _lines(sheet: DaySheet, form: _Form, version: str) -> list[str]:
    gap = [""] if form.air else []
    facts = [f"{name}: {said}." for name, said in sheet.facts]
    limits = [f"{at} {what}: {why}." for what, at, why in sheet.limits if what != "finished"]
    lines = [f"{sheet.job.name}: {sheet.title}", *gap, *_plain(facts, form, "")]
    lines += [*gap, "THE EVENING BEFORE", *_ticks(sheet.evening, form)]
    lines += [*gap, "GO / NO GO", *_ticks(sheet.go, form)]
    if sheet.batches:
        lines += [*gap, *_batches(sheet.batches, form)]
    if sheet.loads:
        lines += [*gap, "LOADS   number, volume, loaded at, chute at, placed by, empty by"]
        lines += [f"[ ] {n}  {v}  {m}  {c}  {p}  {e}" for n, v, m, c, p, e in sheet.loads]
    lines += [*gap, "FINISHING"]
    spans = [(step, a if b == "-" else f"{a}-{b}") for step, a, b in sheet.finish]
    lines += _columns([f"[ ] {step:<15} {span}" for step, span in spans], 2)
    lines += [*gap, "LIMITS", *_plain(limits, form, "")]
    lines += [*gap, "PROTECTION", *_ticks(sheet.protection, form)]
    lines += [*gap, "CAUTIONS", *_plain(sheet.cautions, form, "- ")]
    lines += [*gap, *_items(sheet.decides, ""), f"curecast {version}; it advises."]
    return lines


def _ticks(said: Iterable[str], form: _Form) -> list[str]:
    return _flowing(f"[\0]\0{one}" for one in said) if form.flow > 1 else _items(said, "[ ] ")


def _plain(said: Iterable[str], form: _Form, head: str) -> list[str]:
    return _flowing(said) if form.flow else _items(said, head)


def _flowing(said: Iterable[str]) -> list[str]:
    lines = textwrap.wrap(_bound("  ".join(said)), WIDE, break_on_hyphens=False)
    return [line.replace("\0", " ") for line in lines]


def _items(said: Iterable[str], head: str) -> list[str]:
    rest = " " * max(len(head), 2)
    return [
        line.replace("\0", " ")
        for one in said
        for line in textwrap.wrap(
            _bound(one), WIDE, initial_indent=head, subsequent_indent=rest, break_on_hyphens=False
        )
    ]


def _bound(said: str) -> str:
    """A number stays with its sign."""
    return said.replace(" %", "\0%").replace(" °", "\0°").replace(" K ", "\0K ")


def _batches(rows: Sequence[Row], form: _Form) -> list[str]:
    """What most batches hold stands above them; a batch that holds another says so itself."""
    bags, water = Counter((b, w) for _, b, w, _, _ in rows).most_common(1)[0][0]
    times = "mix at-placed by" if form.placed else "mix at"
    each = f"each {bags} bag{'s' if bags != '1' else ''} and {water} of water"
    usual = [row for row in rows if row[1:3] == (bags, water)]
    cells = []
    for k in range(0, len(usual), form.together):
        first, last = usual[k], usual[min(k + form.together, len(usual)) - 1]
        number = f"{first[0]:>3}" if form.together == 1 else f" {first[0]}-{last[0]}"
        cells.append(f"[ ]{number} {first[3]}{f'-{last[4]}' if form.placed else ''}")
    for n, b, w, mix, placed in (row for row in rows if row not in usual):
        span = f"{mix}-{placed}" if form.placed else mix
        cells.append(f"[ ]{n:>3} {span} ({b} bag{'s' if b != '1' else ''}, {w})")
    return [f"BATCHES   {each}; {times}", *_columns(cells, 2 if form.placed else 1)]


def _columns(cells: list[str], apart: int) -> list[str]:
    """Cells below each other in as many columns as a page has room for, each as wide as it is."""
    best = cells
    for count in range(2, len(cells) + 1):
        rows = -(-len(cells) // count)
        columns = [cells[k : k + rows] for k in range(0, len(cells), rows)]
        widths = [max(map(len, column)) for column in columns]
        if sum(widths) + apart * (len(widths) - 1) > WIDE:
            continue
        best = [
            (" " * apart)
            .join(f"{c[r]:<{w}}" for c, w in zip(columns, widths, strict=True) if r < len(c))
            .rstrip()
            for r in range(rows)
        ]
    return best
