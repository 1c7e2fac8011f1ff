"""What each rule says of a start, in a sentence without its first capital."""

from __future__ import annotations

from curecast.core.rules.finding import Finding
from curecast.core.rules.limits import KEPT
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.lap import beyond_form
from curecast.prospect.plain_words import degrees, difference, percent, when
from curecast.quantities import show_quantity


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
            f"{beyond_form(job)}, or it settles and heaves under the slab"
        )
    return (
        f"the ground is at about {degrees(job, f.value)}, {percent(f.chance)} chance that it is at "
        f"or below {degrees(job, f.limit)}: cover it for some days before, "
        f"{beyond_form(job)}, and measure it"
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
        f"at {when(job, f.at_h)} the face may still be {difference(job, f.value)} above the air "
        f"({difference(job, f.limit)} is the aim): take the cover off by stages, at midday"
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
