"""Commands that show a slab: its holds, and one start's history hour by hour."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption


@command("holds", example="curecast holds crane-base full-torque")
def holds(
    ctx: Context,
    said: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB] [HOLD]", show_default=False, help="A job, and one hold."),
    ] = None,
    changed: Annotated[
        str | None,
        typer.Option("--if", metavar="TEXT", help='What if: "blanket off now", "heat to 10C".'),
    ] = None,
    plan: Annotated[
        bool, typer.Option("--plan", help="How to come by evidence without a laboratory.")
    ] = False,
    forecast: ForecastOption = None,
) -> int | None:
    """Where the slab stands, and each hold: what may be done now, what not yet, and when."""
    from curecast.cli.hold_lines import hold_lines, holds_json
    from curecast.cli.slab import find_standing
    from curecast.cli.what_if import show_plan, show_what_if
    from curecast.core.states import PERMISSION

    job, hold = job_and_hold(list(said or []))
    standing = find_standing(ctx, job, forecast)
    if plan:
        return show_plan(ctx, standing)
    if standing.answer is None:
        return _not_poured(ctx, standing.found.job.name, hold)
    if changed is not None:
        return show_what_if(ctx, standing, changed, hold)
    ctx.emit(holds_json(standing), hold_lines(ctx, standing, hold))
    if hold is None:
        return 0
    return 0 if standing.answer.holds[hold].state in PERMISSION else 1


def job_and_hold(words: list[str]) -> tuple[str | None, str | None]:
    """The job and the hold that were named; a hold stands last, with a hyphen or without."""
    from curecast.cli.asked import answering, find_hold, near_hold
    from curecast.job.layout import HOLDS

    hold = None
    for count in (3, 2, 1):
        hold = find_hold(" ".join(words[-count:])) if len(words) >= count else None
        if hold is not None:
            del words[-count:]
            break
    if len(words) > 1 or (words and " " in words[0].strip()):
        answer = answering(" ".join(words)) if hold is None else None
        if answer is not None and len(words[0].split()) + len(words) > 2:
            wrong_usage(f'"{" ".join(words)}" is no job and no hold', answer)
        near = near_hold(words[-1])
        meant = f"did you mean {near}? " if near else ""
        wrong_usage(f'no hold is called "{words[-1]}"', f"{meant}the holds are {', '.join(HOLDS)}")
    return (words[0] if words else None), hold


def _not_poured(ctx: Context, name: str, hold: str | None) -> int:
    from curecast.job.layout import HOLDS

    empty: dict[str, Any] = {
        "kind": "none",
        "fraction": 0.0,
        "longest_gap_h": None,
        "last_reading_at": None,
        "next_reading_by": None,
    }
    waiting = {"state": "not-poured", "likely": None, "count_on": None, "closes": None}
    holds = [
        {"name": h, **waiting, "needs": ["the pour"], "basis": "", "evidence": empty} for h in HOLDS
    ]
    ctx.emit(
        {"slab": None, "holds": holds, "notes": []},
        [f"{name} is not poured yet.", f'Next: curecast pour {name} --start "7:30"'],
    )
    return 1 if hold is not None else 0


@command("trace", example='curecast trace crane-base.toml --start "2027-03-12 09:00" --json')
def trace(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None, typer.Option("--start", metavar="INSTANT", help="t = 0 of the history.")
    ] = None,
    hours: Annotated[int, typer.Option("--hours", help="How long.", min=1, max=4320)] = 672,
    forecast: ForecastOption = None,
) -> int | None:
    """One start hour by hour, without forecast error, for whoever checks the model."""
    from curecast.cli.jobs import find_job
    from curecast.cli.trace_lines import trace_lines
    from curecast.cli.weather import find_outlook
    from curecast.clock import parse_instant, unix_h
    from curecast.prospect.trace import trace_start

    if start is None:
        wrong_usage(
            "say which start: --start is missing", 'for instance --start "2027-03-12 09:00"'
        )
    outlook = find_outlook(ctx, find_job(ctx, job).job, forecast)
    if outlook.note:
        ctx.warn(outlook.note)
    at = parse_instant(start, ctx.zone, ctx.now())
    answer = trace_start(outlook.job, outlook.forecast, unix_h(at), hours)
    ctx.emit({"start": at, **answer}, trace_lines(ctx, outlook.job, answer))
    return 0
