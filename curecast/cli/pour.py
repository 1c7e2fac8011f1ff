"""Commands about the placement: as it was, what was tested, and another text of the job."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.cli.jobs import Found
    from curecast.cli.pour_lines import Poured
    from curecast.job.layout import Job
    from curecast.store.connection import Store

#: A clock at the slab may be so far ahead of this one.
AHEAD = timedelta(minutes=5)


@command("pour", example='curecast pour crane-base --start "fri 9:00" --end "fri 11:40" --bags 99')
def pour(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None, typer.Option("--start", metavar="INSTANT", help="When placing began.")
    ] = None,
    end: Annotated[
        str | None, typer.Option("--end", metavar="INSTANT", help="When the last batch was placed.")
    ] = None,
    bags: Annotated[float | None, typer.Option("--bags", help="Bags that went in.")] = None,
    water: Annotated[
        str | None,
        typer.Option("--water-per-bag", metavar="QUANTITY", help='Water a bag, e.g. "2.2 l".'),
    ] = None,
    temperature: Annotated[
        str | None,
        typer.Option("--temperature", metavar="QUANTITY", help="Concrete as placed, e.g. 14C."),
    ] = None,
    gap: Annotated[
        list[str] | None,
        typer.Option("--gap", metavar="SPAN", help='A stop in placing, e.g. "11:20-12:05".'),
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """Record the placement as it was; said again, it corrects what was said before."""
    from curecast.cli.calendar import keep_up
    from curecast.cli.gaps import gap_lines, keep_gaps, read_gaps
    from curecast.cli.jobs import find_job
    from curecast.cli.pour_lines import Poured, placement_json, pour_lines
    from curecast.cli.weather import refreshed
    from curecast.tracking import with_zone

    if start is None:
        wrong_usage("say when placing began: --start is missing", 'for instance --start "7:30"')
    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        known, note = refreshed(ctx, store, found.job, forecast, write=True)
        ctx.zone = with_zone(found.job, known).site.zone
        said = Poured(
            start_at=_past(ctx, start),
            end_at=None if end is None else _past(ctx, end),
            bags=bags,
            water_l=_read(water, "liquid"),
            placed_c=_read(temperature, "temperature"),
        )
        lines = pour_lines(found.job, said, ctx.now())
        gaps = read_gaps(gap or (), ctx.zone, said.start_at, said.end_at, ctx.now())
        lines += gap_lines(found.job, gaps, said.placed_c)
        again = found.poured
        placement = _keep(store, found, said, ctx.now())
        kept = find_job(ctx, found.job.name, store).placement
        if gaps and kept is not None:
            keep_gaps(store, kept, gaps, ctx.now())
        if kept is not None:
            keep_up(ctx, store, found.job, kept, None)
    if note:
        ctx.warn(note)
    head = "the pour is corrected" if again else "poured"
    answer = {
        "placement": placement_json(placement),
        "corrected": again,
        "gaps": [{"from": g.from_at, "to": g.to_at} for g in gaps],
        "notes": lines,
    }
    ctx.emit(
        answer,
        [
            f"{found.job.name}: {head}. The stored job governs from now on; log readings as you "
            "take them.",
            *(f"  - {line}" for line in lines),
        ],
    )
    return 0


def _past(ctx: Context, said: str) -> datetime:
    from curecast.clock import parse_instant

    return parse_instant(said, ctx.zone, ctx.now(), prefer="past")


def _read(said: str | None, kind: str) -> float | None:
    from curecast.quantities import read_quantity

    return None if said is None else read_quantity(said, kind)


def _keep(store: Store, found: Found, said: Poured, now: datetime) -> Poured:
    """Put the placement on record, and give what stands there now."""
    from curecast.store.jobs import save_job
    from curecast.store.placements import record_pour

    with store.write():
        version = save_job(store, found.job.name, found.job.text, found.job.hash, now)
        kept = record_pour(
            store,
            version.job,
            said.start_at,
            version,
            now,
            end=said.end_at,
            bags=said.bags,
            water_l_per_bag=said.water_l,
            temperature_c=said.placed_c,
        )
    return type(said)(
        kept.start_at, kept.end_at, kept.bags, kept.water_l_per_bag, kept.temperature_c
    )


@command("test", example='curecast test crane-base --strength "27 MPa" --kind cylinder --by Ida')
def strength_test(
    ctx: Context,
    job: JobArgument = None,
    shown: Annotated[
        str | None, typer.Option("--strength", metavar="QUANTITY", help="What it showed.")
    ] = None,
    kind: Annotated[
        Literal["cylinder", "lab-cylinder", "pull-out", "rebound"],
        typer.Option(
            "--kind",
            help="How: a cylinder kept beside the slab or in a laboratory's warm room, a pull-out, "
            "or a hammer's rebound by its own correlation.",
        ),
    ] = "cylinder",
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who tested.")] = "",
    at: Annotated[str | None, typer.Option("--at", metavar="INSTANT", help="When.")] = None,
    note: Annotated[str, typer.Option("--note", help="Anything else.")] = "",
) -> int | None:
    """Record a strength test of this pour."""
    from curecast.cli.jobs import stored_job
    from curecast.errors import InputError
    from curecast.quantities import read_quantity, show_quantity
    from curecast.store.record import add_strength_test
    from curecast.tracking import kept_forecasts, place_of, with_zone

    if shown is None or not by.strip():
        wrong_usage("a test needs --strength and --by", 'for instance --strength "27 MPa" --by Ida')
    mpa = read_quantity(shown, "strength")
    if not 0.1 <= mpa <= 150.0:
        raise InputError(f"a strength of {mpa:g} MPa cannot be", "check the unit")
    with ctx.writing_store() as store:
        found, placement = stored_job(ctx, job, store)
        now = ctx.now()
        ctx.zone = with_zone(found.job, kept_forecasts(store, place_of(found.job), now)).site.zone
        when = now if at is None else _past(ctx, at)
        if when < placement.start_at or when > now + AHEAD:
            raise InputError("a test lies between the pour and now", "check --at")
        add_strength_test(store, placement, kind, mpa, when, by=by, note=note)
    text = show_quantity(mpa, "strength", found.job.units)
    ctx.emit(
        {"added": {"kind": kind, "strength_mpa": mpa, "at": when, "by": by, "note": note}},
        [
            f"logged: {kind} test {text}, by {by}",
            f"Next: curecast holds {found.job.name}",
        ],
    )
    return 0


@command("amend", example='curecast amend crane-base new.toml --by Ida --reason "maker\'s letter"')
def amend(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB] FILE", show_default=False, help="A job, and its new file."),
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who decides.")] = "",
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")] = "",
    forecast: ForecastOption = None,
) -> int | None:
    """Let an edited job file govern a poured slab, by a named person and for a reason."""
    from curecast.cli.jobs import stored_job
    from curecast.cli.pour_lines import amended_lines
    from curecast.cli.weather import refreshed
    from curecast.job.reader import read_job
    from curecast.tracking.amending import amend_placement

    if not words or len(words) > 2:
        wrong_usage(
            "amend takes a job and its new file",
            'for instance curecast amend crane-base new.toml --by Ida --reason "maker\'s letter"',
        )
    if not by.strip() or not reason.strip():
        wrong_usage("an amendment needs a name and a reason", "give --by and --reason")
    with ctx.writing_store() as store:
        new = read_job(Path(words[-1]))
        found, placement = stored_job(ctx, words[0] if len(words) == 2 else new.name, store)
        _check_amendment(found, new)
        known, note = refreshed(ctx, store, found.job, forecast, write=True)
        done = amend_placement(store, placement, new, by, reason, known, ctx.now())
    if note:
        ctx.warn(note)
    lines = amended_lines(found.job, new, done)
    ctx.emit(
        {
            "amended": {
                "at": done.at,
                "by": by,
                "reason": reason,
                "earlier_d": done.earlier_d,
                "later_d": done.later_d,
            },
            "notes": lines,
        },
        [f"{found.job.name}: the new text governs, by {by}: {reason}", *lines],
    )
    return 0


def _check_amendment(found: Found, new: Job) -> None:
    from curecast.errors import InputError

    if new.name != found.job.name:
        raise InputError(
            f'that file is of the job "{new.name}", not of "{found.job.name}"',
            "a job keeps its name",
        )
    if new.hash == found.job.hash:
        raise InputError(
            "that file says the same as the text that governs already", "nothing is to be amended"
        )
