"""``log``: readings as people say them, a logger's file, what was done to the slab, and undo."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from curecast.cli.commands import command
from curecast.cli.context import Context

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from curecast.job.layout import Job
    from curecast.store.connection import Store
    from curecast.store.rows import Placement
    from curecast.tracking.keeping import Kept
    from curecast.tracking.logger import Asked, LoggerFile

#: Lines of one kind that are shown in full.
_SHOWN = 12


@command(
    "log",
    example="curecast log crane-base 41F air 7:30",
    context_settings={"ignore_unknown_options": True},
)
def log(
    ctx: Context,
    said: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[JOB] READING...",
            show_default=False,
            help='As people say it: "41F", "5C air 7:30"; "blanket on", "looked", "torqued"; '
            '"undo", "undo 7:30".',
        ),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="INSTANT", help="When; now if left out.")
    ] = None,
    where: Annotated[
        str | None,
        typer.Option("--where", help="surface, air, inside, ground or under-cover."),
    ] = None,
    depth: Annotated[
        str | None, typer.Option("--depth", metavar="QUANTITY", help="Depth of an inside reading.")
    ] = None,
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="A logger's file.")
    ] = None,
    unit: Annotated[
        Literal["C", "F", "K"] | None, typer.Option("--unit", help="Of a file that says none.")
    ] = None,
    dates: Annotated[
        Literal["month-first", "day-first"] | None,
        typer.Option("--dates", help="How a file writes its dates."),
    ] = None,
    clock: Annotated[
        str | None,
        typer.Option("--clock", metavar="local|UTC-5", help="Which clock a file follows."),
    ] = None,
    column: Annotated[
        str | None, typer.Option("--column", metavar="NAME", help="Which column of a file.")
    ] = None,
) -> int | None:
    """A thermometer reading, a logger's file, or what was done to the slab."""
    from curecast.cli.jobs import stored_job
    from curecast.cli.logger_file import read_asking
    from curecast.store.jobs import open_jobs
    from curecast.tracking import kept_forecasts, place_of, with_zone
    from curecast.tracking.logger import Asked, LoggerFile
    from curecast.tracking.said import split_job

    for word in said or []:
        if word.startswith("--"):  # only a minus before a number passes for a reading
            raise typer.BadParameter(f"log has no option {word.split('=')[0]}")
    with ctx.writing_store() as store:
        job, words = split_job([row.name for row in open_jobs(store)], list(said or []))
        found, placement = stored_job(ctx, job, store)
        kept = kept_forecasts(store, place_of(found.job), ctx.now())
        ctx.zone = with_zone(found.job, kept).site.zone
        text = " ".join(words).strip()
        if text.casefold().split(" ")[0] == "undo":
            return _undo(ctx, store, placement, at or text[len("undo") :], found.job.units)
        asked = Asked(where, depth, unit, dates, clock, column)
        file = LoggerFile() if csv is None else read_asking(ctx, csv, asked)
        done = _keep(ctx, store, placement, text, asked, at, file, found.job)
        against = _against(ctx, store, placement, found.job, done)
    _tell(ctx, done, found.job.units, file, against)
    return 65 if done.refused else 0


def _keep(
    ctx: Context,
    store: Store,
    placement: Placement,
    text: str,
    asked: Asked,
    at: str | None,
    file: LoggerFile,
    job: Job,
) -> Kept:
    """Read what was said, and put on record what can be."""
    from curecast.errors import ReadingsError
    from curecast.tracking.keeping import keep_said
    from curecast.tracking.said import parse_said

    entries, refused, now = list(file.readings), list(file.refused), ctx.now()
    if text:
        entries += parse_said(
            text, ctx.zone, now, at=at, where=asked.where, depth=asked.depth, units=job.units
        )
    if not entries and not refused and not file.blank:
        raise ReadingsError(
            "no reading was given", 'say it like: curecast log 41F, or "5C air 7:30"'
        )
    return keep_said(store, placement, entries, refused, now, job.slab.thickness_m, ctx.zone)


def _against(ctx: Context, store: Store, placement: Placement, job: Job, done: Kept) -> list[str]:
    """What stands against a torque that was just logged; empty where nothing does."""
    if not any(e.kind == "torque" for e in done.entries):
        return []
    from curecast.cli.weather import may_write
    from curecast.prospect.torque_words import permission_lines
    from curecast.tracking import assess_and_record, known_forecasts, with_zone

    known = list(known_forecasts(store, job, ctx.now()))
    if not known:
        return ["whether full-torque is released cannot be said: no weather is known for this pour"]
    answer = assess_and_record(
        store, with_zone(job, known), placement, known, ctx.now(), write=may_write(ctx)
    )
    return permission_lines(answer, None)


def _undo(ctx: Context, store: Store, placement: Placement, said: str, units: str) -> int:
    """Take back what was said last, or what was said for one time."""
    from curecast.tracking.keeping import undo_said
    from curecast.tracking.said import said_instant, said_line

    when: datetime | None = said_instant(said, ctx.zone, ctx.now()) if said.strip() else None
    undone = undo_said(store, placement, when, ctx.now())
    lines = [said_line(entry, ctx.zone, units) for entry in undone]
    ctx.emit({"undone": lines, "added": [], "flagged": [], "refused": []},
             [f"taken back: {line}" for line in lines])  # fmt: skip
    return 0


def _tell(ctx: Context, done: Kept, units: str, file: LoggerFile, against: Sequence[str]) -> None:
    """Say back what was understood, what is odd, and what was refused."""
    from curecast.clock import show_instant
    from curecast.tracking.said import said_line

    shown = done.entries
    if len(shown) > _SHOWN:  # a line a reading would take longer than keeping them
        shown = [*shown[:5], *shown[-1:]]
    lines = [said_line(entry, ctx.zone, units) for entry in shown]
    lines[5:5] = [f"... {len(done.entries) - 6} more"] if len(done.entries) > _SHOWN else []
    flagged = [f"{said_line(e, ctx.zone, units)}: {flag}" for e, flag in done.flagged]
    out = [f"the file: {word}" for word in file.shape] + _cut("logged: ", lines)
    out += [f"left out: {file.blank} without a reading"] if file.blank else []
    out += [f"known already: {done.known}"] if done.known else []
    if done.before:
        pour = show_instant(done.poured_at, ctx.zone)
        out.append(f"left out: {done.before} from before the pour at {pour}")
    out += _cut("mind: ", flagged)
    if not ctx.json:
        for line in _cut("refused: ", done.refused):
            ctx.aside(line)
    for line in against:
        ctx.warn(line)
    ctx.emit(
        {
            "added": [
                {"where": r.where, "value_c": r.value_c, "at": r.at, "depth_m": r.depth_m}
                for r in done.added
            ],
            "events": [{"kind": e.kind, "at": e.at} for e in done.entries if e.kind != "reading"],
            "known": done.known,
            "left_out": done.before,
            "blank": file.blank,
            "file": file.shape,
            "flagged": flagged,
            "refused": done.refused,
            "guessed": file.guessed,
            "warnings": list(against),
        },
        out,
    )


def _cut(head: str, lines: Sequence[str]) -> list[str]:
    """The lines with their head; of many only the first and the last."""
    if len(lines) > _SHOWN:
        lines = [*lines[:5], f"... {len(lines) - 6} more", lines[-1]]
    return [f"{head}{line}" for line in lines]
