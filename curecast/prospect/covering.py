"""What lay over a poured slab: the job's plan until the log says otherwise."""

from __future__ import annotations

from dataclasses import replace

from curecast.core.case import Case
from curecast.core.heat.covers import CoverSpell
from curecast.prospect.record import Record


def spells_of(
    case: Case, record: Record, origin_h: float, blanket_r: float
) -> tuple[CoverSpell, ...]:
    """Covers as planned, until the log says otherwise: the first event ends the plan.

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
    events = [d for d in record.done if d.kind in ("cover", "heater")]
    if not events:
        return case.covers
    found = [
        replace(c, to_h=min(c.to_h, events[0].at_h - origin_h))
        for c in case.covers
        if c.from_h < events[0].at_h - origin_h
    ]
    r, heat_to, since = 0.0, None, events[0].at_h - origin_h
    covered = False

    def close(until_h: float) -> None:
        if covered or heat_to is not None:
            found.append(CoverSpell(r, since, until_h, heat_to_c=heat_to))

    for event in events:
        at = event.at_h - origin_h
        close(at)
        since = at
        if event.kind == "cover":
            layers = event.numbers.get("layers", 1.0)
            covered = layers > 0
            r = event.numbers.get("r_m2k_w", blanket_r * layers) if covered else 0.0
        else:
            to_c = event.numbers.get("heat_to_c")
            heat_to = None if to_c is None or event.numbers.get("off", 0.0) else to_c
    close(1e6)
    return tuple(c for c in found if c.to_h > c.from_h)
