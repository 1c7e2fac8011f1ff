"""News that ends a wait: protection may come off, a test would tell, a bar is lifted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from curecast.alerts.findings.holds import last_changes, last_seen
from curecast.alerts.findings.kinds import Finding, key_of
from curecast.alerts.findings.kinds_ahead import BarLifted, CoverMayGo, TestDue
from curecast.clock import unix_h
from curecast.core.heat.covers import cover_state
from curecast.core.rules.tables import most_drop_k
from curecast.core.states import PERMISSION
from curecast.prospect.standing import SlabAnswer, hardly_met
from curecast.store.rows import HoldChange

__all__ = ["bar_lifted", "cover_may_go", "strength_test_due"]

#: A test is worth its trouble where nine of ten come so much later than half. [h]
_WORTH_H = 72.0


def cover_may_go(
    answer: SlabAnswer, placement_id: str, changes: Sequence[HoldChange]
) -> list[Finding]:
    """Protection may end, and a cover still lies by the log or the plan.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    changes : sequence of HoldChange
        All moves on record, in the order of entry.
    """
    name = "end-protection"
    stands = answer.holds.get(name)
    change = last_changes(changes, answer.now_h).get(name)
    if stands is None or change is None or stands.state not in PERMISSION:
        return []
    if not cover_state(answer.spells, answer.age_h).covered:
        return []
    drop_k, rule = most_drop_k(answer.case.thickness_m)
    now_index = max(int(np.searchsorted(answer.past.t_h, answer.age_h + 1e-9)) - 1, 0)
    hour = int(np.clip(answer.now_h - answer.weather.start_h, 0, len(answer.weather) - 1))
    until = answer.weather.air_c[hour : hour + 24]
    return [
        CoverMayGo(
            key=key_of(answer.job.name, placement_id, "uncover", name, change.id),
            kind="uncover",
            hold=name,
            at_h=unix_h(change.at),
            stands=stands,
            drop_k=drop_k,
            rule=rule,
            slab_c=float(np.median(answer.past.coldest_c[now_index, 1:])),
            air_c=float(until.min()) + answer.job.site.air_offset_k,
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def strength_test_due(answer: SlabAnswer, placement_id: str) -> list[Finding]:
    """Half of the members have a hold's strength, and nine of ten are far off or out of reach.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    """
    due = [
        name
        for name, hold in answer.holds.items()
        if hold.state in ("projected", "unproven")
        and hold.rule.strength_mpa is not None
        and hold.likely_h <= answer.now_h
        and hold.age_met
        and (hold.count_on_h - answer.now_h > _WORTH_H or hardly_met(answer, hold.rule))
    ]
    if not due:
        return []
    hardest = max(due, key=lambda name: answer.holds[name].rule.strength_mpa or 0.0)
    tested = len(answer.record.tested)
    return [
        TestDue(
            key=key_of(answer.job.name, placement_id, "test-due", None, f"{hardest}-{tested}"),
            kind="test-due",
            at_h=answer.now_h,
            holds=tuple(name for name in answer.holds if name in due),
            stands=answer.holds[hardest],
            **last_seen(answer),  # type: ignore[arg-type]
        )
    ]


def bar_lifted(
    answer: SlabAnswer, placement_id: str, changes: Sequence[HoldChange]
) -> list[Finding]:
    """Holds whose last move led from barred to something that is no permission.

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
    for name, change in last_changes(changes, answer.now_h).items():
        stands = answer.holds.get(name)
        if stands is None or stands.state != change.to_state or change.from_state != "barred":
            continue
        if change.to_state not in ("projected", "unproven"):
            continue
        news.append(
            BarLifted(
                key=key_of(answer.job.name, placement_id, "lifted", name, change.id),
                kind="lifted",
                hold=name,
                at_h=unix_h(change.at),
                stands=stands,
                why=change.why,
                **last_seen(answer),  # type: ignore[arg-type]
            )
        )
    return news
