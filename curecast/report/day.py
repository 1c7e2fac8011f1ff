"""The sheet for the day: one page for print, or plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from curecast.prospect.day_sheet import DaySheet
from curecast.report.report import render_page
from curecast.report.week_facts import batch_columns

_WIDE = 96


def render_day(sheet: DaySheet, *, version: str) -> str:
    """The sheet as one HTML page that needs nothing else.

    Parameters
    ----------
    sheet : DaySheet
        Everything on it.
    version : str
        Of curecast.
    """
    return render_page(
        "day.html",
        sheet.job,
        version,
        sheet.job.site.zone,
        sheet=sheet,
        columns=batch_columns(sheet),
        weather=(),
        assumed=(),
    )


def text_day(sheet: DaySheet, *, version: str) -> str:
    """The sheet as plain text; see ``render_day``."""
    lines = [f"{sheet.job.name}: {sheet.title}", ""]
    lines += [f"{name + ':':<10} {said}" for name, said in sheet.facts]
    lines += ["", "THE EVENING BEFORE", *_ticks(sheet.evening)]
    lines += ["", "GO / NO GO", *_ticks(sheet.go)]
    if sheet.batches:
        lines += ["", "BATCHES   [ ] number, bags, water, mix at, placed by"]
        lines += _columns([f"[ ] {n:>3} {b} x {w} {m}-{p}" for n, b, w, m, p in sheet.batches])
    lines += ["", "FINISHING"]
    lines += [f"[ ] {step:<16} {a} to {b}" for step, a, b in sheet.finish]
    lines += ["", "LIMITS"]
    lines += _wrapped((f"{at}  {what}: {why}" for what, at, why in sheet.limits), "")
    lines += ["", "PROTECTION", *_ticks(sheet.protection)]
    lines += ["", "CAUTIONS", *_wrapped(sheet.cautions, "- ")]
    lines += ["", *_wrapped(sheet.decides, ""), "", f"curecast {version}; it advises."]
    return "\n".join(lines) + "\n"


def _columns(cells: list[str]) -> list[str]:
    """Cells below each other in as many columns as a page has room for."""
    wide = max(map(len, cells)) + 3
    rows = -(-len(cells) // max(1, _WIDE // wide))
    return ["".join(f"{cell:<{wide}}" for cell in cells[r::rows]).rstrip() for r in range(rows)]


def _ticks(said: Iterable[str]) -> list[str]:
    return _wrapped(said, "[ ] ")


def _wrapped(said: Iterable[str], head: str) -> list[str]:
    rest = " " * max(len(head), 2)
    return [
        line
        for one in said
        for line in textwrap.wrap(one, _WIDE, initial_indent=head, subsequent_indent=rest)
    ]
