"""Poured slabs judged several at a time before their turn: their marches go side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.standing import SlabAnswer
from curecast.store.connection import Store
from curecast.store.placements import find_placement
from curecast.store.rows import JobRow, Placement
from curecast.tracking import assess_ahead, stored_job, with_zone

__all__ = ["TOGETHER", "batches", "judged_ahead"]

#: How many jobs are judged at a time: more would be no quicker, slower to stop, and take memory.
TOGETHER = 8
#: Fewer poured slabs are judged in their turn.
_WORTH = 4


def batches(rows: Sequence[JobRow]) -> list[Sequence[JobRow]]:
    """Jobs in the order of their turn, as many at a time as are judged together."""
    return [rows[begin : begin + TOGETHER] for begin in range(0, len(rows), TOGETHER)]


def judged_ahead(
    store: Store,
    rows: Sequence[JobRow],
    now: datetime,
    known: Callable[[Job], Sequence[Forecast]],
) -> dict[str, SlabAnswer]:
    """Where some jobs' slabs stand, by the id of the placement.

    Parameters
    ----------
    store : Store
    rows : sequence of JobRow
        Their turn comes next.
    now : datetime
        [aware]
    known : callable
        The weather of a job.

    Returns
    -------
    dict of str to SlabAnswer
        What is missing, because it is not poured or could not be judged, is looked at again
        in its turn, and what is wrong is said then.
    """
    cases: list[tuple[Job, Placement, Sequence[Forecast]]] = []
    for row in rows:
        try:
            placement = find_placement(store, row)
            if placement is not None and placement.state == "poured":
                job = stored_job(placement.version)
                forecasts = known(job)
                if forecasts:
                    cases.append((with_zone(job, forecasts), placement, forecasts))
        except Exception:  # it is raised again, and said, in the job's own turn
            continue
    if len(cases) < _WORTH:
        return {}
    try:
        answers = assess_ahead(store, cases, now)
    except Exception:  # as above
        return {}
    pairs = zip(cases, answers, strict=True)
    return {case[1].id: answer for case, answer in pairs if isinstance(answer, SlabAnswer)}
