"""What ``best-day`` and ``choose`` say to people."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from curecast.cli.check_lines import typed
from curecast.cli.context import Context
from curecast.cli.jobs import Found
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_instant, show_time_of_day, to_local
from curecast.prospect.cover_cost import amount, cover_cost, is_priced
from curecast.prospect.moved import Moved, moved_lines
from curecast.prospect.plan_on import plan_on_lines
from curecast.prospect.sentences import (
    CAUTIONS,
    degrees,
    percent,
    start_lines,
    start_reasons,
    week_reasons,
    when,
)
from curecast.prospect.start_water import start_water_lines
from curecast.prospect.start_words import cover_words, plan_date, start_words
from curecast.prospect.week import WeekAnswer
from curecast.prospect.week_glance import (
    best_of_days,
    change_lines,
    day_of,
    headline,
    meaning_lines,
    other_days,
    stay_words,
    waiting_lines,
)
from curecast.prospect.week_weather import doubt_words, spread_words, spreads
from curecast.store.rows import Placement

_HEADS = ("", "day", "start", "verdict", "frost", "coldest", "lay", "walk", "full torque")


def week_lines(
    ctx: Context,
    week: WeekAnswer,
    found: Found,
    *,
    every: bool,
    forecast: Sequence[Path],
    moved: Moved | None = None,
) -> list[str]:
    """The answer in a line, a row a day, then the reasons.

    Parameters
    ----------
    ctx : Context
    week : WeekAnswer
    found : Found
        The job as it was named.
    every : bool
        Every start, not the best of a day.
    forecast : sequence of Path
        The saved forecasts, to be named again in what comes next.
    moved : Moved or None
        What the forecast before said.
    """
    lines = [f"{week.job.name}: which day this week?", *weather_lines(week), ""]
    if not week.starts:
        return [*lines, *week_reasons(week)]
    lines += [headline(week), "", *_table(ctx, week, every=every), ""]
    lines += why_lines(week)
    lines += [] if moved is None else moved_lines(week, moved)
    others = other_days(week)
    if others:
        lines += ["", "Why the other days lost:" if week.best is not None else "Day by day:"]
        lines += [f"  {said}" for said in others]
    lines += ["", *(f"! {c}" for c in CAUTIONS)]
    if week.best is not None:
        lines += ["", f"Next: {next_command(week, week.best, found, forecast)}"]
    return lines


def why_lines(week: WeekAnswer) -> list[str]:
    """Why the best start won, how long its cover stays, its dates, what waiting saves."""
    if week.best is None:
        return [*week_reasons(week), *change_lines(week)]
    return [*start_why_lines(week, week.best), *waiting_lines(week), *change_lines(week)]


def start_why_lines(week: WeekAnswer, index: int) -> list[str]:
    """Why one start has its verdict, how long its cover stays, and its dates."""
    start, stay = week.starts[index], week.stays.get(index)
    lines = start_lines(week.job, start)
    more = [*start_water_lines(week, start), stay_words(week.job, start, stay)]
    lines += [f"  - {said}" for said in more if said]
    return [*lines, "", *plan_on_lines(week.job, start, stay)]


def _table(ctx: Context, week: WeekAnswer, *, every: bool) -> list[str]:
    ranks = {index: rank for rank, index in enumerate(week.ranked)}
    tops = best_of_days(week)
    order = sorted(ranks[i] for i in tops.values())
    rows = []
    for i in range(len(week.starts)):
        day = day_of(week, i)
        top = tops[day] == i
        if every or top:
            place = f"{order.index(ranks[i]) + 1}." if top else ""
            rows.append([place, day, *start_row(week, i)])
    for later in range(len(rows) - 1, 0, -1):
        if rows[later][1] == rows[later - 1][1]:
            rows[later][1] = ""
    priced = f"cost {week.job.protection.currency}".strip()
    heads = (*_HEADS, priced) if is_priced(week.job) else _HEADS
    said = meaning_lines({row[3] for row in rows})
    return [*table_lines(ctx, heads, rows), *([""] if said else []), *said]


def start_row(week: WeekAnswer, index: int) -> list[str]:
    """One start in cells: hour, verdict, frost, coldest, cover, two dates, its cost if any."""
    job, judged = week.job, week.starts[index]
    local = to_local(from_unix_h(judged.candidate.start_h), job.site.zone)
    chance = percent(judged.frost.chance_freeze)
    row = [
        show_time_of_day(local.hour + local.minute / 60.0),
        start_words(judged),
        chance.replace("under", "<"),
        degrees(job, judged.frost.likely_coldest_c),
        cover_words(job, judged).replace(" days", " d"),
        plan_date(job, judged, "walk"),
        plan_date(job, judged, "full-torque"),
    ]
    if is_priced(job):
        cost = cover_cost(job, judged, week.stays.get(index))
        row.append("unknown" if cost is None else amount(cost.total))
    return row


def next_command(week: WeekAnswer, index: int, found: Found, forecast: Sequence[Path]) -> str:
    """The command that settles on a start."""
    start = from_unix_h(week.starts[index].candidate.start_h)
    local = to_local(start, week.job.site.zone)
    again = "".join(f" --forecast {file}" for file in forecast)
    return f'curecast choose {typed(found)} --start "{local:%Y-%m-%d %H:%M}"{again}'


def chosen_lines(found: Found, placement: Placement, week: WeekAnswer | None) -> list[str]:
    """What ``choose`` says back; loudly where the start should not be poured."""
    job = found.job if week is None else week.job
    shown = show_instant(placement.start_at, job.site.zone)
    lines = [f"{job.name}: chosen {shown}, not judged yet: no forecast is to be had."]
    if week is not None:
        judged = week.starts[0]
        lines = [f"{job.name}: chosen {shown}: {start_words(judged)}."]
        if judged.verdict == "do-not-pour":
            lines = [
                f"{job.name}: DO NOT POUR on {shown}, as the forecast stands.",
                "The choice is kept, so that it is watched and you are told if it gets better.",
            ]
        lines += [f"  - {reason}" for reason in start_reasons(job, judged)]
        stay = stay_words(job, judged, week.stays.get(0))
        lines += [f"  - {stay}"] if stay else []
    return [
        *lines,
        "First the dates on a phone, which works without this computer: curecast calendar --keep "
        "FILE.ics",
        "It is watched from now on: curecast watch --once, by hand or every hour. A computer that "
        "is shut watches nothing.",
        f"Once it is placed: curecast pour {job.name} --start TIME",
    ]


def weather_lines(week: WeekAnswer) -> list[str]:
    """Where the weather comes from, how old it is, how far it reaches."""
    job, forecast = week.job, week.forecast
    lines = [
        f"Weather: {forecast.source}, issued {when(job, forecast.issued_h)},"
        f" reaches to {when(job, float(forecast.weather.end_h))}."
    ]
    for other, spread in spreads(forecast, week.beside, week.now_h):
        first = forecast.source.partition("; then ")[0]
        lines.append(f"  {spread_words(job, first, other, spread)}")
    own = doubt_words(job, week.doubt)
    lines += [f"  {own}"] if own else []
    lines += [f"  {flag}" for flag in forecast.flags[:3]]
    return [*lines, *(f"  {credit}" for credit in forecast.credits)]
