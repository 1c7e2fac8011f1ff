"""The pages of ``report``: a poured slab with its record, or the week before the pour."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.cli.jobs import Found
    from curecast.cli.slab import Standing
    from curecast.cli.weather import Outlook
    from curecast.prospect.day_sheet import DaySheet
    from curecast.prospect.week import WeekAnswer
    from curecast.report.record_rows import PageRecord


def slab_page(ctx: Context, standing: Standing) -> str:
    """The page of a poured slab."""
    from curecast import __version__
    from curecast.cli.hold_lines import report_lines
    from curecast.prospect.edge_picture import section_fields
    from curecast.prospect.sentences import CAUTIONS, TRADE_NOTES
    from curecast.prospect.sound_sections import sections_after
    from curecast.report.report import render_slab

    assert standing.answer is not None
    return render_slab(
        standing.answer,
        holds=report_lines(standing),
        cautions=[*CAUTIONS, *TRADE_NOTES],
        notes=list(standing.notes),
        version=__version__,
        forecast=standing.forecast,
        soundness=sections_after(standing.answer),
        section=section_fields(standing.answer),
        record=_record(ctx, standing.found),
    )


def _record(ctx: Context, found: Found) -> PageRecord | None:
    """What is on record of the job, for the pages that an inspector keeps."""
    from curecast.report.record_rows import page_record
    from curecast.tracking.history import history_of
    from curecast.tracking.portable import record_digest

    if found.row is None:
        return None
    with ctx.store() as store:
        entries, digest = history_of(store, found.row), record_digest(store, found.row)
    return page_record(entries, digest, ctx.now(), ctx.zone, found.job.units)


def week_page(ctx: Context, found: Found, forecast: Path | None) -> str:
    """The page of a week, before the pour."""
    from curecast import __version__
    from curecast.cli.judging import judge_week
    from curecast.cli.weather import find_outlook
    from curecast.prospect.sentences import CAUTIONS, TRADE_NOTES, start_reasons, week_reasons
    from curecast.prospect.sound_sections import sections_before
    from curecast.prospect.soundness import soundness_of
    from curecast.prospect.start_water import best_water_lines
    from curecast.report.report import render_week

    outlook = find_outlook(ctx, found.job, forecast)
    week = judge_week(ctx, outlook, live=forecast is None)
    chosen = _chosen(ctx, found, outlook, live=forecast is None)
    return render_week(
        week,
        cautions=[*CAUTIONS, *TRADE_NOTES],
        notes=[
            *week_reasons(week),
            *best_water_lines(week),
            *([outlook.note] if outlook.note else []),
        ],
        version=__version__,
        why={i: start_reasons(week.job, j) for i, j in enumerate(week.starts)},
        soundness=sections_before(soundness_of(week.job)),
        chosen=chosen,
        sheet=_sheet(ctx, outlook, week if chosen is None else chosen),
    )


def _chosen(ctx: Context, found: Found, outlook: Outlook, *, live: bool) -> WeekAnswer | None:
    """The start that was chosen, judged; None where there is none ahead."""
    from curecast.cli.judging import judge_start
    from curecast.clock import unix_h
    from curecast.errors import WeatherError
    from curecast.store.placements import find_placement

    if found.row is None:
        return None
    with ctx.store() as store:
        placement = find_placement(store, found.row)
    if placement is None or placement.start_at <= ctx.now():
        return None
    try:
        return judge_start(ctx, outlook, unix_h(placement.start_at), live=live)
    except WeatherError:
        return None


def _sheet(ctx: Context, outlook: Outlook, week: WeekAnswer) -> DaySheet | None:
    """The crew's timetable of the start that was chosen, else of the best one."""
    from curecast.clock import unix_h
    from curecast.prospect.crew_day import work_day
    from curecast.prospect.day_limits import limits_of_day
    from curecast.prospect.day_sheet import sheet_of

    start = week.starts[0] if len(week.starts) == 1 else None
    if week.best is not None:
        start = week.starts[week.best]
    if start is None:
        return None
    day = work_day(outlook.job, outlook.forecast, start.candidate.start_h)
    return sheet_of(day, limits_of_day(day, outlook.forecast, unix_h(ctx.now())), start)
