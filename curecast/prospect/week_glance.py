"""The answer of a week in a line or two: the day, what to lay, and what waiting would save."""

from __future__ import annotations

from curecast.clock import from_unix_h, show_day
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.changes import change_words
from curecast.prospect.cover_cost import cover_cost, money
from curecast.prospect.cover_stay import Stay
from curecast.prospect.plain_words import difference, percent, when
from curecast.prospect.rule_words import finding_sentence
from curecast.prospect.start_words import (
    MEANINGS,
    cover_words,
    deciding,
    start_words,
)
from curecast.prospect.week import WeekAnswer

#: Chances of frost that differ by less are told as the same. [-]
_SAME_CHANCE = 0.005


def best_of_days(week: WeekAnswer) -> dict[str, int]:
    """The best start of each day, in order of time: day to index."""
    ranks = {index: rank for rank, index in enumerate(week.ranked)}
    found: dict[str, int] = {}
    for i in range(len(week.starts)):
        day = day_of(week, i)
        if day not in found or ranks[i] < ranks[found[day]]:
            found[day] = i
    return found


def day_of(week: WeekAnswer, index: int) -> str:
    """The local day of a start."""
    start_h = week.starts[index].candidate.start_h
    return show_day(from_unix_h(start_h), week.job.site.zone)


def headline(week: WeekAnswer) -> str:
    """What to do, in one line."""
    if week.best is None:
        return "Do not pour this week: no start works."
    best = week.starts[week.best]
    at = when(week.job, best.candidate.start_h)
    lay = "nothing to lay" if best.measure.level == 0 else cover_words(week.job, best)
    if best.measure.level == 0 and week.job.covers:
        lay = "the cover as planned"
    price = _price(week, week.best)
    return (
        f"Pour {at}: {start_words(best)}. Lay: {lay}{price}. "
        f"Chance of frost {percent(best.frost.chance_freeze)}."
    )


def stay_words(job: Job, judged: Judged, stay: Stay | None) -> str:
    """When the cover goes on and off; empty where nothing is laid."""
    if stay is None:
        return ""
    heated = judged.measure.heated
    on = (
        f"heat from {when(job, stay.on_h)} on"
        if heated
        else f"lay it about {when(job, stay.on_h)}, after the last float"
    )
    if stay.off_h is None:
        planned = judged.origin_h + max((c.to_h for c in judged.measure.spells), default=0.0)
        end = "let the heat down" if heated else "take it off"
        return (
            f"{on}; leave it past {when(job, planned)}, until the face is near the air, then "
            f"{end} in steps at midday"
        )
    fall = "" if stay.fall_k is None else difference(job, stay.fall_k)
    return (
        f"{on}; it may {'end' if heated else 'come off'} from {when(job, stay.off_h)} on, in the "
        "forenoon, never towards a night"
    ) + (f"; the face then falls by {fall} at most within a day" if fall else "")


def waiting_lines(week: WeekAnswer) -> list[str]:
    """The soonest start that works against the best or the cheapest one."""
    if week.best is None:
        return []
    works = [i for i in best_of_days(week).values() if week.starts[i].verdict != "do-not-pour"]
    soonest = works[0]
    later = [i for i in works[1:] if _effort(week, i) < _effort(week, soonest)]
    if not later:
        return []
    least = min(later, key=lambda i: _effort(week, i))
    if week.best in later and _effort(week, week.best) == _effort(week, least):
        least = week.best
    words = [start_words(week.starts[i]) for i in (soonest, least)]
    if words[0] == words[1]:
        words = ["", ""]
    soon, late = (
        _offer(week, i) + (f", {word}" if word else "")
        for i, word in zip((soonest, least), words, strict=True)
    )
    return [f"{soon}. Or wait until {late}."]


def change_lines(week: WeekAnswer) -> list[str]:
    """What would change the answer: how cold it may turn, how much warmer another day needs."""
    return [change_words(week.job, week.starts[i], change) for i, change in week.changes.items()]


def _effort(week: WeekAnswer, index: int) -> tuple[float, int]:
    cost = cover_cost(week.job, week.starts[index], week.stays.get(index))
    level = week.starts[index].measure.level
    return (float(level) if cost is None else cost.total, level)


def _offer(week: WeekAnswer, index: int) -> str:
    start = week.starts[index]
    lay = "no cover" if start.measure.level == 0 else cover_words(week.job, start)
    lay = lay.replace(", ", " for ")
    return f"{day_of(week, index)}: {lay}{_price(week, index)}"


def _price(week: WeekAnswer, index: int) -> str:
    cost = cover_cost(week.job, week.starts[index], week.stays.get(index))
    return "" if cost is None else f" ({money(week.job, cost.total)})"


def other_days(week: WeekAnswer) -> list[str]:
    """Why each other day lost, or what is wrong with each where none works."""
    tops = best_of_days(week)
    best_day = None if week.best is None else day_of(week, week.best)
    return [f"{day}: {_lost(week, i)}" for day, i in tops.items() if day != best_day]


def _lost(week: WeekAnswer, index: int) -> str:
    judged = week.starts[index]
    best: Judged | None = None if week.best is None else week.starts[week.best]
    known = set() if best is None else {f.rule for f in deciding(best)}
    worse = [f for f in deciding(judged) if f.rule not in known or not f.advice]
    if worse:
        more = f" (and {len(worse) - 1} more)" if len(worse) > 1 else ""
        return f"{worse[0].rule}: {finding_sentence(week.job, judged, worse[0])}{more}"
    if best is None:
        return "works"
    if judged.measure.level > best.measure.level:
        return f"works too, but needs more: {cover_words(week.job, judged)}{_price(week, index)}"
    chances = judged.frost.chance_freeze, best.frost.chance_freeze
    if chances[0] > chances[1] + _SAME_CHANCE:
        return (
            f"works too, but with more chance of frost: {percent(chances[0])} against "
            f"{percent(chances[1])}"
        )
    return "works too, only later or with less margin"


def meaning_lines(words: set[str]) -> list[str]:
    """What the words of a table mean, those that stand in it."""
    return [f"{word}: {meaning}" for word, meaning in MEANINGS.items() if word in words]
