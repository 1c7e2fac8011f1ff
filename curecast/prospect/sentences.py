"""What is said of a start and of a week: plain sentences in the job's units and local time."""

from __future__ import annotations

from curecast.core.rules.limits import BROKEN
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.changes import Change, night_words
from curecast.prospect.frost_under import frost_under_words
from curecast.prospect.lap import beyond_form
from curecast.prospect.plain_words import (
    CAUTIONS,
    TRADE_NOTES,
    degrees,
    difference,
    percent,
    when,
)
from curecast.prospect.rule_words import finding_sentence
from curecast.prospect.start_words import by_advice_alone, deciding
from curecast.prospect.week import WeekAnswer

__all__ = [
    "CAUTIONS",
    "TRADE_NOTES",
    "deciding",
    "degrees",
    "finding_sentence",
    "percent",
    "start_lines",
    "start_reasons",
    "verdict_words",
    "week_reasons",
    "when",
    "would_work",
]


def verdict_words(verdict: str) -> str:
    """A verdict as people read it."""
    return {
        "pour": "pour",
        "pour-with-protection": "pour, protected",
        "at-risk": "at risk",
        "do-not-pour": "do not pour",
    }[verdict]


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
    if judged.under_frost_h is not None:
        told.append(frost_under_words(job, judged.under_frost_h))
    return told


def would_work(job: Job, judged: Judged, change: Change | None = None) -> str:
    """What would make a start work, for one that doesn't; ``change``: of its freeze rule."""
    broken = [f for f in judged.findings if f.verdict == BROKEN and not f.advice]
    said: list[str] = []
    for f in broken:
        if f.rule == "freeze":
            if judged.would_work is not None:
                said.append(f"{judged.would_work.name} would keep it from freezing")
            elif change is not None and change.by_k is not None:
                night = night_words(job, change.at_h)
                said.append(f"{night} {difference(job, change.by_k)} warmer")
            else:
                warmer = (f.limit or 0.0) - (f.value or 0.0) + 0.5
                said.append(
                    f"nights at least {difference(job, warmer)} warmer"
                    if warmer < 12.0
                    else "weather far warmer than this"
                )
        elif f.rule == "ground":
            said.append(
                "ground thawed and kept above freezing for days before, by heat or by covers "
                f"that reach {beyond_form(job)}"
            )
        elif f.rule == "daylight and crew hours":
            over = None if f.value is None or f.limit is None else f.value - f.limit
            longer = "" if over is None or over < 0.05 else f" ({over:.1f} h)"
            said.append(
                "an earlier start, warmer concrete, more hands, or lights and longer hours" + longer
            )
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
        change = would_work(job, nearest, answer.changes.get(answer.ranked[0]))
        if change:
            at = when(job, nearest.candidate.start_h)
            lines.append(f"Nearest is {at}. What would make it work: {change}.")
        return lines
    return start_lines(job, answer.starts[answer.best])


def start_lines(job: Job, judged: Judged) -> list[str]:
    """Why one start has its verdict, under a heading of its own."""
    lines = [f"Why {when(job, judged.candidate.start_h)}:"]
    if by_advice_alone(judged):
        lines.append(
            "  - every rule that decides is kept; only advice speaks against it: "
            + ", ".join(f.rule for f in deciding(judged))
        )
    return [*lines, *(f"  - {reason}" for reason in start_reasons(job, judged))]
