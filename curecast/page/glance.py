"""Where a slab stands, in the few words that fit a phone: what may be done, what not, and when."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from markupsafe import Markup

from curecast.clock import from_unix_h, show_day, show_instant
from curecast.core.heat.covers import cover_state
from curecast.core.histories import EDGE, PLACES, SURFACE
from curecast.core.states import PERMISSION
from curecast.core.weather.series import Forecast
from curecast.page.night import Night, night_of
from curecast.prospect.frost_under import frost_under_notes
from curecast.prospect.innovations import thermometer_notes
from curecast.prospect.needs import frozen_words, look_command, needs_of, next_reading
from curecast.prospect.plain_words import degrees
from curecast.prospect.standing import HoldAnswer, SlabAnswer, strength_quantiles
from curecast.prospect.testing import fit_notes
from curecast.quantities import show_quantity
from curecast.report.pictures.marks import STATE_WORDS, in_line, state_mark
from curecast.report.words import BEYOND, hours_words, short_date

__all__ = ["Glance", "Step", "glance_of", "step_name"]

#: A date that lies further ahead is given as a day. [h]
_FAR_H = 72.0
_NAMES = {
    "walk": "walk on it",
    "strip": "strip the form",
    "saw-cut": "saw-cut",
    "end-protection": "end the frost protection",
    "light-load": "light load",
    "end-moist-cure": "end the moist cure",
    "drill": "drill",
    "snug": "snug the nuts",
    "full-torque": "full torque",
    "re-check": "check the torque again",
    "service-load": "service load",
}


@dataclass(frozen=True)
class Step:
    """One hold in a list: its mark, its plain name, when or why, and what it still needs."""

    mark: Markup
    name: str
    when: str
    needs: tuple[str, ...] = ()


@dataclass(frozen=True)
class Glance:
    """A slab now, in words; ``at`` is when it was worked out, ``zone`` whose clock is shown.

    ``released`` rests on evidence and ``signed`` on a person's word: the page never mixes them.
    """

    at: datetime
    zone: str | None
    shown_at: str
    slab: tuple[str, ...]
    alarm: str
    released: tuple[Step, ...]
    signed: tuple[Step, ...]
    stopped: tuple[Step, ...]
    waiting: tuple[Step, ...]
    reading: str
    reading_due: bool
    covered: bool
    surface_c: float | None
    night: Night
    notes: tuple[str, ...]


def step_name(hold: str) -> str:
    """A hold in plain words.

    >>> step_name("full-torque")
    'full torque'
    """
    return _NAMES.get(hold, hold)


def glance_of(
    answer: SlabAnswer, at: datetime, newest: Forecast | None, notes: Sequence[str]
) -> Glance:
    """What the page says of a slab.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    at : datetime
        When it was worked out. [aware]
    newest : Forecast or None
        The newest forecast.
    notes : sequence of str
        What else is to be said, of the weather for instance.
    """
    groups: dict[str, list[HoldAnswer]] = {"released": [], "signed": [], "stop": [], "wait": []}
    for hold in answer.holds.values():
        if hold.state != "over":
            groups[_group(hold)].append(hold)
    groups["wait"].sort(key=lambda hold: hold.count_on_h)
    told = {key: tuple(_step(answer, hold) for hold in group) for key, group in groups.items()}
    due_h = answer.evidence.next_by_h
    surface_c = _now_c(answer, SURFACE)
    return Glance(
        at=at,
        zone=answer.job.site.zone,
        shown_at=show_instant(at, answer.job.site.zone),
        slab=_slab_words(answer),
        alarm="" if answer.frozen_early == "no" else _sentence(frozen_words(answer)),
        released=told["released"],
        signed=told["signed"],
        stopped=told["stop"],
        waiting=told["wait"],
        reading=_sentence(next_reading(answer)),
        reading_due=due_h is None or answer.origin_h + due_h <= answer.now_h,
        covered=cover_state(answer.spells, answer.age_h).covered,
        surface_c=surface_c,
        night=night_of(answer, newest),
        notes=(
            *notes,
            *frost_under_notes(answer),
            *thermometer_notes(answer),
            *fit_notes(answer),
        ),
    )


def _group(hold: HoldAnswer) -> str:
    if hold.state in PERMISSION:
        return "released" if hold.state == "released" else "signed"
    return "stop" if hold.state in ("withdrawn", "barred") else "wait"


def _step(answer: SlabAnswer, hold: HoldAnswer) -> Step:
    mark = in_line(state_mark(hold.state, 7, 7))
    command = look_command(answer)  # the page has a button for it
    needs = tuple(_sentence(need.replace(command, "")) for need in needs_of(answer, hold))
    return Step(mark, step_name(hold.rule.name), _when(answer, hold), needs)


def _when(answer: SlabAnswer, hold: HoldAnswer) -> str:
    """The date of a hold, or what a permission or a stop rests on."""
    if hold.state == "signed-off":
        signed = [s for s in answer.record.signed if s.hold == hold.rule.name]
        return f"by {signed[-1].by}: {signed[-1].reason}" if signed else "by a person"
    if hold.state == "released":
        if hold.by_test:
            return "on a strength test"
        return "by the model, no reading asked" if hold.rule.evidence == "none" else "on readings"
    if hold.state in ("withdrawn", "barred"):
        return STATE_WORDS[hold.state] + (f": {hold.why}" if hold.why else "")
    if hold.state == "unproven":
        return "evidence is missing"
    if not math.isfinite(hold.count_on_h):
        return BEYOND
    zone = answer.job.site.zone
    if hold.count_on_h - answer.now_h > _FAR_H:
        return show_day(from_unix_h(hold.count_on_h), zone)
    return short_date(hold.count_on_h, zone)


def _now_c(answer: SlabAnswer, place: int) -> float | None:
    """Likely temperature at a place; None where it is not followed any more. [°C]"""
    past = answer.past
    if not 0.0 <= answer.age_h <= past.t_h[-1]:
        return None
    likely = np.median(past.temp_c[:, place, 1:], axis=1)
    return float(np.interp(answer.age_h, past.t_h, likely))


def _slab_words(answer: SlabAnswer) -> tuple[str, ...]:
    """Age, temperature and strength, a line each."""
    job = answer.job
    since_h = answer.age_h - answer.placed_h
    lines = [f"{hours_words(since_h)} after the last batch" if since_h > 0.0 else "placing"]
    top_c, edge_c = _now_c(answer, SURFACE), _now_c(answer, EDGE)
    if top_c is not None and edge_c is not None:
        lines.append(f"about {degrees(job, top_c)} at the top, {degrees(job, edge_c)} at the edge")
    i = max(int(np.searchsorted(answer.past.t_h, answer.age_h + 1e-9)) - 1, 0)
    places = range(len(PLACES))
    halves, nines = zip(*(strength_quantiles(answer, k) for k in places), strict=True)
    likely, count_on = (
        show_quantity(float(min(q[i] for q in some)), "strength", job.units)
        for some in (halves, nines)
    )
    return (*lines, f"strength: count on {count_on}, likely {likely}")


def _sentence(words: str) -> str:
    """Words with a capital and a full stop."""
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")
