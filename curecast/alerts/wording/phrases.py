"""Phrases that messages share: job units, local time, who decides, how to answer."""

from __future__ import annotations

import math
from dataclasses import dataclass

from curecast.alerts.findings.kinds import Source
from curecast.clock import from_unix_h, show_instant
from curecast.core.evidence import NEEDED_SHARE
from curecast.job.layout import Job
from curecast.prospect.record import Seen
from curecast.prospect.standing import HoldAnswer
from curecast.quantities import show_quantity

__all__ = [
    "STOP",
    "Words",
    "above_and_below",
    "days",
    "degrees",
    "difference",
    "how_soon",
    "instant",
    "last_reading",
    "length",
    "listed",
    "margin",
    "needs",
    "percent",
    "short",
    "source",
    "to_log",
    "to_see",
    "where",
    "who_decides",
]

STOP = "STOP"
_WHERE = {
    "surface": "at the surface",
    "inside": "inside the slab",
    "under-cover": "under the cover",
    "air": "in the air",
    "ground": "in the ground",
}
_PLACES = {
    "surface": "at the surface",
    "edge": "at the edge",
    "anchor": "at the anchors",
    "coldest": "at the coldest place",
}


@dataclass(frozen=True)
class Words:
    """A message as people read it."""

    title: str
    body: str


def instant(job: Job, unix_h: float) -> str:
    """An instant in the job's local time with the zone's name."""
    if not math.isfinite(unix_h):
        return "no date within the horizon"
    return show_instant(from_unix_h(unix_h), job.site.zone)


def short(job: Job, unix_h: float) -> str:
    """An instant of the next days in a title, for a small screen: day and hour, local time."""
    day, _, _, hour, _ = instant(job, unix_h).split(maxsplit=4)
    return f"{day} {hour}"


def degrees(job: Job, temp_c: float) -> str:
    """A temperature in the job's units."""
    return show_quantity(temp_c, "temperature", job.units)


def difference(job: Job, kelvin: float) -> str:
    """A difference of temperature in the job's units."""
    return show_quantity(kelvin, "temperature difference", job.units)


def length(job: Job, metres: float) -> str:
    """A length in the job's units, to the whole unit."""
    return show_quantity(metres, "length", job.units, 0)


def percent(chance: float) -> str:
    """A chance in words."""
    return "under 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"


def days(number: float) -> str:
    """A number of days."""
    shown = f"{number:.1f}".removesuffix(".0")
    return "1 day" if shown == "1" else f"{shown} days"


def how_soon(now_h: float, at_h: float) -> str:
    """How far ahead an instant lies."""
    hours = at_h - now_h
    if hours < 0.75:
        return "now"
    return f"in about {hours:.0f} h"


def where(seen: Seen) -> str:
    """Where a reading was taken."""
    return _WHERE[seen.where]


def last_reading(job: Job, seen: Seen | None) -> str:
    """The line that names the last reading."""
    if seen is None:
        return "Last reading: none yet."
    return f"Last reading: {degrees(job, seen.value_c)} {where(seen)}, {instant(job, seen.at_h)}."


def needs(job: Job, stands: HoldAnswer) -> str:
    """The line that says what a hold waits for, and by whose word."""
    rule, parts = stands.rule, []
    if rule.strength_mpa is not None:
        need = show_quantity(rule.strength_mpa, "strength", job.units)
        parts.append(f"{need} {_PLACES[rule.place]} by nine of ten")
    if rule.least_age_h > 0.0:
        age = rule.least_age_h
        parts.append(f"an age of {days(age / 24.0)}" if age > 48.0 else f"an age of {age:.0f} h")
    if not parts:
        parts.append("final set")
    return f"Basis: {' and '.join(parts)} ({rule.basis})."


def margin(stands: HoldAnswer, tested: str = "") -> str:
    """The line that says how far a hold is from its need."""
    if tested:
        return f"Margin: a strength test showed {tested}."
    rule = stands.rule
    if rule.strength_mpa is None or not math.isfinite(stands.needed_d):
        passed = "has passed" if stands.age_met else "has not passed"
        return f"Margin: its least age {passed}."
    line = (
        f"Margin: {days(stands.reached_d)} at 20 °C (68 °F) reached, {days(stands.needed_d)} needed"
    )
    if rule.evidence != "reading":
        return f"{line}; no reading is asked for this hold."
    return (
        f"{line}; readings vouch for {percent(stands.share)} of that, "
        f"{percent(NEEDED_SHARE)} is asked."
    )


def source(job: Job, made: Source | None) -> str:
    """Which forecast, and from when."""
    if made is None:
        return "the kept forecasts"
    return f"{made.name}, issued {instant(job, made.issued_h)}"


def listed(names: tuple[str, ...]) -> str:
    """``a, b and c``."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def who_decides() -> str:
    """The line that says who decides."""
    return (
        "Who decides: the makers' manuals, local code and licensed practice. "
        "This is advice from a calculation."
    )


def to_see(job: Job, hold: str | None = None) -> str:
    """The command that shows where it stands."""
    return f"To see where it stands: curecast holds {job.name}{f' {hold}' if hold else ''}"


def to_log(job: Job) -> str:
    """The command that answers with a reading."""
    return (
        f"To answer: curecast log {job.name} READING (as the thermometer shows it, with its unit)"
    )


def above_and_below(job: Job, value_c: float, least_c: float) -> str:
    """How far a reading lies below the rule and above freezing."""
    below = f"Margin: {difference(job, least_c - value_c)} below the rule"
    if value_c <= 0.0:
        return f"{below}, and at or below freezing."
    return f"{below}, {difference(job, value_c)} above freezing."
