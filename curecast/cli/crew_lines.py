"""What ``crew`` says to people: the day on one screen, and crews beside each other."""

from __future__ import annotations

from collections.abc import Sequence

from curecast.cli.context import Context
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_instant
from curecast.prospect.crew_day import CrewDay
from curecast.prospect.day_answer import compare_row
from curecast.prospect.day_limits import Limit, change_lines
from curecast.prospect.day_words import batch_words, clock_of, finish_words, limit_words, load_words
from curecast.prospect.told import said, volume


def day_lines(day: CrewDay, limits: Sequence[Limit]) -> list[str]:
    """The whole screen."""
    job = day.job
    start = show_instant(from_unix_h(day.start_h), job.site.zone)
    what = "placing" if day.table is None else "mixing"
    lines = [f"{job.name}: {what} begins {start}, {job.crew.people} in the crew", ""]
    batches = batch_words(day)
    if batches:
        lines.append(" batch  bags  water     mix at  placed by")
        lines += [f"{n:>6}  {b:>4}  {w:<8}  {m:<6}  {p}" for n, b, w, m, p in batches]
        assert day.crew is not None
        total = said(job, day.crew.bags * (day.water_l or 0.0), "liquid")
        lines += [f"   all  {day.crew.bags:>4}  {total}, {day.person_hours:.1f} person-hours", ""]
    else:
        lines.append("  load  volume      loaded  chute  placed by  empty by")
        lines += [
            f"{n:>6}  {v:<10}  {m:<6}  {c:<5}  {p:<9}  {e}" for n, v, m, c, p, e in load_words(day)
        ]
        total = volume(job, sum(load.volume_m3 for load in day.loads))
        lines += [f"   all  {total} fill the form, {day.person_hours:.1f} person-hours", ""]
    lines.append("Finishing")
    lines += [
        f"  {step:<16} {a}" if b == "-" else f"  {step:<16} {a} to {b}"
        for step, a, b in finish_words(day)
    ]
    lines += ["", "Limits"]
    lines += [
        f"  {what}: {why}" if at == "-" else f"  {at}  {what}: {why}"
        for what, at, why in limit_words(day, limits)
    ]
    lines += ["", f"Chance of finishing in time: {100.0 * day.chance:.0f} %"]
    lines += [f"  {line}" for line in change_lines(day)]
    return [*lines, "", "The sheet to print: the same with -o day.html"]


def compare_lines(ctx: Context, days: Sequence[CrewDay]) -> list[str]:
    """Crews, batches and mixing beside each other."""
    if not days:
        return ["By truck there are no batches to compare."]
    rows = []
    for day in days:
        told = compare_row(day)
        margin = told["margin_h"]
        rows.append(
            [
                str(told["people"]),
                told["mix"],
                str(told["bags_per_batch"]),
                clock_of(day.job, day.start_h + day.placed.screeded_h, day.start_h),
                clock_of(day.job, day.start_h + day.finished_h, day.start_h),
                "-" if margin is None else f"{margin:+.1f} h",
                str(told["cold_joints"]) if told["cold_joints"] else "none",
                f"{told['person_hours']:.1f}",
            ]
        )
    heads = ("people", "mixed", "bags a batch", "placed", "finished", "left of the day",
             "cold joints", "person-hours")  # fmt: skip
    return table_lines(ctx, heads, rows)
