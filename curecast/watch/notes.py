"""What the watch says beside the alerts: addresses that reach nobody, and news found late."""

from __future__ import annotations

from collections.abc import Mapping

from curecast.alerts.addresses import redact
from curecast.alerts.routing import unknown_words
from curecast.alerts.stops import Stop
from curecast.clock import show_instant
from curecast.job.layout import Job
from curecast.store.watching import Gap

__all__ = ["address_notes", "found_late"]


def address_notes(job: Job, stopped: Mapping[str, Stop]) -> list[str]:
    """Addresses that are not there, are stopped, or ask for what does not exist."""
    if not job.alerts:
        return [f"{job.name}: no [[alert]] in the job file, so nobody is told"]
    notes = []
    for alert in job.alerts:
        stop = stopped.get(alert.to)
        if stop is not None:
            notes.append(
                f"{job.name}: {redact(alert.to)} is stopped since {stop.since:%Y-%m-%d %H:%MZ} "
                f"({stop.why}); once it is mended: curecast alerts test {job.name}"
            )
        notes += [
            f'{job.name}: "{unknown}" in an alert\'s what is no kind of alert'
            for unknown in unknown_words(alert)
        ]
    return notes


def found_late(gap: Gap | None, job: Job) -> str:
    """What is found on waking says so: it may have come earlier, had somebody watched."""
    if gap is None:
        return ""
    since, until = (show_instant(at, job.site.zone) for at in (gap.since, gap.until))
    return f"\nNot watched from {since} to {until}: this was found after it."
