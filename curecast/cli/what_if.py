"""``holds --if`` and ``holds --plan``: what would move the dates, and how to prove them."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.cli.slab import Standing
    from curecast.prospect.record import Done
    from curecast.prospect.what_if import Shift, WhatIf

#: A date that moves by less has not moved. [h]
_SAME_H = 2.0


def show_what_if(ctx: Context, standing: Standing, text: str, hold: str | None) -> int:
    """Say which dates move if something were done, and whether a cover may come off."""
    from curecast.prospect.what_if import what_if
    from curecast.tracking import kept_forecasts, place_of

    answer = standing.answer
    assert answer is not None, "asked only of a poured slab"
    deeds = _deeds(ctx, text)
    with ctx.store() as store:
        known = list(kept_forecasts(store, place_of(answer.job), ctx.now()))
    newest = standing.forecast
    if newest is not None and all(f.issued_h != newest.issued_h for f in known):
        known.append(newest)
    found = what_if(answer, sorted(known, key=lambda f: f.issued_h), deeds)
    shifts = [s for s in found.shifts if hold is None or s.hold == hold]
    ctx.emit(_json(standing, text, found, shifts), _lines(text, found, shifts))
    return 1 if found.against else 0


def _deeds(ctx: Context, text: str) -> list[Done]:
    """What is said, read as if it were logged; it may lie ahead."""
    from curecast.clock import unix_h
    from curecast.errors import ReadingsError
    from curecast.prospect.record import Done
    from curecast.tracking.deeds import parse_deeds

    plain = re.sub(r"\b(?:heat(?:ed)?|heater) (?:on )?to\b", "heater on", text, flags=re.I)
    plain = re.sub(r"\s*\bnow\b", "", plain, flags=re.I)
    said = parse_deeds(plain, ctx.zone, ctx.now())
    wrong = [s for s in said if s.kind not in ("cover", "heater")]
    if wrong or not said:
        raise ReadingsError(
            f'"{text}" changes no cover and no heat',
            'say it like "blanket off now", "two blankets on 18:00" or "heat to 10C"',
        )
    return [Done(unix_h(s.at), s.kind, dict(s.numbers)) for s in said]


def _json(standing: Standing, text: str, found: WhatIf, shifts: list[Shift]) -> dict[str, Any]:
    from curecast.cli.answers import date, instant

    job = found.answer.job
    return {
        "if": text,
        "holds": [
            {
                "name": s.hold,
                "likely": date(job, s.likely_after_h), "count_on": date(job, s.after_h),
                "likely_before": date(job, s.likely_before_h),
                "count_on_before": date(job, s.before_h),
                "later_h": s.after_h - s.before_h,
            }
            for s in shifts
        ],
        "uncovering": {
            "asked": found.uncovers,
            "may_come_off": found.uncovers and not found.against,
            "against": list(found.against),
            "may_come_off_at": None if found.off_h is None else instant(job, found.off_h),
        },
        "frozen_early": found.answer.frozen_early,
        "chance_frozen_early": found.answer.chance_frozen,
        "notes": list(standing.notes),
    }  # fmt: skip


def _lines(text: str, found: WhatIf, shifts: list[Shift]) -> list[str]:
    from curecast.prospect.needs import frozen_words
    from curecast.prospect.sentences import when

    job = found.answer.job
    lines = [f'{job.name}, if "{text}": nothing is put on record']
    if found.uncovers:
        if found.against:
            lines.append("  It should NOT come off then:")
            lines += [f"  - {why}" for why in found.against]
            lines.append(
                "  no hour of the next four days is better"
                if found.off_h is None
                else f"  nothing speaks against it {when(job, found.off_h)}"
            )
        else:
            lines.append("  It may come off: no shock, no clear dusk, its protection is over")
    lines.append(f"  {frozen_words(found.answer)}")
    moved = [s for s in shifts if _moves(s)]
    lines += ["", "count on it"] + [f"  {s.hold:<15} {_shift(job, s)}" for s in moved]
    if not moved:
        lines.append("  no date moves")
    return lines


def _moves(shift: Shift) -> bool:
    if math.isfinite(shift.before_h) and math.isfinite(shift.after_h):
        return abs(shift.after_h - shift.before_h) >= _SAME_H
    return math.isfinite(shift.before_h) != math.isfinite(shift.after_h)


def _shift(job: Any, shift: Shift) -> str:
    from curecast.cli.answers import BEYOND
    from curecast.prospect.sentences import when

    def shown(hours: float) -> str:
        return when(job, hours) if math.isfinite(hours) else BEYOND

    days = (shift.after_h - shift.before_h) / 24.0
    by = ""
    if math.isfinite(days):
        size = f"{abs(days):.1f} days" if abs(days) >= 1.0 else f"{24.0 * abs(days):.0f} h"
        by = f", {size} {'later' if days > 0.0 else 'sooner'}"
    return f"{shown(shift.before_h)} -> {shown(shift.after_h)}{by}"


def show_plan(ctx: Context, standing: Standing) -> int:
    """Say how to come by evidence without a laboratory, and what each way would save."""
    from curecast.prospect.evidence_plan import casting_plan, evidence_plan

    answer = standing.answer
    ways = [casting_plan(standing.found.job)] if answer is None else evidence_plan(answer)
    lines = [f"{standing.found.job.name}: evidence without a laboratory of your own"]
    for way in ways:
        lines += ["", way.title, *(f"  - {step}" for step in way.steps)]
        lines += [f"  saves: {hold} {words}" for hold, words in way.saves.items()]
    ctx.emit(
        {
            "plan": [
                {"title": w.title, "steps": list(w.steps), "saves_d": w.saves_d, "saves": w.saves}
                for w in ways
            ],
            "notes": list(standing.notes),
        },
        lines,
    )
    return 0
