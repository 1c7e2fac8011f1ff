"""What ``best-day`` and ``choose`` say to people."""

from __future__ import annotations

import math
from pathlib import Path

from curecast.cli.answers import BEYOND
from curecast.cli.check_lines import typed
from curecast.cli.context import Context
from curecast.cli.jobs import Found
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_day, show_instant, show_time_of_day, to_local
from curecast.core.openings import count_on_h
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.sentences import (
    CAUTIONS,
    deciding,
    degrees,
    finding_sentence,
    percent,
    start_reasons,
    verdict_words,
    week_reasons,
    when,
)
from curecast.prospect.start_water import best_water_lines
from curecast.prospect.week import WeekAnswer
from curecast.store.rows import Placement


def _row(job: Job, judged: Judged, rank: str, *, day: bool) -> list[str]:
    start = from_unix_h(judged.candidate.start_h)
    local = to_local(start, job.site.zone)
    torque = count_on_h(judged.openings["full-torque"].at_h[1:])
    walk = count_on_h(judged.openings["walk"].at_h[1:])
    holds = deciding(judged)
    return [
        rank,
        show_day(start, job.site.zone) if day else "",
        show_time_of_day(local.hour + local.minute / 60.0),
        verdict_words(judged.verdict),
        percent(judged.frost.chance_freeze),
        degrees(job, judged.frost.likely_coldest_c),
        judged.measure.name if judged.measure.level else "as planned" if job.covers else "none",
        _date(job, judged.origin_h + walk),
        _date(job, judged.origin_h + torque),
        ", ".join(f.rule for f in holds) or "-",
    ]


def _date(job: Job, unix_h: float) -> str:
    if unix_h > 1e9:
        return "past 180 d"
    return show_day(from_unix_h(unix_h), job.site.zone)


_HEADS = (
    "", "day", "start", "verdict", "chance of frost", "coldest", "protection", "walk",
    "full torque", "held back by",
)  # fmt: skip


def week_lines(
    ctx: Context, week: WeekAnswer, found: Found, *, every: bool, forecast: Path | None
) -> list[str]:
    """A row a day, best start first within it, then the reasons.

    Parameters
    ----------
    ctx : Context
    week : WeekAnswer
    found : Found
        The job as it was named.
    every : bool
        Every start, not the best of a day.
    forecast : Path or None
        The saved forecast, to be named again in what comes next.
    """
    job = week.job
    lines = [f"{job.name}: which day this week?", *_weather_lines(week), ""]
    if not week.starts:
        return [*lines, *week_reasons(week)]
    ranks = {index: rank for rank, index in enumerate(week.ranked)}
    days = _days(week)
    order = sorted(min(ranks[i] for i in indices) for indices in days.values())
    rows = []
    for indices in days.values():
        best_of_day = min(indices, key=lambda i: ranks[i])
        place = f"{order.index(ranks[best_of_day]) + 1}."
        shown = indices if every else [best_of_day]
        rows += [
            _row(job, week.starts[i], place if i == best_of_day else "", day=k == 0)
            for k, i in enumerate(shown)
        ]
    lines += table_lines(ctx, _HEADS, rows)
    lines += ["", *week_reasons(week), *(f"  - {said}" for said in best_water_lines(week))]
    others = _others(week, days, ranks)
    if others:
        lines += ["", "Why the other days lost:" if week.best is not None else "Day by day:"]
        lines += others
    lines += _beyond(week)
    lines += ["", *(f"! {c}" for c in CAUTIONS)]
    if week.best is not None:
        start = week.starts[week.best].candidate.start_h
        local = to_local(from_unix_h(start), job.site.zone)
        again = "" if forecast is None else f" --forecast {forecast}"
        lines += [
            "",
            f'Next: curecast choose {typed(found)} --start "{local:%Y-%m-%d %H:%M}"{again}',
        ]
    return lines


def _days(week: WeekAnswer) -> dict[str, list[int]]:
    """The starts of each day, by index."""
    days: dict[str, list[int]] = {}
    for i in range(len(week.starts)):
        days.setdefault(_day_of(week, i), []).append(i)
    return days


def _others(week: WeekAnswer, days: dict[str, list[int]], ranks: dict[int, int]) -> list[str]:
    best_day = None if week.best is None else _day_of(week, week.best)
    tops = {day: min(indices, key=lambda i: ranks[i]) for day, indices in days.items()}
    return [
        f"  {day}: {_lost(week, week.starts[top])}" for day, top in tops.items() if day != best_day
    ]


def _beyond(week: WeekAnswer) -> list[str]:
    """The way out where full torque cannot be counted on within the horizon."""
    index = week.ranked[0] if week.best is None else week.best
    opening = week.starts[index].openings["full-torque"]
    if math.isfinite(count_on_h(opening.at_h[1:])):
        return []
    return [
        "",
        f"Full torque: {BEYOND} by temperature alone. The shortest way out is a strength test: "
        "cast test cylinders with the slab.",
    ]


def chosen_lines(found: Found, placement: Placement, week: WeekAnswer | None) -> list[str]:
    """What ``choose`` says back."""
    job = found.job if week is None else week.job
    shown = show_instant(placement.start_at, job.site.zone)
    lines = [f"{job.name}: chosen {shown}, not judged yet: no forecast is to be had."]
    if week is not None:
        judged = week.starts[0]
        lines = [f"{job.name}: chosen {shown}: {verdict_words(judged.verdict)}."]
        lines += [f"  - {reason}" for reason in start_reasons(job, judged)]
    return [
        *lines,
        "It is watched from now on: curecast watch --once, by hand or every hour.",
        f"Once it is placed: curecast pour {job.name} --start TIME",
    ]


def _day_of(week: WeekAnswer, index: int) -> str:
    return show_day(from_unix_h(week.starts[index].candidate.start_h), week.job.site.zone)


def _lost(week: WeekAnswer, judged: Judged) -> str:
    reasons = deciding(judged)
    if not reasons:
        best = week.starts[week.best] if week.best is not None else None
        if best is not None and judged.measure.level > best.measure.level:
            return f"works too, but needs more: {judged.measure.name}"
        return "works too, only later or with less margin"
    first = reasons[0]
    more = f" (and {len(reasons) - 1} more)" if len(reasons) > 1 else ""
    return f"{first.rule}: {finding_sentence(week.job, judged, first)}{more}"


def _weather_lines(week: WeekAnswer) -> list[str]:
    job, forecast = week.job, week.forecast
    lines = [
        f"Weather: {forecast.source}, issued {when(job, forecast.issued_h)},"
        f" reaches to {when(job, float(forecast.weather.end_h))}."
    ]
    lines += [f"  {flag}" for flag in forecast.flags[:3]]
    return [*lines, *(f"  {credit}" for credit in forecast.credits)]
