"""Which anchors are torqued: in what order, how far, and when all of them were at full torque."""

from __future__ import annotations

import math
from dataclasses import dataclass

from curecast.core.build.wrench import SNUG_SHARE
from curecast.job.layout import Job
from curecast.prospect.anchorage import places_of
from curecast.prospect.record import Record

#: Rounds as shares of the full torque: snug, then half way, then all (common practice).
ROUNDS = (SNUG_SHARE, 0.60, 1.00)
#: From this share on a torque counts as full: what a wrench reads to (ASSUMED).
FULL_SHARE = 0.95
#: A second reading of the torque counts as its re-check after so long (common practice). [h]
RECHECK_H = 24.0
#: Before a machine carries (common practice).
FIRST_LOADS = (
    "Machine off its sling and levelled, shims tight, nobody in its reach.",
    "An empty cycle: full swing and travel without load; look at plate, grout and concrete.",
    "A small load, a tenth or less, low over the floor: nobody beneath, nobody beside.",
    "Then a quarter, a half, the whole, a pause and a look at each; any crack or movement ends it.",
    "Check the torque again after these first loads.",
)


@dataclass(frozen=True)
class AnchorState:
    """One anchor: its last torque and when, hours since 1970; None where nothing is logged.

    ``full_h`` is when it first was at full torque, ``rechecked_h`` when it was read again a day
    or more after that.
    """

    n: int
    value_nm: float | None
    at_h: float | None
    full_h: float | None
    rechecked_h: float | None


def anchor_count(job: Job) -> int | None:
    """How many anchors the job has; None where nobody said."""
    return len(job.equipment.positions_m) or job.equipment.anchors


def is_full(job: Job, value_nm: float) -> bool:
    """Whether a torque is the maker's; where the job gives none, any is taken as such."""
    full = job.equipment.torque_nm
    return full is None or value_nm >= FULL_SHARE * full


def torque_order(job: Job) -> list[int]:
    """The anchors crosswise: each is followed by the one that stands opposite.

    Numbers are those of the job's positions, else clockwise seen from above.
    """
    count = anchor_count(job) or 0
    places = places_of(job) if job.equipment.positions_m else None
    ring = list(range(1, count + 1))
    if places is not None:
        centre = places.mean(axis=0)
        ring.sort(key=lambda n: math.atan2(*(places[n - 1] - centre)))
    return [ring[i] for i in crosswise(count)]


def crosswise(count: int) -> list[int]:
    """Places round a circle, from 0, so that each is followed by one far from it.

    >>> crosswise(4), crosswise(5), crosswise(6)
    ([0, 2, 1, 3], [0, 2, 4, 1, 3], [0, 3, 1, 4, 2, 5])
    """
    half = count // 2
    if count % 2:
        return [(i * half) % count for i in range(count)] if count > 1 else list(range(count))
    return [i + side for i in range(half) for side in (0, half)]


def anchor_states(job: Job, record: Record) -> list[AnchorState]:
    """Every anchor that the job has or that was logged."""
    logged: dict[int, list[tuple[float, float]]] = {}
    for done in record.done:
        n, value = done.numbers.get("anchor"), done.numbers.get("value_nm")
        if done.kind == "torque" and n is not None and value is not None:
            logged.setdefault(int(n), []).append((done.at_h, value))
    count = max([anchor_count(job) or 0, *logged])
    return [_state(job, n, sorted(logged.get(n, []))) for n in range(1, count + 1)]


def _state(job: Job, n: int, seen: list[tuple[float, float]]) -> AnchorState:
    full = [at for at, value in seen if is_full(job, value)]
    again = [at for at in full if at >= full[0] + RECHECK_H]
    last = seen[-1] if seen else (None, None)
    return AnchorState(n, last[1], last[0], full[0] if full else None, again[0] if again else None)


def torqued_h(job: Job, record: Record) -> float | None:
    """When all anchors were at full torque, hours since 1970; None while one is not.

    A torque logged for the whole base counts for all of them.
    """
    whole = [d.at_h for d in record.done if d.kind == "torque" and "anchor" not in d.numbers]
    found = whole[:1]
    states = anchor_states(job, record)
    if anchor_count(job) and states and all(s.full_h is not None for s in states):
        found.append(max(s.full_h for s in states if s.full_h is not None))
    return min(found, default=None)
