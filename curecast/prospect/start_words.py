"""A start at a glance: its verdict in words that tell frost from slowness, its cover, its dates."""

from __future__ import annotations

import math

from curecast.clock import from_unix_h, show_day
from curecast.core.openings import count_on_h
from curecast.core.rules.finding import Finding
from curecast.core.rules.limits import BROKEN, KEPT
from curecast.core.starts import Judged
from curecast.job.layout import Job

#: What holds a start back by a rule that decides, in a word or two.
_RISK = {
    "freeze": "frost",
    "ground": "ground",
    "daylight and crew hours": "runs late",
    "rain": "rain",
    "heat": "too hot",
    "temperature": "too cold",
}
#: What advice says of a start that keeps every rule that decides; the first that applies.
_ADVICE = {
    "forecast age": "forecast too old",
    "forecast reach": "too far ahead",
    "rain": "sheet ready: rain",
    "evaporation": "dries fast",
    "temperature": "slow, not unsafe",
    "uncovering": "uncover in steps",
}
#: What those words mean, for under a table.
MEANINGS = {
    "frost risk": "the concrete may freeze while it is young",
    "slow, not unsafe": "colder than the rule set advises, so it hardens later; frost is "
    "unlikely while it is young",
    "too far ahead": "the forecast ends before its first day is over; ask again nearer the day",
    "dries fast": "the fresh face may crack: break the wind, mist it, cover it between passes",
    "uncover in steps": "the face is much warmer than the air when the cover goes",
    "sheet ready: rain": "rain may come before it has set; a sheet keeps it off",
    "forecast too old": "made more than a day ago",
}
#: Measures as a table has room for them.
_SHORT = (
    ("a heated enclosure", "heat"),
    ("one blanket", "1 blanket"),
    ("two blankets", "2 blankets"),
    (" for ", ", "),
)


def deciding(judged: Judged) -> list[Finding]:
    """The rules that hold a start back, the worst first."""
    lacking = [f for f in judged.findings if f.verdict != KEPT]
    return sorted(lacking, key=lambda f: (f.advice, f.verdict != BROKEN))


def by_advice_alone(judged: Judged) -> bool:
    """Whether every rule that decides is kept, and only advice holds a start back."""
    lacking = deciding(judged)
    return bool(lacking) and all(f.advice for f in lacking)


def start_words(judged: Judged) -> str:
    """The verdict of a start as people read it.

    Parameters
    ----------
    judged : Judged
        The start.

    Returns
    -------
    str
        ``pour``; ``pour, protected``; what advice says (``slow, not unsafe``); the risk
        (``frost risk``); or ``do not: frost``.
    """
    if judged.verdict == "pour":
        return "pour"
    if judged.verdict == "pour-with-protection":
        return "pour, protected"
    lacking = deciding(judged)
    first = lacking[0].rule if lacking else ""
    if judged.verdict == "do-not-pour":
        return f"do not: {_RISK.get(first, first)}"
    if by_advice_alone(judged):
        named = {f.rule for f in lacking}
        return next((words for rule, words in _ADVICE.items() if rule in named), "at risk")
    return f"{_RISK[first]} risk" if first in ("freeze", "rain") else f"at risk: {_RISK[first]}"


def cover_words(job: Job, judged: Judged) -> str:
    """What is laid, in a few words: ``a sheet, 3 days``."""
    if judged.measure.level == 0:
        return "as planned" if job.covers else "none"
    name = judged.measure.name
    for long, short in _SHORT:
        name = name.replace(long, short)
    return f"{name}, 3 days" if judged.measure.sheet else name


def plan_date(job: Job, judged: Judged, hold: str) -> str:
    """The date that a hold is planned on: nine of ten courses have it open by then."""
    at_h = judged.origin_h + count_on_h(judged.openings[hold].at_h[1:])
    if not math.isfinite(at_h):
        return "past 180 d"
    return show_day(from_unix_h(at_h), job.site.zone)
