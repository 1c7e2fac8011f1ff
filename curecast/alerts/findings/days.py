"""News before the pour: the chosen start got worse, works again, or another one is better."""

from __future__ import annotations

from collections.abc import Sequence

from curecast.alerts.findings.kinds import (
    BetterDay,
    DayChanged,
    Finding,
    Said,
    Source,
    key_of,
    revision,
    stamp,
)
from curecast.clock import from_unix_h, to_local
from curecast.core.starts import Judged
from curecast.prospect.sentences import start_reasons
from curecast.prospect.week import VERDICTS, WeekAnswer

__all__ = ["day_findings"]

#: A worse verdict does not wait for the morning when the pour is so near (ASSUMED). [h]
_SOON_H = 24.0


def day_findings(
    week: WeekAnswer, chosen: Judged, was: str, placement_id: str, said: Sequence[Said] = ()
) -> list[Finding]:
    """What is to be said about a chosen start.

    Parameters
    ----------
    week : WeekAnswer
        The coming week by the newest forecast.
    chosen : Judged
        The chosen start by the same forecast.
    was : str
        Its verdict when it was chosen.
    placement_id : str
        Its placement.
    said : sequence of Said
        Messages queued before, oldest first.

    Returns
    -------
    list of Finding
        Empty while the verdict is that which was last said, and no other day is better.
    """
    start_h = chosen.candidate.start_h
    head = stamp(start_h)
    told = [s for s in said if _is_about_day(s.key, week.job.name, placement_id, head)]
    last = revision(told[-1].key).rpartition(".")[2] if told else was
    better = _better(week, chosen, placement_id, head)
    now, before = VERDICTS.index(chosen.verdict), VERDICTS.index(last)
    if now == before or (now < before and not told):
        return better
    kind = "day-worse" if now > before else "day-restored"
    words = f"{head}.{len(told) + 1}.{chosen.verdict}"
    change = DayChanged(
        key=key_of(week.job.name, placement_id, kind, None, words),
        kind=kind,
        job=week.job.name,
        at_h=week.now_h,
        now_h=week.now_h,
        can_wait=kind != "day-worse" or start_h - week.now_h > _SOON_H,
        start_h=start_h,
        verdict=chosen.verdict,
        was=last,
        reasons=tuple(start_reasons(week.job, chosen)),
        chance_freeze=chosen.frost.chance_freeze,
        coldest_c=chosen.frost.coldest_c,
        source=Source(week.forecast.source, week.forecast.issued_h),
    )
    return [change, *better]


def _is_about_day(key: str, job: str, placement_id: str, head: str) -> bool:
    kinds = ("day-worse", "day-restored")
    return any(key.startswith(key_of(job, placement_id, kind, None, head)) for kind in kinds)


def _better(week: WeekAnswer, chosen: Judged, placement_id: str, head: str) -> list[Finding]:
    if week.best is None:
        return []
    best = week.starts[week.best]
    if VERDICTS.index(best.verdict) >= VERDICTS.index(chosen.verdict):
        return []
    day = to_local(from_unix_h(best.candidate.start_h), week.job.site.zone).date().isoformat()
    return [
        BetterDay(
            key=key_of(
                week.job.name, placement_id, "day-better", None, f"{head}.{day}.{best.verdict}"
            ),
            kind="day-better",
            job=week.job.name,
            at_h=week.now_h,
            now_h=week.now_h,
            start_h=chosen.candidate.start_h,
            verdict=chosen.verdict,
            better_h=best.candidate.start_h,
            better=best.verdict,
            reasons=tuple(start_reasons(week.job, best)),
            chance_freeze=best.frost.chance_freeze,
            coldest_c=best.frost.coldest_c,
            source=Source(week.forecast.source, week.forecast.issued_h),
        )
    ]
