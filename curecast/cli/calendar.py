"""``calendar``: the holds as a file that any calendar reads, once or kept up to date."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from curecast.job.layout import Job
    from curecast.prospect.standing import SlabAnswer
    from curecast.store.connection import Store
    from curecast.store.rows import Placement

_File = Path | None


@command("calendar", example="curecast calendar --keep ~/synced/slabs.ics")
def calendar(
    ctx: Context,
    job: JobArgument = None,
    out: Annotated[
        _File, typer.Option("-o", "--out", metavar="FILE", help="Write a job's calendar, once.")
    ] = None,
    keep: Annotated[
        _File,
        typer.Option(
            metavar="FILE", help="Keep all jobs' dates, or one job's, in this file from now on."
        ),
    ] = None,
    forget: Annotated[
        _File, typer.Option(metavar="FILE", help="Keep that file no longer; it stays as it is.")
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """The holds as an .ics file: dates, reminders, and what is withdrawn struck out."""
    if sum(one is not None for one in (out, keep, forget)) > 1:
        wrong_usage("say one of -o, --keep and --forget", "or none, for a file named as the job")
    if forget is not None:
        return _forget(ctx, forget)
    if keep is not None:
        return _keep(ctx, job, keep)
    return _once(ctx, job, out, forecast)


def _once(ctx: Context, job: str | None, out: Path | None, forecast: Path | None) -> int:
    from curecast.alerts.calendar import calendar_entries, render_calendar
    from curecast.cli.jobs import find_job
    from curecast.cli.slab import find_standing
    from curecast.errors import InputError

    if out is not None:
        _check_name(out)
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
            "To have it written by itself: curecast calendar --keep FILE.ics",
        ],
    )
    return 0


def _keep(ctx: Context, job: str | None, file: Path) -> int:
    """Write a calendar now, and again whenever a command or the watch sees a date move."""
    from curecast.alerts.feeds import keep_calendar, write_kept
    from curecast.cli.jobs import find_job
    from curecast.errors import InputError

    _check_name(file)
    path = file.expanduser().absolute()
    with ctx.writing_store() as store:
        name = None if job is None else find_job(ctx, job, store).job.name
        keep_calendar(store, path, name)
        wrong = [note for note in write_kept(store, ctx.now()) if str(path) in note]
        if wrong:
            raise InputError(wrong[0], "make its folder, or name another one")
    ctx.emit(
        {"file": str(path), "kept": name or "all jobs"},
        [
            f"Kept from now on: {path}",
            "Put it into a folder that is synced or served, and let the phone's calendar "
            "subscribe to it there: the dates then move by themselves.",
            "It is written anew by curecast watch, and by every command that moves a date. A "
            "computer that is shut writes nothing: the calendar says when it was last looked at.",
        ],
    )
    return 0


def _forget(ctx: Context, file: Path) -> int:
    from curecast.alerts.feeds import forget_calendar

    path = file.expanduser().absolute()
    with ctx.writing_store() as store:
        was_kept = forget_calendar(store, path)
    said = f"Kept no longer: {path}" if was_kept else f"{path} was not kept"
    ctx.emit({"file": str(path), "was_kept": was_kept}, [said])
    return 0 if was_kept else 1


def _check_name(file: Path) -> None:
    from curecast.errors import InputError

    if file.suffix == ".toml":
        raise InputError(
            f"{file} would be a calendar under the name of a job file", "name it crane-base.ics"
        )


def keep_up(
    ctx: Context, store: Store, job: Job, placement: Placement, answer: SlabAnswer | None
) -> None:
    """Bring a job's dates, and the kept calendars, up to what a command has just found."""
    from curecast.alerts.calendar import calendar_entries

    calendar_entries(store, placement, job, answer, ctx.now())
    _write(ctx, store)


def strike_out(ctx: Context, store: Store, name: str, placement: Placement | None) -> None:
    """Strike the dates of a closed job out of the kept calendars."""
    from curecast.alerts.calendar import cancel_entries

    if placement is not None:
        cancel_entries(store, placement, name, ctx.now())
    _write(ctx, store)


def _write(ctx: Context, store: Store) -> None:
    from curecast.alerts.feeds import write_kept
    from curecast.errors import CurecastError

    try:
        wrong = write_kept(store, ctx.now())
    except CurecastError as fault:
        wrong = [fault.message]
    for note in wrong:
        ctx.warn(note)
