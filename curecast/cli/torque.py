"""``torque``: what was put on each anchor, in what order, when to check again, and the tag."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.job.layout import Job
    from curecast.prospect.standing import SlabAnswer

_AHEAD = timedelta(minutes=5)
#: More than any hand wrench gives. [N m]
_MOST_NM = 5000.0


@command("torque", example='curecast torque crane-base --anchor 1 --at "160 N m" --by Ida')
def torque(
    ctx: Context,
    job: JobArgument = None,
    anchor: Annotated[
        int | None, typer.Option("--anchor", metavar="N", help="Which anchor, from 1.")
    ] = None,
    value: Annotated[
        str | None, typer.Option("--at", metavar="TORQUE", help='What was put on: "160 N m".')
    ] = None,
    round_: Annotated[
        int | None, typer.Option("--round", metavar="N", help="Which round; else by the value.")
    ] = None,
    when: Annotated[
        str | None, typer.Option("--when", metavar="INSTANT", help="When; now if left out.")
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who.")] = "",
    tag: Annotated[
        Path | None, typer.Option("--tag", metavar="FILE", help="A tag for the machine, to print.")
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """Log the torque of one anchor; without one: the pattern, what is logged, what comes next."""
    from curecast.cli.slab import find_standing
    from curecast.errors import CurecastError, InputError
    from curecast.prospect.torque_words import (
        pattern_lines,
        permission_lines,
        state_lines,
        torque_answer,
    )

    if (anchor is None) != (value is None):
        wrong_usage("say both which anchor and what was put on", 'e.g. --anchor 1 --at "160 N m"')
    logged: dict[str, Any] | None = None
    if anchor is not None and value is not None:
        logged = _log(ctx, job, anchor, value, round_, when, by)
    try:
        standing = find_standing(ctx, job, forecast)
    except CurecastError:
        if logged is not None:
            ctx.aside(f"logged all the same: anchor {anchor}, {value}")
        raise
    name, answer = standing.found.job.name, standing.answer
    if answer is None:
        raise InputError(f"{name} is not poured yet", f"record it: curecast pour {name} --start T")
    against = [] if logged is None else permission_lines(answer, logged["value_nm"])
    if tag is not None:
        _write_tag(ctx, tag, answer)
    for line in against:
        ctx.warn(line)
    lines = _said(answer.job, logged)
    lines += [f"  {line}" for line in [*pattern_lines(answer.job), *state_lines(answer)]]
    lines += [f"Written: {tag.resolve()}"] if tag is not None else []
    told = {"logged": logged, **torque_answer(answer), "warnings": against}
    if tag is not None:
        told["file"] = str(tag.resolve())
    ctx.emit(told, lines)
    return 1 if against else 0


def _said(job: Job, logged: dict[str, Any] | None) -> list[str]:
    from curecast.prospect.told import said
    from curecast.prospect.torque_words import hand_words

    if logged is None:
        return [f"{job.name}: torque"]
    value = logged["value_nm"]
    return [
        f"logged: anchor {logged['anchor']}, {said(job, value, 'torque')}, round "
        f"{logged['round']}; {hand_words(job, value)}"
    ]


def _log(
    ctx: Context,
    said_job: str | None,
    anchor: int,
    value: str,
    round_: int | None,
    when: str | None,
    by: str,
) -> dict[str, Any]:
    """Check what was said, and put it on record."""
    from curecast.cli.jobs import stored_job
    from curecast.prospect.torque_words import round_of
    from curecast.store.record import add_event
    from curecast.tracking import kept_forecasts, place_of, with_zone

    with ctx.writing_store() as store:
        found, placement = stored_job(ctx, said_job, store)
        now = ctx.now()
        ctx.zone = with_zone(found.job, kept_forecasts(store, place_of(found.job), now)).site.zone
        torque_nm = _checked(found.job, anchor, value, round_)
        at = _instant(ctx, when, placement.start_at, now)
        payload = {
            "anchor": anchor,
            "value_nm": torque_nm,
            "round": round_of(found.job, torque_nm) if round_ is None else round_,
            "by": by,
        }
        add_event(store, placement, "torque", at, payload, recorded=now)
    return {**payload, "at": at}


def _instant(ctx: Context, when: str | None, poured: datetime, now: datetime) -> datetime:
    from curecast.clock import parse_instant
    from curecast.errors import InputError

    at = now if when is None else parse_instant(when, ctx.zone, now, prefer="past")
    if at < poured or at > now + _AHEAD:
        raise InputError("a torque lies between the pour and now", "check --when")
    return at


def _checked(job: Job, anchor: int, value: str, round_: int | None) -> float:
    """The torque in N m; what cannot be is refused in one sentence."""
    from curecast.errors import InputError
    from curecast.prospect.torqued import anchor_count
    from curecast.quantities import read_quantity

    count = anchor_count(job)
    if anchor < 1 or (count and anchor > count):
        most = f", 1 to {count}" if count else ""
        raise InputError(f"there is no anchor {anchor}", f"give one of the job's{most}")
    torque_nm = read_quantity(value, "torque")
    if not 0.0 < torque_nm <= _MOST_NM:
        raise InputError(f"a torque of {torque_nm:g} N m cannot be", "check the unit of --at")
    if round_ is not None and round_ < 1:
        raise InputError(f"there is no round {round_}", "rounds count from 1")
    return torque_nm


def _write_tag(ctx: Context, path: Path, answer: SlabAnswer) -> None:
    from curecast import __version__
    from curecast.errors import InputError
    from curecast.prospect.torque_words import tag_of
    from curecast.report.tag import render_tag

    if path.suffix == ".toml":
        raise InputError(f"{path} would be a tag under the name of a job file", "name it tag.html")
    ctx.write_file(path, render_tag(tag_of(answer), version=__version__))
