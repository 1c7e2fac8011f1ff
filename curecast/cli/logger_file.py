"""A logger's file for ``log``: what it leaves open is asked on a terminal, and what was guessed."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.errors import TwoReadings
    from curecast.tracking.logger import Asked, LoggerFile


def read_asking(ctx: Context, path: Path, asked: Asked) -> LoggerFile:
    """What a logger's file holds.

    Parameters
    ----------
    ctx : Context
        Its zone is the job's.
    path : Path
        The file.
    asked : Asked
        What the options settle.

    Raises
    ------
    TwoReadings
        It could be meant in several ways, and nobody is there to ask.
    Refused
        The person at the terminal says that it was read wrongly.
    """
    from curecast.errors import TwoReadings
    from curecast.tracking.logger import read_logger

    there = sys.stdin.isatty() and sys.stderr.isatty() and not ctx.json
    while True:
        try:
            file = read_logger(path, ctx.zone, ctx.now(), asked)
        except TwoReadings as fault:
            if not there:
                raise
            asked = replace(asked, **{fault.option: _choose(ctx, fault)})
            continue
        if there and file.guessed and file.readings:
            _confirm(ctx, path, file)
        return file


def _choose(ctx: Context, fault: TwoReadings) -> str:
    """Ask which of the choices it is; the first letters do."""
    ctx.aside(fault.message)
    while True:
        said = _prompt(f"Which is it: {', '.join(fault.choices)}?").casefold()
        found = [c for c in fault.choices if said and c.casefold().startswith(said)]
        if len(found) == 1 or (found and found[0].casefold() == said):
            return found[0]
        if fault.option == "clock" and said.startswith("utc"):
            return said


def _confirm(ctx: Context, path: Path, file: LoggerFile) -> None:
    """Show how the file was read, and let nothing in that is not confirmed."""
    from curecast.errors import Refused
    from curecast.tracking.said import said_line

    for word in file.shape:
        ctx.aside(f"the file: {word}")
    ctx.aside(f"guessed: {'; '.join(file.guessed)}")
    for name, entry in (("first", file.readings[0]), ("last", file.readings[-1])):
        ctx.aside(f"{name} of {len(file.readings)}: {said_line(entry, ctx.zone)}")
    if _prompt("Is that right? [yes]").casefold()[:1] not in ("", "y"):
        raise Refused(
            f"nothing of {path.name} is kept",
            "say what was guessed wrongly: --unit, --dates, --clock, --column or --where",
        )


def _prompt(question: str) -> str:
    try:
        said: str = typer.prompt(question, default="", show_default=False, err=True)
    except typer.Abort:
        raise KeyboardInterrupt from None
    return said.strip()
