"""News about holds: states that changed, dates that moved, readings that are wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime

from curecast.alerts.findings.kinds import (
    BarredTogether,
    DateMoved,
    Finding,
    HoldChanged,
    ReadingWanted,
    Said,
    key_of,
    revision,
    stamp,
)
from curecast.clock import from_unix_h, unix_h
from curecast.core.states import PERMISSION
from curecast.prospect.proof import proved_mpa
from curecast.prospect.standing import SlabAnswer
from curecast.store.rows import HoldChange

__all__ = ["changed", "last_changes", "last_seen", "moved", "reading_wanted"]

#: States that are told.
_TOLD = ("released", "signed-off", "withdrawn", "barred")
#: Holds whose date is that of another hold.
_FOLLOWERS = ("snug", "re-check")
#: A reading is asked for so long before the last one ceases to vouch. [h]
ASK_AHEAD_H = 12.0
#: The first reading vouches for so long before it. [h]
_FIRST_WITHIN_H = 12.0
_BEYOND = "beyond"


def last_changes(changes: Sequence[HoldChange], now_h: float) -> dict[str, HoldChange]:
    """The last move of each hold that is not later than now."""
    return {c.hold: c for c in changes if unix_h(c.at) <= now_h + 1e-6}


def last_seen(answer: SlabAnswer) -> dict[str, object]:
    """What every finding about a slab carries: the job, the present, the last reading."""
    seen = max(answer.record.seen, key=lambda s: s.at_h, default=None)
    return {"job": answer.job.name, "now_h": answer.now_h, "last": seen}


def changed(answer: SlabAnswer, placement_id: str, changes: Sequence[HoldChange]) -> list[Finding]:
    """Holds whose last recorded move is to be told, as long as the slab still stands so.

    Told from the record, whoever put the move there: a crash after the recording, or a look
    by hand between two passes, loses no news.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    changes : sequence of HoldChange
        All moves on record, in the order of entry.
    """
    news: list[Finding] = []
    quiet_bars: dict[datetime, list[HoldChange]] = {}
    tested_mpa = proved_mpa(answer.record.tested)
    for name, change in last_changes(changes, answer.now_h).items():
        stands = answer.holds.get(name)
        if stands is None or stands.state != change.to_state or change.to_state not in _TOLD:
            continue
        if change.to_state == "barred" and change.from_state not in (*PERMISSION, "withdrawn"):
            quiet_bars.setdefault(change.at, []).append(change)
            continue
        signed = [s for s in answer.record.signed if s.hold == name]
        by_person = bool(signed) and signed[-1].withdrawn == (change.to_state == "withdrawn")
        person = (
            signed[-1].by if by_person and change.to_state in ("signed-off", "withdrawn") else ""
        )
        news.append(
            HoldChanged(
                key=key_of(answer.job.name, placement_id, change.to_state, name, change.id),
                kind=change.to_state,
                hold=name,
                at_h=unix_h(change.at),
                can_wait=change.to_state in PERMISSION,
                stands=stands,
                why=change.why,
                evidence=answer.evidence.kind,
                by=person,
                tested_mpa=tested_mpa,
                **last_seen(answer),  # type: ignore[arg-type]
            )
        )
    for at, bars in quiet_bars.items():
        first = min(bars, key=lambda c: c.id)
        news.append(
            BarredTogether(
                key=key_of(answer.job.name, placement_id, "barred", None, first.id),
                kind="barred",
                at_h=unix_h(at),
                can_wait=False,
                holds=tuple(name for name in answer.holds if name in {c.hold for c in bars}),
                why=first.why,
                **last_seen(answer),  # type: ignore[arg-type]
            )
        )
    return news


def moved(
    answer: SlabAnswer,
    placement_id: str,
    changes: Sequence[HoldChange],
    said: Sequence[Said],
    more_than_h: float,
    share: float = 0.0,
) -> list[Finding]:
    """Holds whose date to count on has moved since it was last said, or first recorded.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    changes, said : sequence
        Moves on record, and messages queued before.
    more_than_h : float
        How far a date moves before it is told. [h]
    share : float
        The same as a share of the time to go, where that is more. [-]
    """
    news: list[Finding] = []
    last = last_changes(changes, answer.now_h)
    for name, stands in answer.holds.items():
        if stands.state != "projected" or name in _FOLLOWERS or name not in last:
            continue
        before = key_of(answer.job.name, placement_id, "moved", name, "")
        told = [s for s in said if s.key.startswith(before) and s.at_h <= answer.now_h + 1e-6]
        was_h = _recorded_h(last[name])
        if told and told[-1].at_h >= unix_h(last[name].at):
            was_h = _said_h(revision(told[-1].key))
        on_h = stands.count_on_h
        if math.isnan(was_h) or on_h == was_h:
            continue
        to_go_h = was_h - answer.now_h if math.isfinite(was_h) else 0.0
        if abs(on_h - was_h) <= max(more_than_h, share * to_go_h):
            continue
        to = stamp(on_h) if math.isfinite(on_h) else _BEYOND
        news.append(
            DateMoved(
                key=f"{before}{len(told) + 1}.{to}",
                kind="moved",
                hold=name,
                at_h=answer.now_h,
                stands=stands,
                was_h=was_h,
                evidence=answer.evidence.kind,
                **last_seen(answer),  # type: ignore[arg-type]
            )
        )
    return news


def reading_wanted(answer: SlabAnswer, placement_id: str) -> list[Finding]:
    """A reading, where holds wait for evidence that lapses soon, has lapsed, or never was.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    """
    waiting = tuple(
        name
        for name, hold in answer.holds.items()
        if hold.rule.evidence == "reading" and hold.state in ("projected", "unproven", "withdrawn")
    )
    evidence, age_h = answer.evidence, answer.age_h
    if not waiting or age_h < answer.placed_h:
        return []
    after = "none" if evidence.last_reading_h is None else _minute(answer, evidence.last_reading_h)
    by_h = evidence.next_by_h
    if by_h is None:
        by_h = answer.placed_h + _FIRST_WITHIN_H
    if by_h - age_h > ASK_AHEAD_H:
        return []
    lapsed = by_h <= age_h
    now_index = int((answer.past.t_h <= age_h + 1e-9).sum()) - 1
    if lapsed and now_index >= 0 and bool(evidence.vouched[now_index]):
        return []  # a station's corrected hours vouch
    words = f"{'lapsed' if lapsed else 'soon'}-after-{after}"
    return [
        ReadingWanted(
            key=key_of(answer.job.name, placement_id, "reading", None, words),
            kind="reading",
            at_h=answer.now_h,
            by_h=answer.origin_h + by_h,
            holds=waiting,
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def _minute(answer: SlabAnswer, age_h: float) -> str:
    return f"{from_unix_h(answer.origin_h + age_h):%Y-%m-%dT%H:%MZ}"


def _recorded_h(change: HoldChange) -> float:
    """The date that was recorded with a move; NaN where it kept none."""
    if "count_on" not in change.inputs:
        return math.nan
    text = change.inputs["count_on"]
    return math.inf if text is None else unix_h(datetime.fromisoformat(text))


def _said_h(words: str) -> float:
    to = words.partition(".")[2]
    if to == _BEYOND:
        return math.inf
    return unix_h(datetime.fromisoformat(f"{to.removesuffix('Z')}:00+00:00"))
