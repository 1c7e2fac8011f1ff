"""How news from the sky is worded: rain on a soft face, and no forecast."""

from __future__ import annotations

from curecast.alerts.findings.kinds_ahead import RainAhead, WeatherLost
from curecast.alerts.wording.phrases import (
    Words,
    days,
    how_soon,
    instant,
    last_reading,
    length,
    listed,
    percent,
    short,
    source,
    to_log,
    to_see,
    who_decides,
)
from curecast.core.protection import LAP_M
from curecast.job.layout import Job

__all__ = ["lost", "rain"]


def rain(job: Job, found: RainAhead) -> Words:
    """Rain before the face has set."""
    when, soon = instant(job, found.when_h), how_soon(found.now_h, found.when_h)
    by = "now" if soon == "now" else f"by {when}"
    lines = [
        f"{percent(found.chance)} chance of rain at {job.name} before it has set; from {when}, "
        f"{soon}.",
        f"What to do: have a sheet ready, held clear of the face; cover it {by}, lapped "
        f"{length(job, LAP_M)} over the edges and down. Rain that fell is let off, never worked "
        "in.",
        f"Basis: common practice, no rain on the face before final set; "
        f"{source(job, found.source)}.",
        f"Margin: it sets about {instant(job, found.set_h)}.",
        last_reading(job, found.last),
        who_decides(),
        to_see(job),
    ]
    at = "now" if soon == "now" else f"by {short(job, found.when_h)}"
    lap = f"edges lapped {length(job, LAP_M)}"
    title = f"{job.name}: sheet over it {at}, {lap}: rain before it sets"
    return Words(title, "\n".join(lines))


def lost(job: Job, found: WeatherLost) -> Words:
    """No new forecast for more than a day."""
    age = days((found.now_h - found.source.issued_h) / 24.0)
    if found.ends_h > found.now_h:
        left = f"Margin: the old one reaches to {instant(job, found.ends_h)}, then the climate."
    else:
        left = "Margin: none, the old one has ended; what lies ahead rests on the climate."
    lines = [
        f"No new forecast has come for {job.name}; the newest is {age} old.",
        f"Dates are less sure: {listed(found.waiting)}. A freeze may come without warning.",
        f"What to do: look at another forecast, cover it, lapped {length(job, LAP_M)} over the "
        "edges and down, rather than hope, and read the slab more often.",
        f"Basis: {source(job, found.source)}.",
        left,
        last_reading(job, found.last),
        who_decides(),
        to_log(job),
    ]
    return Words(f"{job.name}: no new forecast for {age}", "\n".join(lines))
