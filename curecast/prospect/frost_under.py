"""Frost under a poured slab: the soil that lifts it and tilts what stands on it."""

from __future__ import annotations

import numpy as np

from curecast.clock import from_unix_h, show_instant
from curecast.core.rules.cold import frost_under_h
from curecast.core.weather.series import SPANS
from curecast.job.layout import Job
from curecast.prospect.lap import lapped
from curecast.prospect.standing import SlabAnswer

__all__ = ["frost_under_notes", "frost_under_words"]


def frost_under_words(job: Job, at_h: float) -> str:
    """The warning, in a sentence without its first capital.

    Parameters
    ----------
    job : Job
        For units and zone.
    at_h : float
        When it may freeze there, hours since 1970. [h]
    """
    return (
        f"frost may go under the slab about {show_instant(from_unix_h(at_h), job.site.zone)}: keep "
        f"it covered, {lapped(job)}; heave tilts a machine"
    )


def frost_under_notes(answer: SlabAnswer) -> list[str]:
    """The warning for a poured slab, from now to the end of what is forecast; often none."""
    known = np.flatnonzero(answer.weather.span != SPANS.index("climatology"))
    if not len(known):
        return []
    until_h = float(answer.weather.start_h + known[-1]) - answer.origin_h
    found = frost_under_h(answer.past, max(answer.age_h, 0.0), until_h)
    return [] if found is None else [frost_under_words(answer.job, answer.origin_h + found)]
