"""Where a poured slab stands, for the commands that say it; moves of its holds are recorded."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from curecast.cli.context import Context
from curecast.cli.weather import may_write, refreshed

if TYPE_CHECKING:
    from curecast.cli.jobs import Found
    from curecast.core.weather.series import Forecast
    from curecast.prospect.standing import SlabAnswer
    from curecast.store.connection import Store
    from curecast.tracking.amending import Amendment

_AHEAD = timedelta(minutes=5)


@dataclass(frozen=True)
class Standing:
    """A job now. ``answer`` is None before its pour; ``notes`` are said beside it."""

    found: Found
    answer: SlabAnswer | None = None
    notes: tuple[str, ...] = ()
    amendments: tuple[Amendment, ...] = ()
    forecast: Forecast | None = None


def find_standing(ctx: Context, said: str | None, file: Path | None) -> Standing:
    """Where a job stands.

    Parameters
    ----------
    ctx : Context
    said : str or None
        The job.
    file : Path or None
        A saved forecast.

    Raises
    ------
    WeatherUnusable
        No weather is known for the pour.
    """
    from curecast.cli.jobs import find_job

    if not ctx.has_store():
        return Standing(find_job(ctx, said))
    with ctx.store() as store:
        found = find_job(ctx, said, store)
        placement = found.placement
        if placement is None or not found.poured or placement.start_at > ctx.now() + _AHEAD:
            return Standing(replace(found, placement=None))
        return _standing(ctx, store, found, file)


def _standing(ctx: Context, store: Store, found: Found, file: Path | None) -> Standing:
    from curecast.errors import WeatherUnusable
    from curecast.prospect.damp import damp_notes
    from curecast.prospect.frost_under import frost_under_notes
    from curecast.prospect.innovations import thermometer_notes
    from curecast.prospect.testing import fit_notes
    from curecast.tracking import assess_and_record, with_zone
    from curecast.tracking.amending import amendments

    assert found.placement is not None
    write = may_write(ctx)
    known, note = refreshed(ctx, store, found.job, file, write=write)
    if not known:
        raise WeatherUnusable(
            f"no weather is known for this pour{f' ({note})' if note else ''}",
            "give a forecast with --forecast FILE, or go where there is a network",
        )
    job = with_zone(found.job, known)
    ctx.zone = job.site.zone
    notes = [edited_note(found)] if found.edited is not None else []
    notes += [note] if note else []
    notes += _late_note(known[-1], ctx)
    answer = assess_and_record(store, job, found.placement, known, ctx.now(), write=write)
    if write:
        from curecast.cli.calendar import keep_up

        keep_up(ctx, store, job, found.placement, answer)
    return Standing(
        replace(found, job=job),
        answer,
        (
            *notes,
            *frost_under_notes(answer),
            *damp_notes(answer),
            *thermometer_notes(answer),
            *fit_notes(answer),
        ),
        amendments(store, found.placement),
        known[-1],
    )


def _late_note(newest: Forecast, ctx: Context) -> list[str]:
    """What is to be said of a forecast that no longer reaches beyond now."""
    from curecast.clock import unix_h
    from curecast.sources.freshness import check_fresh

    now_h = unix_h(ctx.now())
    if newest.weather.end_h < now_h:
        days = (now_h - newest.weather.end_h) / 24.0
        return [f"the newest forecast ended {days:.0f} days ago: what follows rests on climate"]
    old = check_fresh(newest, now_h)[0]
    days = (now_h - newest.issued_h) / 24.0
    return [f"the newest forecast is {days:.0f} days old"] if old else []


def edited_note(found: Found) -> str:
    """What to say where the file differs from the version that governs."""
    from curecast.cli.pour_lines import changed_lines

    assert found.edited is not None
    changed = changed_lines(found.job, found.edited)
    shown = "; ".join(changed[:4]) + ("; ..." if len(changed) > 4 else "")
    return (
        f"the job file was edited after the pour and is not used ({shown}); the stored version "
        f"governs until: curecast amend {found.path} --by NAME --reason TEXT"
    )
