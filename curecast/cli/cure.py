"""Commands after the pour: the placement, readings, tests, where the slab stands, one start's history."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command
from curecast.cli.context import Context
from curecast.cli.plan import ForecastOption, may_write, with_zone

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.cli.jobs import Found
    from curecast.core.weather.series import Forecast
    from curecast.prospect.slab import SlabAnswer
    from curecast.store.connection import Store
    from curecast.store.rows import Placement

_INSTANT = "INSTANT"


@command("pour", example='curecast pour crane-base --start "fri 9:00" --end "fri 11:40" --bags 99')
def pour(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None, typer.Option("--start", metavar=_INSTANT, help="When placing began.")
    ] = None,
    end: Annotated[
        str | None, typer.Option("--end", metavar=_INSTANT, help="When the last batch was placed.")
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
    forecast: ForecastOption = None,
) -> int | None:
    """Record the placement as it was."""
    from curecast.cli.jobs import find_job
    from curecast.cli.pour_lines import pour_lines
    from curecast.clock import parse_instant
    from curecast.errors import InputError
    from curecast.quantities import read_quantity
    from curecast.store.jobs import find_job as find_row
    from curecast.store.jobs import save_job
    from curecast.store.placements import record_pour

    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        now, zone = ctx.now(), zone_of(store, found, ctx)
        if start is None:
            raise InputError("say when placing began: --start is missing", 'e.g. --start "7:30"')
        start_at = parse_instant(start, zone, now, prefer="past")
        end_at = None if end is None else parse_instant(end, zone, now, prefer="past")
        if start_at > now:
            raise InputError("that start lies ahead", "a start to come is chosen: curecast choose")
        if end_at is not None and end_at < start_at:
            raise InputError("placing cannot end before it began", "check --start and --end")
        if bags is not None and not 0 < bags < 1e5:
            raise InputError(f"{bags:g} bags cannot be", "give the number of bags that went in")
        water_l = None if water is None else read_quantity(water, "liquid")
        placed_c = None if temperature is None else read_quantity(temperature, "temperature")
        if placed_c is not None and not 0.0 <= placed_c <= 45.0:
            raise InputError(
                f"fresh concrete at {placed_c:.0f} °C cannot be", "check the unit of --temperature"
            )
        lines = pour_lines(found.job, bags, water_l, start_at, end_at)
        version = save_job(store, found.job.name, found.job.text, found.job.hash, now)
        row = find_row(store, found.job.name)
        assert row is not None
        placement = record_pour(
            store, row, start_at, version, now,
            end=end_at, bags=bags, water_l_per_bag=water_l, temperature_c=placed_c,
        )  # fmt: skip
        note = keep_weather(ctx, store, found, forecast)
    if note:
        ctx.warn(note)
    answer = {
        "placement": {
            "start": placement.start_at,
            "end": placement.end_at,
            "bags": placement.bags,
            "water_l_per_bag": placement.water_l_per_bag,
            "temperature_c": placement.temperature_c,
        },
        "notes": lines,
    }
    head = f"{found.job.name}: poured. From now on the stored job governs; log readings as you take them."
    ctx.emit(answer, [head, *(f"  - {line}" for line in lines)])
    return 0


def zone_of(store: Store, found: Found, ctx: Context) -> str | None:
    """The job's zone, else the one that its kept forecasts name."""
    if found.job.site.zone is None:
        from curecast.tracking import kept_forecasts, place_of

        kept = kept_forecasts(store, place_of(found.job), ctx.now())
        zones = [f.zone for f in kept if f.zone]
        if zones:
            ctx.zone = zones[-1]
            return zones[-1]
    return found.job.site.zone


def keep_weather(ctx: Context, store: Store, found: Found, file: Path | None) -> str:
    """Fetch and keep the weather; a note where it cannot be had."""
    from curecast.clock import unix_h
    from curecast.errors import WeatherError
    from curecast.outlook import get_outlook

    try:
        return get_outlook(found.job, unix_h(ctx.now()), file=file, store=store)[1]
    except WeatherError as fault:
        if file is not None:
            raise
        return fault.message


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
            help='A reading as people say it: "41F", "5C air 7:30"; or "blanket on", "looked".',
        ),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar=_INSTANT, help="When; now if left out.")
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
) -> int | None:
    """A thermometer reading, a logger's file, or what was done to the slab."""
    from curecast.cli.jobs import stored_job
    from curecast.store.jobs import open_jobs
    from curecast.tracking.logger_file import read_logger
    from curecast.tracking.said import Said, parse_said, split_job
    from curecast.errors import ReadingsError

    with ctx.writing_store() as store:
        job, words = split_job([row.name for row in open_jobs(store)], list(said or []))
        found, placement = stored_job(ctx, job, store)
        zone, now = zone_of(store, found, ctx), ctx.now()
        entries: list[Said] = []
        refused: list[str] = []
        if csv is not None:
            entries, refused = read_logger(csv, zone, now, where, depth)
        if words:
            entries += parse_said(" ".join(words), zone, now, at=at, where=where, depth=depth)
        if not entries and not refused:
            raise ReadingsError(
                "no reading was given", 'say it like: curecast log 41F, or "5C air 7:30"'
            )
        answer = keep_said(ctx, store, placement, entries, refused, zone)
    return answer


def keep_said(
    ctx: Context,
    store: Store,
    placement: Placement,
    entries: list[Any],
    refused: list[str],
    zone: str | None,
) -> int:
    """Keep readings and deeds, and say back what was understood."""
    from datetime import UTC
    from datetime import datetime as clock

    from curecast.tracking.said import check_said, said_line
    from curecast.store.readings import add_readings
    from curecast.store.record import add_event
    from curecast.store.rows import NewReading

    recorded = clock.now(UTC)
    now = ctx.now()
    new, lines, flagged = [], [], []
    for entry in entries:
        problem, flags = check_said(entry, placement.start_at, now)
        if problem:
            refused.append(problem)
            continue
        if entry.kind == "reading":
            new.append(
                NewReading(entry.where, entry.value_c, entry.at, entry.source, entry.depth_m, flags)
            )
        else:
            add_event(store, placement, entry.kind, entry.at, entry.numbers, recorded=recorded)
        lines.append(said_line(entry, zone))
        flagged += [f"{said_line(entry, zone)}: {flag}" for flag in flags]
    added = add_readings(store, placement, new, recorded=recorded) if new else ()
    known = len(new) - len(added)
    shown = lines if len(lines) <= 12 else [*lines[:5], f"... {len(lines) - 6} more", lines[-1]]
    out = [f"logged: {line}" for line in shown]
    out += [f"known already: {known}"] if known else []
    out += [f"mind: {line}" for line in flagged] + [f"refused: {line}" for line in refused]
    ctx.emit(
        {
            "added": [
                {"where": r.where, "value_c": r.value_c, "at": r.at, "depth_m": r.depth_m}
                for r in added
            ],
            "events": [e.kind for e in entries if e.kind != "reading"],
            "known": known,
            "flagged": flagged,
            "refused": refused,
        },
        out,
    )
    return 65 if refused else 0


@command("test", example='curecast test crane-base --strength "27 MPa" --kind cylinder --by Ida')
def test(
    ctx: Context,
    job: JobArgument = None,
    shown: Annotated[
        str | None, typer.Option("--strength", metavar="QUANTITY", help="What it showed.")
    ] = None,
    kind: Annotated[str, typer.Option("--kind", help="cylinder, pull-out or rebound.")] = "cylinder",
    by: Annotated[str, typer.Option("--by", help="Who tested.")] = "",
    at: Annotated[str | None, typer.Option("--at", metavar=_INSTANT, help="When.")] = None,
    note: Annotated[str, typer.Option("--note", help="Anything else.")] = "",
) -> int | None:
    """Record a strength test of this pour."""
    from curecast.cli.jobs import stored_job
    from curecast.clock import parse_instant
    from curecast.errors import InputError
    from curecast.quantities import read_quantity, show_quantity
    from curecast.store.record import add_strength_test

    with ctx.writing_store() as store:
        found, placement = stored_job(ctx, job, store)
        if shown is None or not by:
            raise InputError("a test needs --strength and --by", 'e.g. --strength "27 MPa" --by Ida')
        mpa = read_quantity(shown, "strength")
        if not 0.1 <= mpa <= 150.0:
            raise InputError(f"a strength of {mpa:g} MPa cannot be", "check the unit")
        when = ctx.now() if at is None else parse_instant(
            at, zone_of(store, found, ctx), ctx.now(), prefer="past"
        )
        if when < placement.start_at or when > ctx.now():
            raise InputError("a test lies between the pour and now", "check --at")
        add_strength_test(store, placement, kind, mpa, when, by=by, note=note)
    text = show_quantity(mpa, "strength", found.job.units)
    ctx.emit({"added": {"kind": kind, "strength_mpa": mpa, "at": when, "by": by}},
             [f"logged: {kind} test {text}, by {by}"])  # fmt: skip
    return 0


@command("holds", example="curecast holds crane-base full-torque")
def holds(
    ctx: Context,
    said: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB] [HOLD]", show_default=False, help="A job, and one hold."),
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """Where the slab stands, and each hold: what may be done now, what not yet, and when."""
    from curecast.cli.hold_lines import hold_lines, holds_json
    from curecast.errors import InputError
    from curecast.job.layout import HOLDS

    words = list(said or [])
    hold = words.pop() if words and words[-1] in HOLDS else None
    if len(words) > 1:
        raise InputError(
            f'no hold is called "{words[-1]}"', "the holds are: " + ", ".join(HOLDS)
        )
    answer, found, notes = slab_of(ctx, words[0] if words else None, forecast)
    if answer is None:
        return _not_poured(ctx, found, hold)
    ctx.emit(holds_json(answer, notes), hold_lines(ctx, answer, hold, notes))
    if hold is not None:
        return 0 if answer.holds[hold].state in ("released", "signed-off") else 1
    return 0


def _not_poured(ctx: Context, found: Found, hold: str | None) -> int:
    from curecast.job.layout import HOLDS

    name = found.job.name
    empty = {"kind": "none", "fraction": 0.0, "longest_gap_h": None,
             "last_reading_at": None, "next_reading_by": None}  # fmt: skip
    holds = [
        {"name": h, "state": "not-poured", "likely": None, "count_on": None, "closes": None,
         "needs": ["the pour"], "basis": "", "evidence": empty}
        for h in HOLDS
    ]  # fmt: skip
    ctx.emit(
        {"slab": None, "holds": holds},
        [f"{name} is not poured yet.", f'Next: curecast pour {name} --start "7:30"'],
    )
    return 1 if hold is not None else 0


def slab_of(
    ctx: Context, said: str | None, forecast_file: Path | None
) -> tuple[SlabAnswer | None, Found, list[str]]:
    """Where a slab stands: None before the pour. Moves of its holds are recorded."""
    from dataclasses import replace

    from curecast.cli.jobs import find_job
    from curecast.errors import WeatherUnusable
    from curecast.tracking import assess_and_record, kept_forecasts, place_of

    if not ctx.has_store():
        return None, find_job(ctx, said), []
    with ctx.store() as store:
        found = find_job(ctx, said, store)
        if not found.poured or found.placement is None:
            return None, found, []
        notes = [edited_note(found)] if found.edited is not None else []
        write = may_write(ctx)
        forecasts: list[Forecast] = []
        if write:
            note = keep_weather(ctx, store, found, forecast_file)
        else:
            from curecast.outlook import get_outlook

            note = ""
            if forecast_file is not None:
                forecasts = [get_outlook(found.job, 0.0, file=forecast_file)[0]]
        notes += [note] if note else []
        forecasts += kept_forecasts(store, place_of(found.job), ctx.now())
        if forecast_file is not None and not forecasts:
            from curecast.outlook import get_outlook

            forecasts = [get_outlook(found.job, 0.0, file=forecast_file)[0]]
        if not forecasts:
            raise WeatherUnusable(
                "no weather is known for this pour",
                "give a forecast with --forecast FILE, or go where there is a network",
            )
        zones = [f.zone for f in forecasts if f.zone]
        job = with_zone(found.job, zones[-1] if zones else None)
        ctx.zone = job.site.zone
        answer = assess_and_record(
            store, job, found.placement, forecasts, ctx.now(), write=write
        )
    return answer, replace(found, job=job), notes


def edited_note(found: Found) -> str:
    """What to say where the file differs from the version that governs."""
    import difflib

    assert found.edited is not None
    old, new = found.job.text.splitlines(), found.edited.text.splitlines()
    changed = [
        line for line in difflib.unified_diff(old, new, lineterm="", n=0)
        if line[:1] in "+-" and line[:3] not in ("+++", "---")
    ]  # fmt: skip
    shown = "; ".join(changed[:4]) + ("; ..." if len(changed) > 4 else "")
    return (
        f"the job file was edited after the pour and is not used ({shown}); the stored version "
        "governs until it is amended"
    )


@command("trace", example='curecast trace crane-base.toml --start "2027-03-12 09:00" --json')
def trace(
    ctx: Context,
    job: JobArgument = None,
    start: Annotated[
        str | None, typer.Option("--start", metavar=_INSTANT, help="t = 0 of the history.")
    ] = None,
    hours: Annotated[int, typer.Option("--hours", help="How long.", min=1, max=4320)] = 672,
    forecast: ForecastOption = None,
) -> int | None:
    """The hour-by-hour history of one start, without forecast error, for whoever checks the model."""
    from curecast.cli.jobs import find_job
    from curecast.cli.plan import kept_store
    from curecast.cli.trace_lines import trace_lines
    from curecast.clock import parse_instant, unix_h
    from curecast.errors import InputError
    from curecast.outlook import get_outlook, present_for
    from curecast.prospect.trace import trace_start

    found = find_job(ctx, job)
    now_h = unix_h(ctx.now())
    with kept_store(ctx) as store:
        weather, note = get_outlook(found.job, now_h, file=forecast, store=store)
    if note:
        ctx.warn(note)
    used = with_zone(found.job, weather.zone)
    ctx.zone = used.site.zone
    if start is None:
        raise InputError("say which start: --start is missing", 'e.g. --start "2027-03-12 09:00"')
    now_h, _ = present_for(weather, now_h, ctx.said_now is not None)
    at = parse_instant(start, used.site.zone, instant_of(now_h))
    answer = trace_start(used, weather, unix_h(at), hours)
    ctx.emit({"start": at, **answer}, trace_lines(ctx, used, answer))
    return 0


def instant_of(unix: float) -> datetime:
    """Hours since 1970 as an aware instant."""
    from curecast.clock import from_unix_h

    return from_unix_h(unix)
