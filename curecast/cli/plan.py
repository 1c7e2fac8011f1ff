"""Commands before the pour: is the job sound, which day, and the day that is chosen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command
from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.job.layout import Job
    from curecast.prospect.week import WeekAnswer
    from curecast.store.connection import Store

ForecastOption = Annotated[
    Path | None,
    typer.Option(
        "--forecast",
        metavar="FILE",
        show_default=False,
        help="A saved forecast (the service's hourly or grid JSON, or CSV) instead of asking.",
    ),
]


@command("check", example="curecast check crane-base.toml")
def check(ctx: Context, job: JobArgument = None) -> int | None:
    """Is the job sound, and what has to be bought?"""
    from curecast.cli.jobs import find_job
    from curecast.errors import JobError
    from curecast.prospect.soundness import check_job, takeoff_answer

    try:
        found = find_job(ctx, job)
    except JobError as fault:
        problems = [
            {"key": p.key, "message": p.message, "line": p.line, "hint": p.hint}
            for p in fault.problems
        ]
        if ctx.json:
            ctx.emit({"problems": problems, "takeoff": None, "assumed": []}, ())
            return fault.exit_code
        raise
    problems = check_job(found.job)
    answer: dict[str, Any] = {
        "problems": [{"key": p.key, "message": p.message, "hint": p.hint} for p in problems],
        "takeoff": takeoff_answer(found.job),
        "assumed": [
            {"key": a.key, "stand_in": a.stand_in, "why": a.why} for a in found.job.assumed
        ],
    }
    from curecast.cli.plan_lines import check_lines

    ctx.emit(answer, check_lines(ctx, found.job, problems))
    return 1 if problems else 0


@command("best-day", example="curecast best-day crane-base.toml --forecast saved.json")
def best_day(
    ctx: Context,
    jobs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB]...", show_default=False, help="Job files or names."),
    ] = None,
    forecast: ForecastOption = None,
    every: Annotated[bool, typer.Option("--all", help="Every start, not the best of a day.")] = False,
) -> int | None:
    """Which day this week?"""
    from curecast.cli.jobs import find_job
    from curecast.cli.plan_lines import week_lines

    answers: list[dict[str, Any]] = []
    lines: list[str] = []
    nothing = False
    for said in jobs or [None]:
        found = find_job(ctx, said)
        week, note = week_of(ctx, found.job, forecast)
        answers.append(week_json(week, note))
        lines += week_lines(ctx, week, note, every=every)
        nothing = nothing or week.best is None
    if len(answers) == 1:
        ctx.emit(answers[0], lines)
    else:
        ctx.emit({"jobs": answers}, lines)
    return 1 if nothing else 0


def week_of(
    ctx: Context, job: Job, forecast_file: Path | None, start_h: float | None = None
) -> tuple[WeekAnswer, str]:
    """Judge the week for a job: the forecast found, the clock settled, progress shown."""
    from curecast.cli.progress import progress
    from curecast.clock import unix_h
    from curecast.errors import WeatherUnusable
    from curecast.outlook import get_outlook, present_for
    from curecast.prospect.week import assess_week
    from curecast.sources.freshness import check_fresh

    now_h = unix_h(ctx.now())
    with kept_store(ctx) as store:
        forecast, note = get_outlook(job, now_h, file=forecast_file, store=store)
    if forecast_file is not None:
        now_h, other = present_for(forecast, now_h, ctx.said_now is not None)
        note = other or note
    stale, age = check_fresh(forecast, now_h)
    if stale and forecast_file is None:
        raise WeatherUnusable(age, "try again later, or give one with --forecast FILE")
    job = with_zone(job, forecast.zone)
    ctx.zone = job.site.zone
    if note:
        ctx.warn(note)
    if forecast.weather.end_h < now_h + 24.0:
        raise WeatherUnusable(
            "the forecast ends within a day of now: no start can be judged by it",
            "fetch a newer one, or set the clock to its time with --now",
        )
    done = 0.0
    with progress(ctx, "judging every start of the week", 1.0) as advance:

        def told(share: float) -> None:
            nonlocal done
            advance(max(share - done, 0.0), "")
            done = max(done, share)

        week = assess_week(job, forecast, now_h, told, only_h=start_h)
    return week, "; ".join(part for part in (note, age) if part)


def with_zone(job: Job, zone: str | None) -> Job:
    """The job, read in the service's time zone where its own file names none."""
    from dataclasses import replace

    if job.site.zone is not None or zone is None:
        return job
    return replace(job, site=replace(job.site, zone=zone))


class kept_store:  # noqa: N801 - reads as a with-statement
    """The store if there is one and this run may write to it, else None."""

    def __init__(self, ctx: Context) -> None:
        self.store: Store | None = None
        self.wanted = ctx.has_store() and may_write(ctx)
        self.ctx = ctx

    def __enter__(self) -> Store | None:
        if self.wanted:
            self.store = self.ctx.store()
            self.store.__enter__()
        return self.store

    def __exit__(self, *fault: object) -> None:
        if self.store is not None:
            self.store.__exit__(*fault)  # type: ignore[arg-type]


def may_write(ctx: Context) -> bool:
    """A fixed clock reaches only a store that was named."""
    import os

    return ctx.said_now is None or bool(ctx.db or os.environ.get("CURECAST_HOME"))


def week_json(week: WeekAnswer, note: str) -> dict[str, Any]:
    """``best-day`` as JSON, best start first."""
    from curecast.cli.answers import forecast_answer, start_answer
    from curecast.prospect.sentences import CAUTIONS, week_reasons

    starts = [start_answer(week.job, week.starts[i]) for i in week.ranked]
    return {
        "job": week.job.name,
        "best": starts[0] if week.best is not None else None,
        "starts": starts,
        "forecast": forecast_answer(week.job, week.forecast, week.now_h, note),
        "reasons": week_reasons(week),
        "cautions": list(CAUTIONS),
    }


@command("choose", example='curecast choose crane-base.toml --start "fri 9:00"')
def choose(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str, typer.Option("--start", metavar="INSTANT", help="When placing shall begin.")
    ] = "",
    forecast: ForecastOption = None,
) -> int | None:
    """Settle on a start; from then on it is watched."""
    from curecast.cli.jobs import find_job
    from curecast.clock import parse_instant, show_instant, unix_h
    from curecast.errors import InputError
    from curecast.prospect.sentences import start_reasons, verdict_words
    from curecast.store.jobs import find_job as find_row
    from curecast.store.jobs import save_job
    from curecast.store.placements import choose_start

    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        if not start:
            raise InputError("say when: --start is missing", 'for instance --start "fri 9:00"')
        now = ctx.now()
        at = parse_instant(start, found.job.site.zone, now, prefer="future")
        if at < now:
            raise InputError(
                f"{show_instant(at, found.job.site.zone)} has passed",
                f"choose a start ahead, or record a pour: curecast pour {found.job.name} --start ...",
            )
        version = save_job(store, found.job.name, found.job.text, found.job.hash, now)
        row = find_row(store, found.job.name)
        assert row is not None
        placement = choose_start(store, row, at, version, now)
    week, note = week_of(ctx, found.job, forecast, unix_h(at))
    judged = week.starts[0]
    answer = week_json(week, note)
    shown = show_instant(placement.start_at, week.job.site.zone)
    lines = [f"{found.job.name}: chosen {shown}: {verdict_words(judged.verdict)}."]
    lines += [f"  - {reason}" for reason in start_reasons(week.job, judged)]
    lines.append("It is watched from now on: curecast watch --once, by hand or every hour.")
    ctx.emit({"chosen": placement.start_at, **answer}, lines)
    return 0
