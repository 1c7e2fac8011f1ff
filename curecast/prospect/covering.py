"""What lay over a poured slab: the job's plan until the log says otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from curecast.core.case import Case
from curecast.core.heat.covers import CoverSpell
from curecast.prospect.record import Done, Record

_FOR_GOOD_H = 1e6


def spells_of(
    case: Case, record: Record, origin_h: float, blanket_r: float
) -> tuple[CoverSpell, ...]:
    """Covers as planned, until the log says otherwise.

    The first cover that is logged ends what was planned of covers, the first heater what was
    planned of heat: a heater that is lit takes no blanket away.

    Parameters
    ----------
    case : Case
        The job's plan.
    record : Record
        Its events ``cover`` and ``heater``.
    origin_h : float
        Middle of placing, hours since 1970. [h]
    blanket_r : float
        Resistance of one layer. [m2K/W]
    """
    found: list[CoverSpell] = []
    for kind in ("cover", "heater"):
        events = [d for d in record.done if d.kind == kind]
        planned = [c for c in case.covers if (c.heat_to_c is not None) == (kind == "heater")]
        first_h = events[0].at_h - origin_h if events else _FOR_GOOD_H
        found += [replace(c, to_h=min(c.to_h, first_h)) for c in planned]
        found += _logged(events, origin_h, blanket_r)
    return tuple(c for c in found if c.to_h > c.from_h)


def _logged(events: Sequence[Done], origin_h: float, blanket_r: float) -> list[CoverSpell]:
    """Each event until the next one of its kind."""
    found: list[CoverSpell] = []
    ends = [*(e.at_h - origin_h for e in events[1:]), _FOR_GOOD_H][: len(events)]
    for event, until_h in zip(events, ends, strict=True):
        at = event.at_h - origin_h
        if event.kind == "cover":
            layers = event.numbers.get("layers", 1.0)
            if layers > 0:
                r = event.numbers.get("r_m2k_w", blanket_r * layers)
                wet = bool(event.numbers.get("wet", 0.0))
                found.append(CoverSpell(r, at, until_h, wet=wet))
        elif "heat_to_c" in event.numbers and not event.numbers.get("off", 0.0):
            found.append(CoverSpell(0.0, at, until_h, heat_to_c=event.numbers["heat_to_c"]))
    return found
