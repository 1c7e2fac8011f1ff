"""What ``check`` and ``best-day`` say to people."""

from __future__ import annotations

from collections.abc import Sequence

from curecast.cli.context import Context
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_day, show_time_of_day, to_local
from curecast.core.openings import count_on_h
from curecast.core.starts import Judged
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.case import mix_of, placing_of, takeoff_of
from curecast.prospect.sentences import (
    CAUTIONS,
    deciding,
    degrees,
    finding_sentence,
    percent,
    verdict_words,
    week_reasons,
    when,
)
from curecast.prospect.soundness import job_notes, strength
from curecast.prospect.week import WeekAnswer
from curecast.quantities import show_quantity


def check_lines(ctx: Context, job: Job, problems: Sequence[Problem]) -> list[str]:
    """The take-off, shortfalls, notes and stand-ins of a job."""
    order, mix = takeoff_of(job), mix_of(job)

    def shown(value: float, kind: str) -> str:
        return show_quantity(value, kind, job.units)

    lines = [f"{job.name}: {'not sound yet' if problems else 'sound'}"]
    lines += [f"  SHORT  {p.key}: {p.message} ({p.hint})" for p in problems]
    size = " x ".join(
        shown(v, "length") for v in (job.slab.length_m, job.slab.width_m, order.thickness_m)
    )
    tolerance = shown(order.thickness_tolerance_m, "length")
    lines += [
        "",
        "To buy",
        f"  slab       {size} = {shown(order.volume_m3, 'volume')}"
        f" (a mean thickness down to {tolerance} short is within tolerance)",
    ]
    if order.bags is not None and order.bag_kg is not None:
        assert order.bags_exact is not None and order.bags_kg is not None
        assert order.water_l_per_bag is not None and order.water_l_max_per_bag is not None
        lines += [
            f"  bags       {order.bags} of {shown(order.bag_kg, 'mass')}"
            f" ({order.bags_exact:.1f} fill the form, the rest is spare),"
            f" {shown(order.bags_kg, 'mass')} in all",
            f"  carry      {order.pallets} pallet(s), {order.trips} trip(s) of a light pick-up",
            f"  water      {shown(order.water_l_per_bag, 'liquid')} a bag to begin with,"
            f" never over {shown(order.water_l_max_per_bag, 'liquid')}",
        ]
    lines += [
        f"  placing    about {placing_of(job):.1f} h with {job.crew.people} people,"
        f" mixed {job.crew.mix}",
        f"  strength   counted on at 28 days: {strength(job, mix.curve.f28_mpa)}"
        f" (printed {strength(job, mix.printed_mpa)})",
    ]
    notes = job_notes(job)
    if notes:
        lines += ["", "Mind", *(f"  - {note}" for note in notes)]
    if job.assumed:
        lines += ["", "Taken for granted where the job file says nothing"]
        lines += [f"  {a.key}: {a.stand_in} ({a.why})" for a in job.assumed]
    lines += ["", f"Next: curecast best-day {job.name}.toml"]
    return lines


def _row(job: Job, judged: Judged, *, day: bool) -> list[str]:
    start = from_unix_h(judged.candidate.start_h)
    local = to_local(start, job.site.zone)
    torque = count_on_h(judged.openings["full-torque"].at_h[1:])
    walk = count_on_h(judged.openings["walk"].at_h[1:])
    holds = deciding(judged)
    return [
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


def week_lines(ctx: Context, week: WeekAnswer, note: str, *, every: bool) -> list[str]:
    """A row a day, best start first within it, then the reasons."""
    job = week.job
    lines = [f"{job.name}: which day this week?", *_weather_lines(week, note), ""]
    if not week.starts:
        return [*lines, *week_reasons(week)]
    ranks = {index: rank for rank, index in enumerate(week.ranked)}
    days: dict[str, list[int]] = {}
    for i, judged in enumerate(week.starts):
        days.setdefault(show_day(from_unix_h(judged.candidate.start_h), job.site.zone), []).append(i)
    rows = []
    for indices in days.values():
        shown = indices if every else [min(indices, key=lambda i: ranks[i])]
        rows += [_row(job, week.starts[i], day=k == 0) for k, i in enumerate(shown)]
    heads = ["day", "start", "verdict", "chance of frost", "coldest", "protection", "walk", "full torque", "held back by"]
    lines += table_lines(ctx, heads, rows)
    lines += ["", *week_reasons(week), "", "Why the other days lost:"]
    best_day = None if week.best is None else _day_of(week, week.best)
    for day, indices in days.items():
        top = min(indices, key=lambda i: ranks[i])
        if day == best_day:
            continue
        lines.append(f"  {day}: {_lost(week, week.starts[top])}")
    lines += ["", *(f"! {c}" for c in CAUTIONS)]
    if week.best is not None:
        start = week.starts[week.best].candidate.start_h
        local = to_local(from_unix_h(start), job.site.zone)
        lines += ["", f'Next: curecast choose {job.name}.toml --start "{local:%Y-%m-%d %H:%M}"']
    return lines


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


def _weather_lines(week: WeekAnswer, note: str) -> list[str]:
    job, forecast = week.job, week.forecast
    lines = [
        f"Weather: {forecast.source}, issued {when(job, forecast.issued_h)},"
        f" reaches to {when(job, float(forecast.weather.end_h))}."
    ]
    lines += [f"  {flag}" for flag in (note, *forecast.flags[:3]) if flag]
    return lines
