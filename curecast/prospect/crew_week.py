"""Several slabs for one crew: each on a day of its own, with blankets lent from slab to slab."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from curecast.clock import from_unix_h, show_day, to_local
from curecast.core.sharing import Option, placed
from curecast.prospect.cover_cost import pieces_of
from curecast.prospect.cover_stay import WAITING_H
from curecast.prospect.plain_words import when
from curecast.prospect.week import WeekAnswer, preference

#: Starts of one day with the same needs that are tried, the best first.
_OF_A_DAY = 3


@dataclass(frozen=True)
class Slab:
    """One slab in the crew's week.

    Parameters
    ----------
    week : WeekAnswer
        Judged as if it were alone.
    start : int or None
        The start it gets, by index into ``week.starts``; None: none is left for it.
    why : str
        Why it gets none, or not its own best one; empty where it does.
    """

    week: WeekAnswer
    start: int | None
    why: str


@dataclass(frozen=True)
class CrewWeek:
    """All of them, and what they share."""

    slabs: tuple[Slab, ...]
    blankets: int
    heaters: int


@dataclass(frozen=True)
class _Lent:
    """One option with the start behind it."""

    index: int
    option: Option


def crew_week(weeks: Sequence[WeekAnswer]) -> CrewWeek:
    """The best days of several slabs together.

    Parameters
    ----------
    weeks : sequence of WeekAnswer
        One a slab, in any order. What any of their jobs has at hand is at hand for all: the
        largest count counts, since each job file describes the same yard.

    Returns
    -------
    CrewWeek
        As many slabs placed as can be; among those the best sum of verdicts, then of effort,
        chance of frost and dates.
    """
    stock = (
        max(pieces_of(w.job, w.job.protection.blankets) for w in weeks),
        int(any(w.job.protection.heater for w in weeks)),
    )
    offered = [_offers(week) for week in weeks]
    picked = placed([[lent.option for lent in slab] for slab in offered], stock)
    chosen = [None if i is None else slab[i] for slab, i in zip(offered, picked, strict=True)]
    slabs = []
    for k, week in enumerate(weeks):
        mine = chosen[k]
        others = [(weeks[n], lent) for n, lent in enumerate(chosen) if lent and n != k]
        why = _why(week, offered[k], mine, others, stock)
        slabs.append(Slab(week, None if mine is None else mine.index, why))
    return CrewWeek(tuple(slabs), *stock)


def _offers(week: WeekAnswer) -> list[_Lent]:
    """The best starts of every day for each need."""
    kept: dict[tuple[int, tuple[int, ...]], int] = {}
    found = []
    for index in week.ranked:
        if week.starts[index].verdict == "do-not-pour":
            continue
        option = _option(week, index)
        key = option.day, option.takes
        kept[key] = kept.get(key, 0) + 1
        if kept[key] <= _OF_A_DAY:
            found.append(_Lent(index, option))
    return found


def _option(week: WeekAnswer, index: int) -> Option:
    start, stay = week.starts[index], week.stays.get(index)
    measure = start.measure
    from_h = until_h = start.origin_h
    if measure.spells:
        from_h += min(c.from_h for c in measure.spells)
        until_h += max(c.to_h for c in measure.spells)
        if stay is not None:
            until_h = max(until_h, stay.off_h if stay.off_h is not None else until_h + WAITING_H)
    takes = pieces_of(week.job, measure.layers), int(measure.heated)
    return Option(_day(week, start.candidate.start_h), from_h, until_h, takes, _cost(week, index))


def _cost(week: WeekAnswer, index: int) -> tuple[float, ...]:
    *ranks, torque_h = preference(week.starts[index])
    return (*ranks, float(round(torque_h)))


def _day(week: WeekAnswer, at_h: float) -> int:
    local = to_local(from_unix_h(at_h), week.job.site.zone)
    return date(local.year, local.month, local.day).toordinal()


def _why(
    week: WeekAnswer,
    offers: Sequence[_Lent],
    mine: _Lent | None,
    others: Sequence[tuple[WeekAnswer, _Lent]],
    stock: Sequence[int],
) -> str:
    """What keeps a slab from its own best start; for one without a start, from every day."""
    if week.best is None:
        return "no start works this week"
    if mine is not None:
        best = next(lent for lent in offers if lent.index == week.best)
        if best.index == mine.index:
            return ""
        return f"alone it would be best {_named(week, best)}: {_taken(best, others, stock)}"
    said: dict[int, str] = {}
    for lent in offers:
        said.setdefault(lent.option.day, f"{_named(week, lent)}: {_taken(lent, others, stock)}")
    return "no day is left: " + "; ".join(said[day] for day in sorted(said))


def _named(week: WeekAnswer, lent: _Lent) -> str:
    at_h = week.starts[lent.index].candidate.start_h
    return show_day(from_unix_h(at_h), week.job.site.zone)


def _taken(lent: _Lent, others: Sequence[tuple[WeekAnswer, _Lent]], stock: Sequence[int]) -> str:
    """Who has the crew, or what is still lying on another slab, that day."""
    option = lent.option
    for other, theirs in others:
        if theirs.option.day == option.day:
            return f"the crew is at {other.job.name} then"
    for k, thing in enumerate(("blankets lie", "heater stands")):
        lying = [
            (other, theirs)
            for other, theirs in others
            if theirs.option.takes[k]
            and theirs.option.from_h < option.until_h
            and option.from_h < theirs.option.until_h
        ]
        out = sum(theirs.option.takes[k] for _, theirs in lying)
        if option.takes[k] and option.takes[k] + out > stock[k]:
            other, theirs = max(lying, key=lambda pair: pair[1].option.until_h)
            until = when(other.job, theirs.option.until_h)
            return f"the {thing} on {other.job.name} until {until}"
    return "better for all together otherwise"
