"""How news before the pour is worded."""

from __future__ import annotations

from curecast.alerts.findings.kinds import BetterDay, DayChanged
from curecast.alerts.wording.phrases import (
    Words,
    degrees,
    instant,
    percent,
    source,
    who_decides,
)
from curecast.clock import from_unix_h, to_local
from curecast.job.layout import Job
from curecast.prospect.sentences import verdict_words

__all__ = ["better", "changed"]

_NONE = "Last reading: none, it is not poured."


def changed(job: Job, found: DayChanged) -> Words:
    """The chosen start has another verdict."""
    start = instant(job, found.start_h)
    now, was = verdict_words(found.verdict), verdict_words(found.was)
    if found.verdict == "do-not-pour":
        title = f"{job.name}: do not pour {start}"
        head = f"The chosen start no longer works: {start} was “{was}”."
    elif found.kind == "day-worse":
        title = f"{job.name}: {start} got worse: {now}"
        head = f"The chosen start got worse: {start} is “{now}” now, it was “{was}”."
    else:
        title = f"{job.name}: {start} is better again: {now}"
        head = f"The chosen start is better again: {start} is “{now}” now, it was “{was}”."
    lines = [head, *(f"  - {reason}" for reason in found.reasons)]
    lines += _tail(job, found)
    return Words(title, "\n".join([*lines, f"Other starts: curecast best-day {job.name}"]))


def better(job: Job, found: BetterDay) -> Words:
    """Another start is better than the chosen one."""
    start, other = instant(job, found.start_h), instant(job, found.better_h)
    verdict, best = verdict_words(found.verdict), verdict_words(found.better)
    lines = [
        f"A better start than {start} (“{verdict}”): {other} (“{best}”).",
        *(f"  - {reason}" for reason in found.reasons),
        *_tail(job, found),
        f'To take it: curecast choose {job.name} --start "{_as_typed(job, found.better_h)}"',
        f"All starts: curecast best-day {job.name}",
    ]
    return Words(f"{job.name}: a better day, {other}", "\n".join(lines))


def _tail(job: Job, found: DayChanged | BetterDay) -> list[str]:
    return [
        f"Basis: {source(job, found.source)}.",
        f"Margin: {percent(found.chance_freeze)} chance that the concrete freezes; one in ten that "
        f"it goes below {degrees(job, found.coldest_c)}.",
        _NONE,
        who_decides(),
    ]


def _as_typed(job: Job, unix_h: float) -> str:
    """An instant as the command takes it; with its offset, so that no clock change matters."""
    return to_local(from_unix_h(unix_h), job.site.zone).isoformat(timespec="minutes")
