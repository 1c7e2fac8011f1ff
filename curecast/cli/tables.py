"""Tables for people: aligned columns, colours beside words where the terminal shows them."""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO

from curecast.cli.context import Context
from curecast.cli.terminal import table_columns

#: Colour of a verdict or a state; the word always stands beside it.
COLOURS = {
    "pour": "bold green",
    "pour, protected": "green",
    "slow, not unsafe": "green",
    "uncover in steps": "green",
    "sheet ready": "green",
    "dries fast": "yellow",
    "too far ahead": "yellow",
    "forecast too old": "yellow",
    "frost risk": "bold yellow",
    "rain risk": "bold yellow",
    "at risk": "bold yellow",
    "do not": "red",
    "released": "bold green",
    "signed off": "cyan",
    "unproven": "yellow",
    "withdrawn": "bold red",
    "barred": "bold red",
}


def table_lines(ctx: Context, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """A table as lines of text, as wide as the terminal; see ``table_columns``."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    out = StringIO()
    wide = max(table_columns(), 60)
    console = Console(file=out, width=wide, force_terminal=ctx.colour, highlight=False, emoji=False)
    table = Table(box=None, padding=(0, 1, 0, 0), show_edge=False, pad_edge=False)
    for head in heads:
        table.add_column(head, overflow="fold", header_style="bold" if ctx.colour else "")
    for row in rows:
        table.add_row(*(Text(cell, style=COLOURS.get(cell.partition(":")[0], "")) for cell in row))
    console.print(table)
    return [line.rstrip() for line in out.getvalue().splitlines()]
