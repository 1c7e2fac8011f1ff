"""What ``holds`` says, to people and as JSON."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from curecast.cli.answers import BEYOND, date, instant
from curecast.cli.context import Context
from curecast.cli.pour_lines import earlier_words
from curecast.cli.slab import Standing
from curecast.cli.tables import table_lines
from curecast.cli.temperature_line import temperature_line
from curecast.clock import from_unix_h, show_day, show_instant
from curecast.core.aging import heat_age_h
from curecast.core.histories import PLACES
from curecast.job.layout import Job
from curecast.prospect.needs import frozen_words, needs_of, next_reading, sooner
from curecast.prospect.sentences import CAUTIONS, degrees, when
from curecast.prospect.slab import HoldAnswer, SlabAnswer, strength_quantiles
from curecast.prospect.soundness import strength
from curecast.prospect.testing import fit_json
from curecast.report.lines import HoldLine

_WORDS = {"signed-off": "signed off", "not-poured": "not poured"}


def _now_index(answer: SlabAnswer) -> int:
    return max(int(np.searchsorted(answer.past.t_h, answer.age_h + 1e-9)) - 1, 0)


def slab_json(answer: SlabAnswer) -> dict[str, Any]:
    """Where the slab stands: medians, and strength by nine of ten."""
    i = _now_index(answer)
    past = answer.past

    heat_h = heat_age_h(past.t_h[: i + 1], past.temp_c[: i + 1, :, 1:], answer.case.hydration)

    def median(values: Any, skip: int = 1) -> dict[str, float]:
        return {p: float(np.median(values[i, k, skip:])) for k, p in enumerate(PLACES)}

    mpa = {}
    for k, place in enumerate(PLACES):
        half, nine = strength_quantiles(answer, k)
        mpa[place] = {"likely": float(half[i]), "count_on": float(nine[i])}
    followed = answer.age_h <= past.t_h[-1] + 1.0
    return {
        "age_h": answer.age_h,
        "temperature_c": median(past.temp_c) if followed else dict.fromkeys(PLACES),
        "heat_age_h": median(heat_h, 0),
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


def _hold_json(standing: Standing, answer: SlabAnswer, hold: HoldAnswer) -> dict[str, Any]:
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
        "amended": [
            {"at": a.at, "by": a.by, "reason": a.reason, "earlier_d": a.earlier_d[hold.rule.name]}
            for a in standing.amendments
            if hold.rule.name in a.earlier_d
        ],
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


def holds_json(standing: Standing) -> dict[str, Any]:
    """``holds`` as JSON."""
    answer = _answer(standing)
    return {
        "slab": slab_json(answer),
        "holds": [_hold_json(standing, answer, h) for h in answer.holds.values()],
        "fit": fit_json(answer),
        "notes": list(standing.notes),
        "cautions": list(CAUTIONS),
    }


def _answer(standing: Standing) -> SlabAnswer:
    assert standing.answer is not None, "asked only of a poured slab"
    return standing.answer


def amended_words(standing: Standing, hold: str) -> list[str]:
    """Every amendment that brought a hold forward; that is said beside it for good."""
    zone = standing.found.job.site.zone
    return [
        f"amended {show_day(a.at, zone)} by {a.by}, {earlier_words(a.earlier_d[hold])}: {a.reason}"
        for a in standing.amendments
        if hold in a.earlier_d
    ]


def report_lines(standing: Standing) -> list[HoldLine]:
    """The holds in words, for the report."""
    answer = _answer(standing)
    return [
        HoldLine(
            name=hold.rule.name,
            state=hold.state,
            likely=_instant(answer, hold.likely_h),
            count_on=_instant(answer, hold.count_on_h),
            basis="; ".join([hold.rule.basis, *amended_words(standing, hold.rule.name)]),
            needs=needs_of(answer, hold),
            evidence=_evidence(answer, hold),
        )
        for hold in answer.holds.values()
    ]


def _instant(answer: SlabAnswer, unix_h: float) -> str:
    return when(answer.job, unix_h) if math.isfinite(unix_h) else BEYOND


def _evidence(answer: SlabAnswer, hold: HoldAnswer) -> str:
    if hold.rule.evidence == "none":
        return "by the model, no reading asked"
    if hold.by_test:
        return "strength test"
    return f"{answer.evidence.kind}, {100.0 * hold.share:.0f} % vouched for"


def _date(answer: SlabAnswer, unix_h: float) -> str:
    if not math.isfinite(unix_h):
        return "past 180 d"
    return show_day(from_unix_h(unix_h), answer.job.site.zone)


def hold_lines(ctx: Context, standing: Standing, only: str | None) -> list[str]:
    """Where the slab stands, then each hold, or one of them in full."""
    answer = _answer(standing)
    minded = [f"  mind: {note}" for note in standing.notes]
    drawn = temperature_line(answer) if only is None else []
    lines = [*_head(answer), *drawn, *minded, ""]
    if only is not None:
        lines += _one(standing, answer, answer.holds[only])
    else:
        heads = ["hold", "state", "count on", "likely", "evidence", "still needs"]
        rows = [_row(answer, hold) for hold in answer.holds.values()]
        lines += table_lines(ctx, heads, rows)
        ahead = [h for h in answer.holds.values() if sooner(answer, h)]
        if ahead:
            lines += ["", "What would bring a hold forward"]
            lines += [f"  {h.rule.name}: {'; or '.join(sooner(answer, h))}" for h in ahead]
        changed = {name: amended_words(standing, name) for name in answer.holds}
        if any(changed.values()):
            lines += ["", "What was brought forward by an amendment of the job"]
            lines += [f"  {name}: {word}" for name, words in changed.items() for word in words]
    return [*lines, "", *(f"! {c}" for c in CAUTIONS)]


def _head(answer: SlabAnswer) -> list[str]:
    """Where the slab stands, in three lines."""
    job, slab = answer.job, slab_json(answer)
    temps, mpa = slab["temperature_c"], slab["strength_mpa"]
    warmth = "temperature no longer followed: every strength it needs was reached before"
    if temps["surface"] is not None:
        warmth = (
            f"slab about {degrees(job, temps['surface'])} at the top, "
            f"{degrees(job, temps['edge'])} at the edge"
        )
    return [
        f"{job.name}, {answer.age_h / 24.0:.1f} days after placing, "
        f"{show_instant(from_unix_h(answer.now_h), job.site.zone, year=True)}",
        f"  {warmth}; strength likely "
        f"{strength(job, mpa['likely'])}, count on {strength(job, mpa['count_on'])}; "
        f"{frozen_words(answer)}",
        f"  evidence: {answer.evidence.kind}; {next_reading(answer)}",
    ]


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


def _one(standing: Standing, answer: SlabAnswer, hold: HoldAnswer) -> list[str]:
    job = answer.job
    state = _WORDS.get(hold.state, hold.state)
    lines = [f"{hold.rule.name}: {state}" + (f" ({hold.why})" if hold.why else "")]
    lines += [f"  {word}" for word in amended_words(standing, hold.rule.name)]
    lines.append(_ground(job, hold))
    if hold.rule.strength_mpa is not None:
        lines.append(f"  asks {strength(job, hold.rule.strength_mpa)} at the {hold.rule.place}")
    lines.append(f"  basis: {hold.rule.basis}")
    lines += [f"  needs: {need}" for need in needs_of(answer, hold)]
    lines += [f"  sooner: {way}" for way in sooner(answer, hold)]
    return lines


def _ground(job: Job, hold: HoldAnswer) -> str:
    """What a permission rests on, or the dates of what is none."""
    if hold.state == "signed-off":
        return "  signed off by a person; the criteria are not met on evidence"
    if hold.state == "released":
        if hold.by_test:
            return "  on a strength test of this pour"
        if hold.rule.evidence == "none":
            return "  by time and the model; no reading is asked for it"
        return f"  on evidence: {100.0 * hold.share:.0f} % of its maturity is vouched for"
    if not math.isfinite(hold.count_on_h):
        return f"  count on it: {BEYOND} on these temperatures"
    return f"  count on it {when(job, hold.count_on_h)}; likely {when(job, hold.likely_h)}"
