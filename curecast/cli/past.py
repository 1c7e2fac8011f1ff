"""``history`` and ``close``: what was said, seen and decided of a job, and its end."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from curecast.prospect.standing import SlabAnswer
    from curecast.tracking.history import Entry

#: More rows of one entry than this are shown as their first, their last and a count.
_SHOWN = 6


@command("history", example="curecast history crane-base")
def history(ctx: Context, job: JobArgument = None, forecast: ForecastOption = None) -> int | None:
    """Everything on record of a job, in the order of entry; what was measured, modelled, used."""
    from curecast.cli.jobs import find_job
    from curecast.cli.slab import find_standing
    from curecast.errors import InputError, WeatherError
    from curecast.tracking.history import history_of

    if not ctx.has_store():
        raise InputError("nothing is on record here", "choose or pour a job first")
    with ctx.store() as store:
        found = find_job(ctx, job, store)
        if found.row is None:
            raise InputError(f"nothing is on record of {found.job.name}", "choose or pour it first")
    note, answer = "", None
    try:
        answer = find_standing(ctx, job, forecast).answer
    except WeatherError as fault:
        note = f"what was modelled is not shown: {fault.message}"
    with ctx.store() as store:
        entries = history_of(store, found.row)
    measured = [] if answer is None else _measured(answer)
    ctx.emit(
        {
            "entries": [_entry_json(e) for e in entries],
            "readings": measured,
            "notes": [note] if note else [],
        },
        _lines(entries, measured, ctx.zone, note),
    )
    return 0


def _entry_json(entry: Entry) -> dict[str, Any]:
    return {**entry.__dict__, "numbers": entry.numbers}


def _measured(answer: SlabAnswer) -> list[dict[str, Any]]:
    """What each reading said, what the model said before it, and what is used since."""
    from curecast.clock import from_unix_h
    from curecast.prospect.innovations import innovations

    return [
        {"at": from_unix_h(one.at_h), "where": one.where, "measured_c": one.measured_c,
         "modelled_c": one.modelled_c, "used_c": one.used_c}
        for one in innovations(answer)
    ]  # fmt: skip


def _lines(
    entries: list[Entry], measured: list[dict[str, Any]], zone: str | None, note: str
) -> list[str]:
    from curecast.clock import show_instant

    lines = []
    for key, group in groupby(entries, key=lambda e: (e.recorded_at, e.what)):
        rows = list(group)
        shown = rows
        if len(rows) > _SHOWN and key[1] == "reading":
            shown = [rows[0], rows[-1]]
        for k, entry in enumerate(shown):
            if k == 1 and shown is not rows:
                lines.append(f"  ... {len(rows) - 2} more of this entry")
            lines.append(_line(entry, zone))
    if measured:
        lines += ["", "measured, modelled before it, used since (°C)"]
        cut = measured if len(measured) <= 40 else measured[-40:]
        lines += [f"  the last {len(cut)} of {len(measured)}"] if len(cut) < len(measured) else []
        lines += [
            f"  {show_instant(m['at'], zone)}  {m['where']:<11} {m['measured_c']:6.1f} "
            f"{m['modelled_c']:6.1f} {m['used_c']:6.1f}"
            for m in cut
        ]
    return [*lines, *([note] if note else [])]


def _line(entry: Entry, zone: str | None) -> str:
    from curecast.clock import show_instant

    by = f", by {entry.by}" if entry.by else ""
    said = f"{show_instant(entry.at, zone)}  {entry.text}{by}"
    if abs((entry.recorded_at - entry.at).total_seconds()) > 60.0:
        said += f" (entered {show_instant(entry.recorded_at, zone)})"
    if entry.corrects:
        said += f" [corrects {entry.corrects}]"
    return said + (f" [corrected by {entry.corrected_by}]" if entry.corrected_by else "")


@command("close", example='curecast close crane-base --by Ida --reason "crane handed over"')
def close(
    ctx: Context,
    job: JobArgument = None,
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who closes it.")] = "",
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")] = "",
) -> int | None:
    """Close a job: it is watched no more, and nothing is added to its record."""
    from curecast.cli.calendar import strike_out
    from curecast.cli.jobs import find_job
    from curecast.errors import InputError
    from curecast.store.jobs import close_job
    from curecast.store.record import add_event

    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        name = found.job.name
        if found.row is None:
            raise InputError(f"nothing is on record of {name}", "there is nothing to close")
        if found.row.closed_at is None:
            with store.write():
                if found.placement is not None and (by.strip() or reason.strip()):
                    said = {"by": by, "reason": reason}
                    add_event(store, found.placement, "closing", ctx.now(), said)
                row = close_job(store, found.row, ctx.now())
            strike_out(ctx, store, name, found.placement)
        else:
            row = found.row
    ctx.emit(
        {"closed_at": row.closed_at},
        [f"{name} is closed; its record stays: curecast history {name}"],
    )
    return 0
