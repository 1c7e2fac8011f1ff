"""What ``best-day`` says of several jobs for one crew."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from curecast.cli.answers import start_answer
from curecast.cli.context import Context
from curecast.cli.jobs import Found
from curecast.cli.plan_lines import next_command, start_row, start_why_lines, weather_lines
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_day
from curecast.prospect.crew_week import CrewWeek, Slab
from curecast.prospect.sentences import CAUTIONS, week_reasons
from curecast.prospect.week_glance import meaning_lines

_HEADS = ("day", "slab", "start", "verdict", "frost", "coldest", "lay", "walk", "full torque")


def crew_week_answer(plan: CrewWeek) -> dict[str, Any]:
    """What is shared, and by job what each gets."""
    return {
        "shared": {"blankets": plan.blankets, "heaters": plan.heaters},
        "placed": [
            {
                "job": slab.week.job.name,
                "start": None
                if slab.start is None
                else start_answer(
                    slab.week.job,
                    slab.week.starts[slab.start],
                    slab.week.stays.get(slab.start),
                ),
                "why": slab.why,
            }
            for slab in plan.slabs
        ],
    }


def crew_week_lines(
    ctx: Context, plan: CrewWeek, found: Sequence[Found], forecast: Sequence[Path]
) -> list[str]:
    """One table for all, in order of time, then slab by slab.

    Parameters
    ----------
    ctx : Context
    plan : CrewWeek
    found : sequence of Found
        The jobs as they were named, in the order of ``plan.slabs``.
    forecast : sequence of Path
        The saved forecasts, to be named again in what comes next.
    """
    count = len(plan.slabs)
    out = sum(slab.start is None for slab in plan.slabs)
    head = f"{count} slabs, one crew: " + (
        "each has its day." if not out else f"{count - out} of them have a day this week."
    )
    weather = [line for slab in plan.slabs for line in weather_lines(slab.week)]
    rows = [_row(slab) for slab in sorted(plan.slabs, key=_time)]
    said = meaning_lines({row[3] for row in rows})
    lines = [head, *dict.fromkeys(weather), "", *table_lines(ctx, _HEADS, rows), ""]
    lines += [*said, ""] if said else []
    shared = f"Shared: {plan.blankets} blanket{'s' * (plan.blankets != 1)}"
    lines.append(shared + (", one heater." if plan.heaters else "."))
    for slab in sorted(plan.slabs, key=_time):
        lines += ["", *_slab_lines(slab)]
    lines += ["", *(f"! {c}" for c in CAUTIONS)]
    nexts = [
        f"Next: {next_command(slab.week, slab.start, job, forecast)}"
        for slab, job in zip(plan.slabs, found, strict=True)
        if slab.start is not None
    ]
    return [*lines, "", *nexts] if nexts else lines


def _time(slab: Slab) -> float:
    """In order of time, those without a start last."""
    if slab.start is None:
        return float("inf")
    return slab.week.starts[slab.start].candidate.start_h


def _row(slab: Slab) -> list[str]:
    job = slab.week.job
    if slab.start is None:
        return ["no day", job.name, "-", "-", "-", "-", "-", "-", "-"]
    start_h = slab.week.starts[slab.start].candidate.start_h
    row = start_row(slab.week, slab.start)[: len(_HEADS) - 2]
    return [show_day(from_unix_h(start_h), job.site.zone), job.name, *row]


def _slab_lines(slab: Slab) -> list[str]:
    name = slab.week.job.name
    if slab.start is None:
        lines = [f"{name}: {slab.why}."]
        return [*lines, *week_reasons(slab.week)] if slab.week.best is None else lines
    lines = start_why_lines(slab.week, slab.start)
    lines[0] = f"{name}: {lines[0][0].lower()}{lines[0][1:]}"
    return [*lines, f"{slab.why[0].upper()}{slab.why[1:]}."] if slab.why else lines
