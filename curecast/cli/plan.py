"""Commands before the pour: is the job sound, which day, and the day that is chosen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastsOption

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.cli.jobs import Found
    from curecast.cli.weather import Outlook
    from curecast.errors import Problem
    from curecast.job.layout import Job
    from curecast.prospect.week import WeekAnswer
    from curecast.store.connection import Store
    from curecast.store.rows import Placement

#: A start so little in the past is now.
_JUST_NOW = timedelta(minutes=5)


@command("check", example="curecast check crane-base.toml")
def check(ctx: Context, job: JobArgument = None) -> int | None:
    """Will it hold, and what has to be bought?"""
    from curecast.cli.check_lines import check_lines
    from curecast.cli.jobs import find_job
    from curecast.errors import JobError
    from curecast.prospect.soundness import soundness_answer, soundness_of

    try:
        found = find_job(ctx, job)
    except JobError as fault:
        if ctx.json and fault.problems:
            listed = [_problem_json(p) for p in fault.problems]
            ctx.emit({"problems": listed, "takeoff": None, "notes": [], "assumed": []}, ())
            return fault.exit_code
        raise
    sound = soundness_of(found.job)
    assumed = [{"key": a.key, "stand_in": a.stand_in, "why": a.why} for a in found.job.assumed]
    answer: dict[str, Any] = {
        "problems": [_problem_json(p) for p in sound.problems],
        **soundness_answer(found.job, sound),
        "assumed": assumed,
    }
    ctx.emit(answer, check_lines(found, sound))
    return 1 if sound.problems else 0


def _problem_json(problem: Problem) -> dict[str, Any]:
    return {
        "key": problem.key,
        "message": problem.message,
        "line": problem.line,
        "hint": problem.hint,
    }


@command("best-day", example="curecast best-day crane-base.toml --forecast saved.json")
def best_day(
    ctx: Context,
    jobs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB]...", show_default=False, help="Job files or names."),
    ] = None,
    forecast: ForecastsOption = None,
    every: Annotated[
        bool, typer.Option("--all", help="Every start, not the best of a day.")
    ] = False,
) -> int | None:
    """Which day this week? Several jobs are placed on days of their own, for one crew."""
    from curecast.cli.jobs import find_job
    from curecast.cli.judging import find_moved, judge_week, week_json
    from curecast.cli.plan_lines import week_lines

    files = forecast or []
    found, weeks, answers, moved = [], [], [], None
    wanted: list[str | None] = [*jobs] if jobs else [None]
    for said in wanted:
        found.append(find_job(ctx, said))
        outlook = _find_outlook(ctx, found[-1].job, files)
        if outlook.note:
            ctx.warn(outlook.note)
        weeks.append(judge_week(ctx, outlook, live=not files))
        moved = find_moved(ctx, weeks[-1])
        answers.append(week_json(weeks[-1], outlook.note, moved))
    if len(weeks) > 1:
        return _several(ctx, found, weeks, answers, files, every=every)
    lines = week_lines(ctx, weeks[0], found[0], every=every, forecast=files, moved=moved)
    ctx.emit(answers[0], lines)
    return 1 if weeks[0].best is None else 0


def _find_outlook(
    ctx: Context, job: Job, files: Sequence[Path], store: Store | None = None
) -> Outlook:
    from curecast.cli.weather import find_outlook

    return find_outlook(ctx, job, files[0] if files else None, store, files[1:])


def _several(
    ctx: Context,
    found: list[Found],
    weeks: list[WeekAnswer],
    answers: list[dict[str, Any]],
    files: list[Path],
    *,
    every: bool,
) -> int:
    """One crew's week; exit code 1 where a slab has no day in it."""
    from curecast.cli.crew_week_lines import crew_week_answer, crew_week_lines
    from curecast.cli.plan_lines import week_lines
    from curecast.prospect.crew_week import crew_week

    plan = crew_week(weeks)
    lines = crew_week_lines(ctx, plan, found, files)
    if every:
        for week, job in zip(weeks, found, strict=True):
            lines += ["", *week_lines(ctx, week, job, every=True, forecast=files)]
    ctx.job_name = None
    ctx.emit({"jobs": answers, **crew_week_answer(plan)}, lines)
    return 1 if any(slab.start is None for slab in plan.slabs) else 0


@command("choose", example='curecast choose crane-base.toml --start "fri 9:00"')
def choose(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None,
        typer.Option("--start", metavar="INSTANT", help="When placing shall begin."),
    ] = None,
    forecast: ForecastsOption = None,
) -> int | None:
    """Settle on a start; from then on it is watched. Exit code 1: kept, but do not pour then."""
    from curecast.cli.calendar import keep_up
    from curecast.cli.jobs import find_job
    from curecast.cli.judging import judge_start, week_json
    from curecast.cli.plan_lines import chosen_lines
    from curecast.clock import unix_h
    from curecast.errors import Refused, WeatherError

    if start is None:
        wrong_usage("say when: --start is missing", 'for instance --start "fri 9:00"')
    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        if found.poured:
            raise Refused(
                f"{found.job.name} is poured already; there is no start left to choose",
                "correct the pour with curecast pour, or begin a job of another name",
            )
        now = ctx.now()
        files = forecast or []
        outlook = _outlook_or_none(ctx, found, files, store)
        at = _start_ahead(ctx, found, start, now)
        week, note = None, "" if outlook is None else outlook.note
        if outlook is not None:
            try:
                week = judge_start(ctx, outlook, unix_h(at), live=not files)
            except WeatherError as fault:
                if files:
                    raise
                note = fault.message
        placement = _keep_choice(store, found, at, now)
        keep_up(ctx, store, found.job, placement, None)
    if note:
        ctx.warn(note)
    answer = {} if week is None else week_json(week, note)
    ctx.emit({"chosen": placement.start_at, **answer}, chosen_lines(found, placement, week))
    return 1 if week is not None and week.starts[0].verdict == "do-not-pour" else 0


def _outlook_or_none(
    ctx: Context, found: Found, files: Sequence[Path], store: Store
) -> Outlook | None:
    """The forecast, where it can be had: a choice is kept without one too."""
    from curecast.errors import WeatherError

    try:
        return _find_outlook(ctx, found.job, files, store)
    except WeatherError as fault:
        if files:
            raise
        ctx.warn(f"{fault.message}; the choice is kept, and judged once there is a forecast")
        return None


def _start_ahead(ctx: Context, found: Found, said: str, now: datetime) -> datetime:
    from curecast.clock import parse_instant, show_instant
    from curecast.errors import InputError

    at = parse_instant(said, ctx.zone, now, prefer="future")
    if at < now - _JUST_NOW:
        raise InputError(
            f"{show_instant(at, ctx.zone)} has passed",
            f"choose a start ahead, or record a pour: curecast pour {found.job.name} --start ...",
        )
    return at


def _keep_choice(store: Store, found: Found, at: datetime, now: datetime) -> Placement:
    from curecast.store.jobs import save_job
    from curecast.store.placements import choose_start

    with store.write():
        version = save_job(store, found.job.name, found.job.text, found.job.hash, now)
        return choose_start(store, version.job, at, version, now)
