"""What is said of a start: plain sentences in the job's units and local time."""

from __future__ import annotations

import math

from curecast.clock import from_unix_h, show_instant
from curecast.core.rules.finding import Finding
from curecast.core.rules.limits import BROKEN, KEPT
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.week import WeekAnswer
from curecast.quantities import show_quantity

#: Beside every date that someone could be hurt by.
CAUTIONS = (
    "The equipment and anchor makers' manuals, local code and licensed practice govern; "
    "this tool advises, and a strength test settles doubt.",
    "Wet concrete burns skin and eyes: gloves, boots, goggles, clean water at hand.",
    "Silica dust: drill wet or with a vacuum, and wear a respirator.",
    "Heaters and burners need ventilation: carbon monoxide kills, and exhaust dusts fresh faces.",
)
#: Said where a slab lies outdoors, or is covered, or gets steel.
TRADE_NOTES = (
    "Covers dry and weighted down, lapped at least 300 mm (12 in) over the edges.",
    "A slab that will freeze wet wants air-entrained mix, 24 MPa (3500 psi), and no de-icer "
    "the first winter.",
    "No calcium chloride with galvanised anchors or steel in the slab.",
    "Before full torque no wheel or jack within twice the slab's thickness of an edge.",
)


def percent(chance: float | None) -> str:
    """A chance in words: ``3 %``, ``under 1 %``, ``unknown``."""
    if chance is None or math.isnan(chance):
        return "unknown"
    return "under 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"


def when(job: Job, unix_h: float | None) -> str:
    """An instant in the job's local time."""
    if unix_h is None or not math.isfinite(unix_h):
        return "an unknown hour"
    return show_instant(from_unix_h(unix_h), job.site.zone)


def degrees(job: Job, temp_c: float | None) -> str:
    """A temperature in the job's units."""
    if temp_c is None or math.isnan(temp_c):
        return "unknown"
    return show_quantity(temp_c, "temperature", job.units, 0 if job.units == "us" else 1)


def _difference(job: Job, kelvin: float | None) -> str:
    if kelvin is None or math.isnan(kelvin):
        return "unknown"
    return show_quantity(kelvin, "temperature difference", job.units, 0)


def _freeze(job: Job, j: Judged, f: Finding) -> str:
    place = "an edge or corner of the concrete"
    if f.verdict == KEPT:
        return (
            f"stays above freezing: likely coldest {degrees(job, j.frost.likely_coldest_c)} at "
            f"{when(job, f.at_h)}, one in ten colder than {degrees(job, f.value)}"
        )
    return (
        f"{percent(f.chance)} chance that {place} comes down to {degrees(job, f.limit)} before it "
        f"can bear frost; likely coldest {degrees(job, j.frost.likely_coldest_c)} at "
        f"{when(job, f.at_h)}"
    )


def _warmth(job: Job, j: Judged, f: Finding) -> str:
    if f.verdict == KEPT:
        return f"no cold spell by the rule, or kept at {degrees(job, f.limit)}"
    return (
        f"falls to {degrees(job, f.value)} by {when(job, f.at_h)}, below the "
        f"{degrees(job, f.limit)} that the rule asks in cold weather: slower, not unsafe"
    )


def _ground(job: Job, j: Judged, f: Finding) -> str:
    if f.verdict == KEPT:
        return f"the ground is at about {degrees(job, f.value)}"
    if f.value is not None and f.value <= 0.0:
        return (
            f"the ground is frozen, at about {degrees(job, f.value)}: thaw it and keep it covered, "
            "or it settles and heaves under the slab"
        )
    return (
        f"the ground is at about {degrees(job, f.value)}, {percent(f.chance)} chance that it is at "
        f"or below {degrees(job, f.limit)}: cover it for some days before, and measure it"
    )


def _hours(job: Job, j: Judged, f: Finding) -> str:
    if f.value is None:
        return "too cold to set: finishing would not end that day"
    if f.verdict == KEPT:
        return f"finishing ends about {when(job, f.value)}, within the day"
    return (
        f"finishing ends about {when(job, f.value)}; the crew's day or the daylight ends "
        f"{when(job, f.limit)}: {percent(f.chance)} chance of running over"
    )


def _rain(job: Job, j: Judged, f: Finding) -> str:
    if f.verdict == KEPT:
        return "no rain to speak of before final set"
    ready = "; have the sheet ready" if f.advice else "; a sheet at hand would do"
    return f"{percent(f.chance)} chance of rain about {when(job, f.at_h)}, before it has set{ready}"


def _drying(job: Job, j: Judged, f: Finding) -> str:
    rate = "unknown" if f.value is None else show_quantity(f.value, "evaporation", job.units)
    limit = "" if f.limit is None else show_quantity(f.limit, "evaporation", job.units)
    if f.verdict == KEPT:
        return f"dries at most {rate}"
    return (
        f"the fresh face may dry at {rate} (act from {limit}; +/- 40 %): break the wind, mist it, "
        "or cover it between passes"
    )


def _heat(job: Job, j: Judged, f: Finding) -> str:
    if f.verdict == KEPT:
        return f"placed at about {degrees(job, f.value)}"
    return f"placed at about {degrees(job, f.value)}: too hot, cool the water or start earlier"


def _uncovering(job: Job, j: Judged, f: Finding) -> str:
    if f.at_h is None:
        return "nothing comes off in the first days"
    if f.verdict == KEPT:
        return f"the cover may come off {when(job, f.at_h)}"
    return (
        f"at {when(job, f.at_h)} the face may still be {_difference(job, f.value)} above the air "
        f"({_difference(job, f.limit)} is the aim): take the cover off by stages, at midday"
    )


def _reach(job: Job, j: Judged, f: Finding) -> str:
    if f.verdict == KEPT:
        return f"the forecast reaches to {when(job, f.at_h)}"
    return (
        f"the forecast ends {when(job, f.at_h)}, before its first day is over: ask again nearer "
        "the day"
    )


def _age(job: Job, j: Judged, f: Finding) -> str:
    made = f"the forecast was made {when(job, f.at_h)}, {f.value or 0.0:.0f} h ago"
    if f.verdict == KEPT:
        return f"{made}; its doubt counts from then"
    return f"{made}: too old to rest on"


_SAY = {
    "freeze": _freeze,
    "temperature": _warmth,
    "ground": _ground,
    "daylight and crew hours": _hours,
    "rain": _rain,
    "evaporation": _drying,
    "heat": _heat,
    "uncovering": _uncovering,
    "forecast reach": _reach,
    "forecast age": _age,
}


def finding_sentence(job: Job, judged: Judged, finding: Finding) -> str:
    """One rule on one start, in a sentence without its first capital.

    Parameters
    ----------
    job : Job
        For units and zone.
    judged : Judged
        The start.
    finding : Finding
        One of its rules.
    """
    return _SAY[finding.rule](job, judged, finding)


def verdict_words(verdict: str) -> str:
    """A verdict as people read it."""
    return {
        "pour": "pour",
        "pour-with-protection": "pour, protected",
        "at-risk": "at risk",
        "do-not-pour": "do not pour",
    }[verdict]


def deciding(judged: Judged) -> list[Finding]:
    """The rules that hold a start back, the worst first."""
    lacking = [f for f in judged.findings if f.verdict != KEPT]
    return sorted(lacking, key=lambda f: (f.advice, f.verdict != BROKEN))


def start_reasons(job: Job, judged: Judged) -> list[str]:
    """Why a start has its verdict: what holds it back, or what it rests on."""
    lacking = deciding(judged)
    told = [f"{f.rule}: {finding_sentence(job, judged, f)}" for f in lacking]
    if not lacking or all(f.advice for f in lacking):
        freeze = judged.frost.finding
        told.insert(0, f"freeze: {finding_sentence(job, judged, freeze)}")
    if judged.measure.steps:
        told.append("with " + "; ".join(judged.measure.steps))
    if judged.measure.warm_mix and job.placing.temperature_c is None:
        told.append(
            f"mixed with warm water so that it lands at about {degrees(job, judged.placed_c)} "
            "(never over 60 °C / 140 °F on cement)"
        )
    return told


def would_work(job: Job, judged: Judged) -> str:
    """What would make a start work, for one that doesn't."""
    broken = [f for f in judged.findings if f.verdict == BROKEN and not f.advice]
    said: list[str] = []
    for f in broken:
        if f.rule == "freeze":
            if judged.would_work is not None:
                said.append(f"{judged.would_work.name} would keep it from freezing")
            else:
                warmer = (f.limit or 0.0) - (f.value or 0.0) + 0.5
                said.append(
                    f"nights about {_difference(job, warmer)} warmer"
                    if warmer < 12.0
                    else "weather far warmer than this"
                )
        elif f.rule == "ground":
            said.append("ground thawed and kept above freezing by covers or heat for days before")
        elif f.rule == "daylight and crew hours":
            said.append("an earlier start, warmer concrete, more hands, or lights and longer hours")
        elif f.rule == "rain":
            said.append("a sheet or a roof at hand")
        elif f.rule == "heat":
            said.append("cooler water, or the cool of the morning")
    return "; and ".join(said)


def week_reasons(answer: WeekAnswer) -> list[str]:
    """Why the best start won, and what would change a week without one."""
    job = answer.job
    if not answer.starts:
        return ["the crew works no hour of the coming week: see [crew] days and hours"]
    if answer.best is None:
        nearest = answer.starts[answer.ranked[0]]
        lines = ["No start this week works."]
        change = would_work(job, nearest)
        if change:
            at = when(job, nearest.candidate.start_h)
            lines.append(f"Nearest is {at}. What would make it work: {change}.")
        return lines
    best = answer.starts[answer.best]
    lines = [f"Why {when(job, best.candidate.start_h)}:"]
    lacking = deciding(best)
    if lacking and all(f.advice for f in lacking):
        lines.append(
            "  - every rule that decides is kept; it is at risk by advice alone: "
            + ", ".join(f.rule for f in lacking)
        )
    lines += [f"  - {reason}" for reason in start_reasons(job, best)]
    return lines
