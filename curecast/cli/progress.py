"""Progress on stderr, for people at a terminal only; silent in a pipe, a log or with --json."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from curecast.cli.context import Context

#: Call it with what was just done: a number of steps, and what comes next.
Advance = Callable[[float, str], None]


@contextmanager
def progress(ctx: Context, title: str, steps: float | None = None) -> Iterator[Advance]:
    """Show how far a longer computation has come.

    Parameters
    ----------
    ctx : Context
    title : str
        What is being done.
    steps : float or None
        How many steps there are; None shows only that something goes on.

    Yields
    ------
    callable
        ``advance(steps, title)``: so many more steps are done; an empty title leaves it.
    """
    if ctx.json or not sys.stderr.isatty():
        yield lambda _steps, _title: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TaskProgressColumn, TextColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}", markup=False))
    bar = () if steps is None else (BarColumn(), TaskProgressColumn())
    console = Console(stderr=True, no_color=ctx.no_color or None)
    with Progress(*columns, *bar, console=console, transient=True) as shown:
        task = shown.add_task(title, total=steps)

        def advance(done: float, now_at: str) -> None:
            shown.update(task, advance=done, description=now_at or None)

        yield advance
