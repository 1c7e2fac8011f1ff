"""What ``holds`` says, to people and as JSON."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from curecast.cli.answers import BEYOND, date, instant
from curecast.cli.context import Context
from curecast.cli.tables import table_lines
from curecast.clock import from_unix_h, show_day, show_instant
from curecast.core.histories import PLACES
from curecast.prospect.needs import frozen_words, needs_of, next_reading, sooner
from curecast.prospect.sentences import CAUTIONS, degrees, when
from curecast.prospect.slab import HoldAnswer, SlabAnswer, strength_quantiles
from curecast.prospect.soundness import strength
from curecast.report.lines import HoldLine

_WORDS = {"signed-off": "signed off", "not-poured": "not poured"}


def _now_index(answer: SlabAnswer) -> int:
    return max(int(np.searchsorted(answer.past.t_h, answer.age_h + 1e-9)) - 1, 0)


def slab_json(answer: SlabAnswer) -> dict[str, Any]:
    """Where the slab stands: medians, and strength by nine of ten."""
    i = _now_index(answer)
    past = answer.past

    def median(values: Any) -> dict[str, float]:
        return {p: float(np.median(values[i, k, 1:])) for k, p in enumerate(PLACES)}

    mpa = {}
    for k, place in enumerate(PLACES):
        half, nine = strength_quantiles(answer, k)
        mpa[place] = {"likely": float(half[i]), "count_on": float(nine[i])}
    return {
        "age_h": answer.age_h,
        "temperature_c": median(past.temp_c),
        "strength_age_h": median(past.te20_h),
        "ttf_c_h": median(past.ttf_c_h),
        "strength_mpa": {
            "likely": min(v["likely"] for v in mpa.values()),
            "count_on": min(v["count_on"] for v in mpa.values()),
            "places": mpa,
        },
        "frozen_early": answer.frozen_early,
        "chance_frozen_early": answer.chance_frozen,
        "site_offset_k": float(answer.site.offset_k[0]),
    }


def _hold_json(answer: SlabAnswer, hold: HoldAnswer) -> dict[str, Any]:
    evidence = answer.evidence

    def at(hours: float | None) -> Any:
        return None if hours is None else instant(answer.job, answer.origin_h + hours)

    return {
        "name": hold.rule.name,
        "state": hold.state,
        "likely": date(answer.job, hold.likely_h),
        "count_on": date(answer.job, hold.count_on_h),
        "closes": instant(answer.job, hold.closes_h),
        "needs": needs_of(answer, hold),
        "sooner": sooner(answer, hold),
        "why": hold.why,
        "basis": hold.rule.basis,
        "strength_mpa": hold.rule.strength_mpa,
        "evidence": {
            "kind": "strength test" if hold.by_test else evidence.kind,
            "fraction": hold.share,
            "longest_gap_h": evidence.longest_gap_h,
            "last_reading_at": at(evidence.last_reading_h),
            "next_reading_by": at(evidence.next_by_h),
        },
    }


def holds_json(answer: SlabAnswer, notes: list[str]) -> dict[str, Any]:
    """``holds`` as JSON."""
    return {
        "slab": slab_json(answer),
        "holds": [_hold_json(answer, h) for h in answer.holds.values()],
        "notes": notes,
        "cautions": list(CAUTIONS),
    }


def report_lines(answer: SlabAnswer) -> list[HoldLine]:
    """The holds in words, for the report."""
    lines = []
    for hold in answer.holds.values():
        beyond = not math.isfinite(hold.count_on_h)
        share = "" if hold.rule.evidence == "none" else f", {100.0 * hold.share:.0f} % vouched for"
        lines.append(
            HoldLine(
                name=hold.rule.name,
                state=hold.state,
                likely=when(answer.job, hold.likely_h)
                if math.isfinite(hold.likely_h)
                else BEYOND,
                count_on=BEYOND if beyond else when(answer.job, hold.count_on_h),
                basis=hold.rule.basis,
                needs=needs_of(answer, hold),
                evidence="by the model, no reading asked"
                if hold.rule.evidence == "none"
                else ("strength test" if hold.by_test else answer.evidence.kind + share),
            )
        )
    return lines


def _date(answer: SlabAnswer, unix_h: float) -> str:
    if not math.isfinite(unix_h):
        return "past 180 d"
    return show_day(from_unix_h(unix_h), answer.job.site.zone)


def hold_lines(
    ctx: Context, answer: SlabAnswer, only: str | None, notes: list[str]
) -> list[str]:
    """Where the slab stands, then each hold, or one of them in full."""
    job = answer.job
    slab = slab_json(answer)
    temps = slab["temperature_c"]
    lines = [
        f"{job.name}, {answer.age_h / 24.0:.1f} days after placing, "
        f"{show_instant(from_unix_h(answer.now_h), job.site.zone)}",
        f"  slab about {degrees(job, temps['surface'])} at the top, "
        f"{degrees(job, temps['edge'])} at the edge; strength likely "
        f"{strength(job, slab['strength_mpa']['likely'])}, count on "
        f"{strength(job, slab['strength_mpa']['count_on'])}; {frozen_words(answer)}",
        f"  evidence: {answer.evidence.kind}; {next_reading(answer)}",
        *(f"  mind: {note}" for note in notes),
        "",
    ]
    if only is not None:
        lines += _one(answer, answer.holds[only])
    else:
        heads = ["hold", "state", "count on", "likely", "evidence", "still needs"]
        rows = [_row(answer, hold) for hold in answer.holds.values()]
        lines += table_lines(ctx, heads, rows)
        ahead = [h for h in answer.holds.values() if sooner(answer, h)]
        if ahead:
            lines += ["", "What would bring a hold forward"]
            lines += [f"  {h.rule.name}: {'; or '.join(sooner(answer, h))}" for h in ahead]
    return [*lines, "", *(f"! {c}" for c in CAUTIONS)]


def _row(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    needs = needs_of(answer, hold)
    state = _WORDS.get(hold.state, hold.state)
    share = "" if hold.rule.evidence == "none" else f"{100.0 * hold.share:.0f} %"
    return [
        hold.rule.name,
        state,
        _date(answer, hold.count_on_h),
        _date(answer, hold.likely_h),
        share,
        needs[0] if needs else "-",
    ]


def _one(answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    job = answer.job
    state = _WORDS.get(hold.state, hold.state)
    lines = [
        f"{hold.rule.name}: {state}" + (f" ({hold.why})" if hold.why else ""),
    ]
    if hold.state not in ("released", "signed-off"):
        lines.append(
            f"  count on it {when(job, hold.count_on_h)}; likely {when(job, hold.likely_h)}"
            if math.isfinite(hold.count_on_h)
            else "  count on it: not within 180 days on these temperatures"
        )
    elif hold.by_test:
        lines.append("  on a strength test of this pour")
    else:
        lines.append(f"  on readings: {100.0 * hold.share:.0f} % of its maturity is vouched for")
    if hold.rule.strength_mpa is not None:
        lines.append(f"  asks {strength(job, hold.rule.strength_mpa)} at the {hold.rule.place}")
    lines.append(f"  basis: {hold.rule.basis}")
    lines += [f"  needs: {need}" for need in needs_of(answer, hold)]
    lines += [f"  sooner: {way}" for way in sooner(answer, hold)]
    return lines
