"""What the page of a poured slab says in figures: where it stands, what is allowed, its log."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from curecast.clock import from_unix_h, show_day
from curecast.core.histories import PLACES
from curecast.core.states import PERMISSION
from curecast.prospect.needs import next_reading
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity
from curecast.report.lines import HoldLine
from curecast.report.pictures.marks import STATE_WORDS, in_line, state_mark
from curecast.report.pictures.strength import Growth
from curecast.report.words import (
    Fact,
    chance_words,
    done_words,
    hours_words,
    instant,
    short_date,
    size_words,
)

_NIGHTS_H = 48.0
_TRACE_MPA = 0.1
_FROZEN_WORDS = {"no": "no", "possible": "possible", "yes": "yes"}


@dataclass(frozen=True)
class Told:
    """One hold in the list of what may be done: its mark, its name, and what to wait for."""

    mark: Markup
    name: str
    note: str


def temperatures_now(answer: SlabAnswer) -> dict[str, float | None]:
    """Likely temperature by place; None beyond the history. [°C]"""
    past = answer.past
    if not 0.0 <= answer.age_h <= past.t_h[-1]:
        return dict.fromkeys(PLACES)
    likely = np.median(past.temp_c[:, :, 1:], axis=2)
    return {p: float(np.interp(answer.age_h, past.t_h, likely[:, i])) for i, p in enumerate(PLACES)}


def _coldest_ahead(answer: SlabAnswer, units: str) -> str | None:
    """Likely and one-in-ten coldest place of the next two nights."""
    past = answer.past
    ahead = (past.t_h >= answer.age_h) & (past.t_h <= answer.age_h + _NIGHTS_H)
    if not ahead.any():
        return None
    coldest = past.coldest_c[ahead][:, 1:]
    lowest = coldest.min(axis=0)
    likely, tenth = float(np.median(lowest)), float(np.quantile(lowest, 0.1))
    when = past.t_h[ahead][int(np.argmin(np.median(coldest, axis=1)))]
    shown = [show_quantity(v, "temperature", units) for v in (likely, tenth)]
    at = short_date(answer.origin_h + float(when), answer.job.site.zone)
    return f"in 48 h likely {shown[0]} ({at}), by one in ten {shown[1]} or colder"


def slab_facts(answer: SlabAnswer, growth: Growth, units: str) -> list[Fact]:
    """The head of the page: name and what is said, in order."""
    job, record, zone = answer.job, answer.record, answer.job.site.zone
    end_h = answer.origin_h + answer.placed_h
    poured = f"{instant(record.start_h, zone, year=True)} to {instant(end_h, zone)}"
    if record.bags is not None:
        poured += f", {record.bags:g} bags"
    facts: list[Fact] = [
        ("Slab", size_words(job, units)),
        ("Poured", poured),
        ("Now", f"{instant(answer.now_h, zone, year=True)}, {_age_words(answer)}"),
        ("Temperature", _temperature_words(answer, units)),
        ("Strength", _strength_words(answer, growth, units)),
        ("Frozen early", _frozen_words(answer)),
    ]
    facts.append(("Evidence", _evidence_words(answer)))
    ahead = _coldest_ahead(answer, units)
    if ahead is not None:
        facts.append(("Coldest ahead", ahead))
    return facts


def _age_words(answer: SlabAnswer) -> str:
    since = answer.age_h - answer.placed_h
    return f"{hours_words(since)} after the last batch" if since > 0.0 else "placing"


def _temperature_words(answer: SlabAnswer, units: str) -> str:
    now = temperatures_now(answer)
    if all(value is None for value in now.values()):
        return "not followed this far"
    return ", ".join(f"{p} {show_quantity(v, 'temperature', units)}" for p, v in now.items())


def _strength_words(answer: SlabAnswer, growth: Growth, units: str) -> str:
    last = float(growth.at_h[-1])
    pair = growth.at(min(answer.now_h, last))
    if pair is None:
        return "none yet"
    if not pair[1] >= _TRACE_MPA:
        return "none to speak of yet"
    likely, count_on = (show_quantity(v, "strength", units) for v in pair)
    more = "at least " if answer.now_h > last else ""
    return f"{more}{likely} likely, {count_on} by nine of ten, where the anchors sit"


def _evidence_words(answer: SlabAnswer) -> str:
    evidence, zone = answer.evidence, answer.job.site.zone
    said = evidence.kind
    if evidence.last_reading_h is not None:
        said += f", last {instant(answer.origin_h + evidence.last_reading_h, zone)}"
        said += f"; longest gap {hours_words(evidence.longest_gap_h)}"
    return said


def _frozen_words(answer: SlabAnswer) -> str:
    said = _FROZEN_WORDS.get(answer.frozen_early, answer.frozen_early)
    if answer.frozen_early == "no":
        return said
    return f"{said}: chance {chance_words(answer.chance_frozen)}"


def standing_lists(answer: SlabAnswer, holds: Sequence[HoldLine]) -> dict[str, list[Told]]:
    """What may be done now, on what ground, and what not: four lists of holds."""
    dated: dict[str, list[tuple[float, Told]]] = {
        "released": [], "signed": [], "wait": [], "stop": []
    }  # fmt: skip
    for hold in holds:
        found = answer.holds.get(hold.name)
        state = hold.state if found is None else found.state
        mark = in_line(state_mark(state, 7, 7))
        if state in PERMISSION:
            group, note = ("released" if state == "released" else "signed"), ""
            if group == "released" and found is not None and found.rule.evidence == "none":
                note = "by the model, no reading asked"
        elif state in ("withdrawn", "barred"):
            group, note = "stop", STATE_WORDS[state]
        elif state == "over":
            continue
        else:
            group = "wait"
            note = "unproven" if state == "unproven" else _day(answer, hold)
        date = math.inf if found is None else found.count_on_h
        dated[group].append((date, Told(mark, hold.name, note)))
    return {
        group: [told for _, told in sorted(entries, key=lambda e: e[0])]
        if group == "wait"
        else [told for _, told in entries]
        for group, entries in dated.items()
    }


def _day(answer: SlabAnswer, hold: HoldLine) -> str:
    found = answer.holds.get(hold.name)
    if found is None or not math.isfinite(found.count_on_h):
        return hold.count_on
    if found.count_on_h - answer.now_h < 36.0:
        return short_date(found.count_on_h, answer.job.site.zone)
    return show_day(from_unix_h(found.count_on_h), answer.job.site.zone)


def next_step(answer: SlabAnswer, holds: Sequence[HoldLine]) -> str:
    """What to do next: the reading that is due, else what the next hold waits for."""
    waiting = [
        (found.count_on_h, hold, found)
        for hold in holds
        if (found := answer.holds.get(hold.name)) is not None
        and found.state not in (*PERMISSION, "over")
    ]
    if any(found.state == "barred" for *_, found in waiting):
        return "a strength test: nothing else lifts the bar"
    if any(found.rule.evidence == "reading" for *_, found in waiting):
        return next_reading(answer)
    for _, hold, _ in sorted(waiting, key=lambda one: one[0]):
        if hold.needs:
            return f"{hold.name}, {hold.needs[0].removeprefix('time: ')}"
    return ""


def log_rows(answer: SlabAnswer, units: str) -> list[tuple[str, str]]:
    """Things done, tests and sign-offs in order of time."""
    record, zone = answer.record, answer.job.site.zone
    rows = [(d.at_h, done_words(d, units)) for d in record.done]
    rows += [
        (t.at_h, f"strength test, {t.kind}: {show_quantity(t.strength_mpa, 'strength', units)}")
        for t in record.tested
    ]
    for s in record.signed:
        what = "withdrawn" if s.withdrawn else "signed off"
        rows.append((s.at_h, f"{s.hold} {what} by {s.by}: {s.reason}"))
    return [(short_date(at_h, zone), text) for at_h, text in sorted(rows, key=lambda r: r[0])]
