"""How far a cover hangs over, said wherever somebody is asked to lay one."""

from __future__ import annotations

from curecast.core.protection import LAP_M
from curecast.job.layout import Job
from curecast.quantities import show_quantity


def lap_length(job: Job) -> str:
    """300 mm, or 12 in."""
    return show_quantity(LAP_M, "length", job.units, 0)


def lapped(job: Job) -> str:
    """The words that go with every cover that is to be laid, in the job's units."""
    return f"lapped {lap_length(job)} over the edges and down"


def beyond_form(job: Job) -> str:
    """The same for a cover on the ground before the pour."""
    return f"{lap_length(job)} beyond the form"
