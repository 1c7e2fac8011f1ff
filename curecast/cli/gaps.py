"""Gaps in placing, as people say them after the pour, and what follows from each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from curecast.clock import local_hour, parse_span, show_instant
from curecast.core.concrete.setting import INITIAL_SET, final_set_h_at
from curecast.errors import InputError
from curecast.job.layout import Job
from curecast.quantities import show_quantity
from curecast.store.connection import Store
from curecast.store.record import add_event, events
from curecast.store.rows import Placement

#: Water met the batch before a gap so long before it lay (ASSUMED). [h]
_WET_BEFORE_H = 0.25
#: Where nobody took the concrete's temperature: the early side (ASSUMED). [°C]
_WARM_C = 20.0


@dataclass(frozen=True)
class Gap:
    """A stop between two batches."""

    from_at: datetime
    to_at: datetime

    @property
    def hours(self) -> float:
        """Its length. [h]"""
        return (self.to_at - self.from_at).total_seconds() / 3600.0


def read_gaps(
    said: Sequence[str], zone: str | None, start: datetime, end: datetime | None, now: datetime
) -> list[Gap]:
    """Times of day, ``11:20-12:05``, after the start of the pour.

    Raises
    ------
    InputError
        No two times of day, or a gap that ends after the pour or lies ahead.
    """
    first_h = local_hour(start, zone)
    gaps = []
    for text in said:
        from_h, to_h = parse_span(text)
        begins = start + timedelta(hours=(from_h - first_h) % 24.0)
        gap = Gap(begins, begins + timedelta(hours=(to_h - from_h) % 24.0))
        if not 0.0 < gap.hours <= 12.0:
            raise InputError(f'"{text}" is no gap in a pour', "write it like 11:20-12:05")
        if gap.to_at > (end or now) + timedelta(minutes=1):
            raise InputError(
                f'the gap "{text}" lies outside the pour', "check --gap against --start and --end"
            )
        gaps.append(gap)
    return sorted(gaps, key=lambda gap: gap.from_at)


def gap_lines(job: Job, gaps: Sequence[Gap], placed_c: float | None) -> list[str]:
    """What each gap means: the batch before it must not have reached initial set."""
    known = job.placing.temperature_c if placed_c is None else placed_c
    temp_c = _WARM_C if known is None else known
    limit_h = INITIAL_SET * float(final_set_h_at(temp_c)) - _WET_BEFORE_H
    at = show_quantity(temp_c, "temperature", job.units)
    at += "" if known is not None else ", taken because nobody said"
    lines = []
    for gap in gaps:
        head = (
            f"gap of {show_quantity(gap.hours, 'time', job.units)} from "
            f"{show_instant(gap.from_at, job.site.zone)}"
        )
        most = show_quantity(limit_h, "time", job.units)
        if gap.hours <= limit_h:
            lines.append(f"{head}: within the {most} to initial set at {at}, no cold joint")
        else:
            lines.append(
                f"{head}: beyond the {most} to initial set at {at}: a cold joint where it stopped; "
                "mark it, set no anchor near it, and ask the maker before full torque"
            )
    return lines


def keep_gaps(store: Store, placement: Placement, gaps: Sequence[Gap], now: datetime) -> None:
    """Put the gaps on record; said again, the same gap is kept once."""
    known = {(e.at, e.payload.get("hours")) for e in events(store, placement) if e.kind == "gap"}
    for gap in gaps:
        if (gap.from_at, gap.hours) not in known:
            add_event(store, placement, "gap", gap.from_at, {"hours": gap.hours}, recorded=now)
