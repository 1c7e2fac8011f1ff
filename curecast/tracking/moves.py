"""Where a poured slab stands, and every move of its holds put on record."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from curecast import __version__
from curecast.clock import from_unix_h, iso, unix_h
from curecast.core.abreast.drive import together
from curecast.core.weather.series import Forecast
from curecast.errors import StoreError
from curecast.job.layout import Job
from curecast.prospect.slab import assess_slab, assessing
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.store.connection import Store
from curecast.store.holds import FIRST_STATE, add_hold_change, hold_states
from curecast.store.readings import readings_mark
from curecast.store.record import events, sign_offs, strength_tests
from curecast.store.rows import Placement
from curecast.tracking.record import AHEAD, load_record
from curecast.tracking.weather import with_climate

__all__ = ["assess_ahead", "assess_and_record"]

#: How often a slab is judged anew when another program records at the same time.
_TRIES = 4


def assess_and_record(
    store: Store,
    job: Job,
    placement: Placement,
    forecasts: Sequence[Forecast],
    now: datetime,
    *,
    write: bool,
    ahead: SlabAnswer | None = None,
) -> SlabAnswer:
    """Where a poured slab stands now; each hold that moved is put on record.

    Parameters
    ----------
    store : Store
    job : Job
        The version that governs (``governing_job``).
    placement : Placement
        Poured.
    forecasts : sequence of Forecast
        All that are known up to now (``kept_forecasts``).
    now : datetime
        [aware]
    write : bool
        Whether moves are recorded.
    ahead : SlabAnswer or None
        From ``assess_ahead``; it serves where the record is still the one it rests on.

    Returns
    -------
    SlabAnswer
        It rests on the record as it is kept: where another program records a move at the
        same time, the slab is judged anew.
    """
    job = with_climate(store, job, now)
    for _ in range(_TRIES):
        record = load_record(store, placement, now)
        inputs = (job, record, unix_h(now))
        if ahead is not None and (ahead.job, ahead.record, ahead.now_h) == inputs:
            answer = ahead
        else:
            answer = assess_slab(job, record, forecasts, unix_h(now))
        if not write or _recorded(store, placement, answer, forecasts, now):
            return answer
    raise StoreError(
        f"the holds of {job.name} are being recorded by other programs without a pause",
        "Wait a moment and repeat the command.",
    )


def assess_ahead(
    store: Store, cases: Sequence[tuple[Job, Placement, Sequence[Forecast]]], now: datetime
) -> list[SlabAnswer | Exception]:
    """Where many poured slabs stand now, judged side by side; nothing is recorded.

    Parameters
    ----------
    store : Store
    cases : sequence of (Job, Placement, sequence of Forecast)
        As for ``assess_and_record``.
    now : datetime
        [aware]

    Returns
    -------
    list of SlabAnswer or Exception
        One a case, for ``assess_and_record``; a case that fails stops no other.
    """
    return together(
        [
            assessing(
                with_climate(store, job, now), load_record(store, placement, now), known,
                unix_h(now),
            )
            for job, placement, known in cases
        ]
    )  # fmt: skip


def _recorded(
    store: Store,
    placement: Placement,
    answer: SlabAnswer,
    forecasts: Sequence[Forecast],
    now: datetime,
) -> bool:
    """Put all moves on record together; False when the record moved since it was read."""
    before = answer.record.states
    moved = {
        name: hold
        for name, hold in answer.holds.items()
        if hold.state != before.get(name, FIRST_STATE)
    }
    if not moved:
        return True
    shared = _inputs(store, placement, answer, forecasts)
    with store.write():
        if hold_states(store, placement, now) != before:
            return False
        for name, hold in moved.items():
            inputs = {**shared, **_margin(hold)}
            old = before.get(name, FIRST_STATE)
            why = _why(hold, answer)
            add_hold_change(store, placement, name, old, hold.state, now, inputs, __version__, why)
    return True


def _inputs(
    store: Store, placement: Placement, answer: SlabAnswer, forecasts: Sequence[Forecast]
) -> dict[str, Any]:
    """What the holds rest on: counts and the last id tell which rows there were."""
    now = from_unix_h(answer.now_h)
    count, newest_id = readings_mark(store, placement, now + AHEAD)
    newest = max((f.issued_h for f in forecasts), default=None)
    last = max((s.at_h for s in answer.record.seen), default=None)
    return {
        "job_version": placement.version.hash,
        "readings": count,
        "newest_reading": newest_id,
        "last_reading_at": None if last is None else iso(from_unix_h(last)),
        "events": [e.id for e in events(store, placement)],
        "tests": [t.id for t in strength_tests(store, placement)],
        "sign_offs": [s.id for s in sign_offs(store, placement)],
        "forecasts": len(forecasts),
        "forecast_issued_at": None if newest is None else iso(from_unix_h(newest)),
        "observations": len(answer.record.observed),
        "evidence": answer.evidence.kind,
        "frozen_early": answer.frozen_early,
    }


def _margin(hold: HoldAnswer) -> dict[str, Any]:
    return {
        "likely": _instant(hold.likely_h),
        "count_on": _instant(hold.count_on_h),
        "fraction": _finite(hold.share),
        "needed_d": _finite(hold.needed_d),
        "reached_d": _finite(hold.reached_d),
    }


def _why(hold: HoldAnswer, answer: SlabAnswer) -> str:
    words = [s for s in answer.record.signed if s.hold == hold.rule.name]
    if hold.state == "signed-off" and words:
        return f"signed off by {words[-1].by}: {words[-1].reason}"
    if hold.state == "withdrawn" and words and words[-1].withdrawn:
        return f"withdrawn by {words[-1].by}: {words[-1].reason}"
    if hold.why:
        return hold.why
    kind = "strength test" if hold.by_test else answer.evidence.kind
    if hold.state == "released" and words and words[-1].withdrawn:
        return (
            f"released again on evidence newer than the withdrawal by {words[-1].by}, of this "
            f"kind: {kind}"
        )
    if hold.state == "released" and hold.rule.evidence == "none" and not hold.by_test:
        return "its time has come by the model; no reading is asked for it"
    if hold.state == "released":
        return f"its criteria are met, on evidence of this kind: {kind}"
    if hold.state == "over":
        return "its window has closed"
    if hold.state == "unproven":
        return "its date has passed by the model, but the evidence is not there"
    return "its date lies ahead"


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _instant(hours: float) -> str | None:
    return iso(from_unix_h(hours)) if math.isfinite(hours) else None
