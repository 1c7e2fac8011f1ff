"""``crew``: the mixing and finishing timetable of one start, and its sheet for the day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.cli.weather import Outlook
    from curecast.job.layout import Job
    from curecast.prospect.crew_day import CrewDay
    from curecast.prospect.day_limits import Limit

#: A start so little in the past is now.
_JUST_NOW = timedelta(minutes=5)


@command("crew", example='curecast crew crane-base.toml --start "fri 9:00" -o day.html')
def crew(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None, typer.Option("--start", metavar="INSTANT", help="When mixing begins.")
    ] = None,
    forecast: ForecastOption = None,
    people: Annotated[
        int | None, typer.Option("--people", metavar="N", help="Another crew than the job's.")
    ] = None,
    batch: Annotated[
        int | None, typer.Option("--batch", metavar="BAGS", help="Bags a batch.")
    ] = None,
    compare: Annotated[
        bool, typer.Option("--compare", help="Other crews and batches, in one table.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", metavar="FILE", help="The sheet: .html, or .txt as text."),
    ] = None,
) -> int | None:
    """The crew's day: batch by batch, finishing, the pace, and when to stop."""
    from curecast.cli.crew_lines import compare_lines, day_lines
    from curecast.cli.jobs import find_job
    from curecast.cli.weather import find_outlook
    from curecast.clock import unix_h
    from curecast.core.build.crewing import check_crew
    from curecast.prospect.crew_day import mixing_of, work_day
    from curecast.prospect.day_answer import day_answer
    from curecast.prospect.day_limits import crew_variants, limits_of_day

    if start is None:
        wrong_usage("say when: --start is missing", 'for instance --start "fri 9:00"')
    found = find_job(ctx, job)
    asked = _with_crew(found.job, people, batch)
    mixing = mixing_of(asked)
    if mixing is not None:
        check_crew(mixing)
    outlook = find_outlook(ctx, asked, forecast)
    at = _ahead(ctx, start)
    if outlook.note:
        ctx.warn(outlook.note)
    day = work_day(outlook.job, outlook.forecast, unix_h(at))
    limits = limits_of_day(day, outlook.forecast, unix_h(ctx.now()))
    others = crew_variants(day) if compare else []
    answer = day_answer(day, limits, others)
    if out is not None:
        _write_sheet(ctx, out, day, limits, outlook, live=forecast is None)
        ctx.emit({**answer, "file": str(out.resolve())}, [f"Written: {out.resolve()}"])
        return 0
    lines = compare_lines(ctx, others) if compare else day_lines(day, limits)
    ctx.emit(answer, lines)
    return 0


def _with_crew(job: Job, people: int | None, batch: int | None) -> Job:
    """The job with what was asked of the crew; a crew of none is refused."""
    from curecast.errors import OutOfRange

    asked = job.crew
    if people is not None:
        asked = replace(asked, people=people)
    if batch is not None:
        asked = replace(asked, bags_per_batch=batch)
    if asked.people < 1:
        raise OutOfRange("a crew of none places no concrete", "give at least one person")
    return replace(job, crew=asked)


def _ahead(ctx: Context, said: str) -> datetime:
    from curecast.clock import parse_instant, show_instant
    from curecast.errors import InputError

    now = ctx.now()
    at = parse_instant(said, ctx.zone, now, prefer="future")
    if at < now - _JUST_NOW:
        raise InputError(f"{show_instant(at, ctx.zone)} has passed", "give a start ahead")
    return at


def _write_sheet(
    ctx: Context, out: Path, day: CrewDay, limits: list[Limit], outlook: Outlook, *, live: bool
) -> None:
    """The sheet for the day, as a page or as plain text."""
    from curecast import __version__
    from curecast.cli.judging import judge_start
    from curecast.errors import InputError
    from curecast.prospect.day_sheet import sheet_of
    from curecast.report.day import render_day
    from curecast.report.day_text import text_day

    if out.suffix == ".toml":
        raise InputError(
            f"{out} would be a sheet under the name of a job file", "name it like day.html"
        )
    week = judge_start(ctx, outlook, day.start_h, live=live)
    sheet = sheet_of(day, limits, week.starts[0])
    draw = text_day if out.suffix == ".txt" else render_day
    ctx.write_file(out, draw(sheet, version=__version__))
