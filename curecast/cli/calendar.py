"""``calendar``: the holds as a file that any calendar reads."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from curecast.cli.commands import JobArgument, command
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption


@command("calendar", example="curecast calendar crane-base -o crane-base.ics")
def calendar(
    ctx: Context,
    job: JobArgument = None,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="The calendar to write.")
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """The holds as an .ics file: dates, reminders, and what is withdrawn struck out."""
    from curecast.alerts.calendar import calendar_entries, render_calendar
    from curecast.cli.jobs import find_job
    from curecast.cli.slab import find_standing
    from curecast.errors import InputError

    if out is not None and out.suffix == ".toml":
        raise InputError(
            f"{out} would be a calendar under the name of a job file", "name it crane-base.ics"
        )
    standing = find_standing(ctx, job, forecast)
    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        if found.placement is None:
            raise InputError(
                f"{found.job.name} has no date yet: no start is chosen",
                f"choose one: curecast choose {found.job.name} --start TIME",
            )
        now = ctx.now()
        entries = calendar_entries(store, found.placement, found.job, standing.answer, now)
        text = render_calendar(found.job, found.placement, entries, now)
    path = out or Path(f"{found.job.name}.ics")
    ctx.write_file(path, text)
    told = [
        {"name": e.name, "sequence": e.sequence, "starts_at": e.starts_at, "status": e.status,
         "summary": e.words}
        for e in entries
    ]  # fmt: skip
    ctx.emit(
        {"file": str(path.resolve()), "entries": told},
        [
            f"Written: {path.resolve()}",
            "Open it on the phone, or send it there; write it again when dates have moved: the "
            "same entries move along.",
        ],
    )
    return 0
