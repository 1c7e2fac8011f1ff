"""What the page of a week says in figures: a row a day, the best start in each."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from curecast.clock import from_unix_h, show_day, to_local
from curecast.core.openings import count_on_h, likely_h
from curecast.core.starts import Judged
from curecast.prospect.day_sheet import DaySheet
from curecast.prospect.sentences import deciding
from curecast.prospect.start_words import start_words
from curecast.prospect.week import WeekAnswer
from curecast.quantities import show_quantity
from curecast.report.pictures.marks import in_line, verdict_mark
from curecast.report.words import BEYOND, Fact, chance_words, instant, short_date, size_words


@dataclass(frozen=True)
class DayRow:
    """The best start of one day."""

    start: str
    mark: Markup
    verdict: str
    freeze: str
    coldest: str
    protection: tuple[str, ...]
    walk: str
    torque: str
    why: tuple[str, ...]
    best: bool


@dataclass(frozen=True)
class HoldDates:
    """One hold of the best start: dates as the forecast has them."""

    name: str
    likely: str
    count_on: str


def day_rows(answer: WeekAnswer, why: Mapping[int, Sequence[str]], units: str) -> list[DayRow]:
    """The best start of each day, in order of time.

    Parameters
    ----------
    answer : WeekAnswer
        A judged week.
    why : mapping of int to sentences
        By index of the start; where there is none the rules that are not kept are named.
    units : {"us", "si"}
        Whose units.
    """
    zone = answer.job.site.zone
    best_of: dict[object, int] = {}
    for i in answer.ranked:
        day = to_local(from_unix_h(answer.starts[i].candidate.start_h), zone).date()
        best_of.setdefault(day, i)
    return [
        _day_row(answer, i, tuple(why.get(i, ())), units)
        for i in sorted(best_of.values(), key=lambda i: answer.starts[i].candidate.start_h)
    ]


def _day_row(answer: WeekAnswer, i: int, why: tuple[str, ...], units: str) -> DayRow:
    start, zone = answer.starts[i], answer.job.site.zone
    frost = start.frost
    shown_already = "with " + "; ".join(start.measure.steps)
    return DayRow(
        start=short_date(start.candidate.start_h, zone),
        mark=in_line(verdict_mark(start.verdict, 7, 7)),
        verdict=start_words(start),
        freeze=chance_words(frost.chance_freeze),
        coldest=show_quantity(frost.coldest_c, "temperature", units),
        protection=start.measure.steps,
        walk=_date(start, "walk", zone),
        torque=_date(start, "full-torque", zone),
        why=tuple(w for w in why or _not_kept(start) if w != shown_already),
        best=i == answer.best,
    )


def _date(start: Judged, hold: str, zone: str | None) -> str:
    at_h = start.origin_h + count_on_h(start.openings[hold].at_h[1:])
    if not math.isfinite(at_h):
        return BEYOND
    near = at_h - start.origin_h < 96.0
    return short_date(at_h, zone) if near else show_day(from_unix_h(at_h), zone)


def _not_kept(start: Judged) -> tuple[str, ...]:
    """The rules that are not kept, deciding ones first."""
    said = []
    for f in deciding(start):
        chance = "" if f.chance is None else f" (chance {chance_words(f.chance)})"
        said.append(f"{f.rule}: {f.verdict.replace('-', ' ')}{chance}")
    if start.would_work is not None:
        said.append(f"would work with {start.would_work.name}, which is not at hand")
    return tuple(said)


def best_dates(answer: WeekAnswer) -> list[HoldDates]:
    """Every hold of the best start, likely and to count on."""
    if answer.best is None:
        return []
    start, zone = answer.starts[answer.best], answer.job.site.zone
    return [
        HoldDates(
            name,
            short_date(start.origin_h + likely_h(opening.at_h[1:]), zone),
            short_date(start.origin_h + count_on_h(opening.at_h[1:]), zone),
        )
        for name, opening in start.openings.items()
    ]


def week_words(answer: WeekAnswer, chosen: WeekAnswer | None = None) -> str | None:
    """The answer in a sentence; None without a start, or where the best one is the chosen one."""
    if answer.best is None:
        return None
    start = answer.starts[answer.best]
    if chosen is not None and chosen.starts[0].candidate.start_h == start.candidate.start_h:
        return None
    return f"Best start: {_start_words(answer, start)}"


def chosen_words(chosen: WeekAnswer) -> str:
    """The start that was chosen, as it is judged now."""
    return f"Chosen: {_start_words(chosen, chosen.starts[0])}"


def _start_words(answer: WeekAnswer, start: Judged) -> str:
    at = instant(start.candidate.start_h, answer.job.site.zone, year=True)
    steps = "; ".join(start.measure.steps)
    said = f"{at}, {start_words(start)}"
    return f"{said}, with {steps}" if steps else said


def week_facts(answer: WeekAnswer, units: str) -> list[Fact]:
    """The head of the page."""
    job, zone = answer.job, answer.job.site.zone
    facts: list[Fact] = [("Slab", size_words(job, units))]
    if answer.best is not None:
        start = answer.starts[answer.best]
        facts += [
            ("Verdict", _verdict(start)),
            ("Protection", "; ".join(start.measure.steps) or "none needed"),
            ("Chance of freezing early", chance_words(start.frost.chance_freeze)),
            ("Concrete as placed", show_quantity(start.placed_c, "temperature", units)),
        ]
    facts.append(("Now", instant(answer.now_h, zone, year=True)))
    return facts


def _verdict(start: Judged) -> Markup:
    mark = in_line(verdict_mark(start.verdict, 7, 7))
    return mark + " " + start_words(start)


def would_work(answer: WeekAnswer) -> str | None:
    """The least measure, not at hand, that would make a start of this week work."""
    found = [s.would_work for s in answer.starts if s.would_work is not None]
    return min(found, key=lambda m: m.level).name if found else None


def batch_columns(sheet: DaySheet | None) -> int:
    """How many columns the batches of a day are set in."""
    n = 0 if sheet is None else len(sheet.batches)
    return 1 + (n > 12) + (n > 26) + (n > 42)
