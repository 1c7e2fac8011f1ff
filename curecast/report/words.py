"""Figures as people read them on a page: dates, places, things done."""

from __future__ import annotations

import math

from markupsafe import Markup

from curecast.clock import from_unix_h, local_hour, show_day, show_instant, show_time_of_day
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.record import Done
from curecast.quantities import show_quantity

BEYOND = "not within 180 days"
Fact = tuple[str, str | Markup]


def instant(at_h: float, zone: str | None, *, year: bool = False) -> str:
    """An instant with its zone; words where it lies beyond the horizon."""
    return show_instant(from_unix_h(at_h), zone, year=year) if math.isfinite(at_h) else BEYOND


def short_date(at_h: float, zone: str | None) -> str:
    """Day and time without the zone.

    >>> short_date(501398.0, "America/New_York"), short_date(float("inf"), None)
    ('Sun 14 Mar 10:00', 'not within 180 days')
    """
    if not math.isfinite(at_h):
        return BEYOND
    at = from_unix_h(at_h)
    minute = round(local_hour(at, zone) * 60) % 1440
    return f"{show_day(at, zone)} {show_time_of_day(minute / 60)}"


def zone_words(zone: str | None) -> str:
    """Whose clock the page shows."""
    return f"local time, {zone}" if zone else "time in UTC: the job names no zone"


def size_words(job: Job, units: str) -> str:
    """Length, width and thickness of the slab."""
    slab = job.slab
    sides = (slab.length_m, slab.width_m, slab.thickness_m)
    return " × ".join(show_quantity(side, "length", units) for side in sides)


def hours_words(hours: float) -> str:
    """A span of time, as age or ago.

    >>> hours_words(0.5), hours_words(30.0), hours_words(110.0)
    ('30 min', '30 h', '4.6 d')
    """
    return show_quantity(hours, "time", "si")


def chance_words(chance: float | None) -> str:
    """A chance 0..1 as people read it.

    >>> chance_words(0.0), chance_words(0.004), chance_words(0.127)
    ('under 1 %', 'under 1 %', '13 %')
    """
    if chance is None or not math.isfinite(chance):
        return "unknown"
    if chance < 0.01:
        return "under 1 %"
    return "over 99 %" if chance > 0.99 else f"{100.0 * chance:.0f} %"


def done_words(done: Done, units: str) -> str:
    """One thing done at the slab."""
    n = done.numbers
    if done.kind == "cover":
        layers = n.get("layers", 1.0)
        if layers <= 0:
            return "cover taken off"
        return f"covered, {layers:.0f} layer{'s' if layers > 1 else ''}"
    if done.kind == "heater":
        to_c = n.get("heat_to_c")
        if to_c is None or n.get("off", 0.0):
            return "heater off"
        return f"heated to {show_quantity(to_c, 'temperature', units)}"
    plain = {"look": "looked at", "torque": "torqued", "strip": "form taken off"}
    return plain.get(done.kind, done.kind)


def weather_facts(forecast: Forecast | None, now_h: float, zone: str | None) -> list[Fact]:
    """Where the weather comes from, how old it is and how far it reaches."""
    if forecast is None:
        return []
    facts: list[Fact] = [
        ("Source", forecast.source),
        (
            "Made",
            f"{instant(forecast.issued_h, zone)}, {hours_words(now_h - forecast.issued_h)} ago"
            if now_h > forecast.issued_h
            else instant(forecast.issued_h, zone),
        ),
        ("Fetched", instant(forecast.fetched_h, zone)),
        ("Reaches to", instant(float(forecast.weather.end_h), zone)),
    ]
    facts += [("Odd about it", flag) for flag in forecast.flags]
    return facts + [("With thanks", credit) for credit in forecast.credits]


def assumed_rows(job: Job) -> list[tuple[str, str, str]]:
    """Everything that the job does not give."""
    return [(a.key, a.stand_in, a.why) for a in job.assumed]
