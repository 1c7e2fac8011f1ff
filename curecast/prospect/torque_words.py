"""What is said of torque: the pattern, the rounds with the force at the handle, the tag."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from curecast.clock import from_unix_h, show_instant
from curecast.core.build.wrench import STEADY_PULL_N, handle_force_n
from curecast.core.states import PERMISSION
from curecast.job.layout import Job
from curecast.prospect.anchor_fit import HANDLE_M
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.prospect.told import measured, said
from curecast.prospect.torqued import (
    FIRST_LOADS,
    RECHECK_H,
    ROUNDS,
    anchor_count,
    anchor_states,
    is_full,
    torque_order,
    torqued_h,
)

ROUND_NAMES = ("snug", "half way", "full")


@dataclass(frozen=True)
class Tag:
    """The tag for the machine; every text is ready to print."""

    job: Job
    forbids: tuple[str, ...]
    lines: tuple[str, ...]
    decides: tuple[str, ...]


def hand_words(job: Job, torque_nm: float) -> str:
    """The force at the end of the handle, and whether it is more than a steady pull."""
    handle = HANDLE_M if job.equipment.handle_m is None else job.equipment.handle_m
    force = handle_force_n(torque_nm, handle)
    hard = ", more than a steady pull: a longer handle" if force > STEADY_PULL_N else ""
    force_text, length = said(job, force, "force"), measured(job, handle)
    return f"{force_text} at the end of a {length} handle{hard}"


def pattern_lines(job: Job) -> list[str]:
    """In what order, in how many rounds, how hard."""
    count, full = anchor_count(job), job.equipment.torque_nm
    lines = []
    if count:
        order = " - ".join(str(n) for n in torque_order(job))
        numbers = "as in the job file" if job.equipment.positions_m else "clockwise from above"
        lines.append(f"order in every round: {order} (numbered {numbers})")
    else:
        lines.append("order: crosswise, each anchor followed by the one opposite")
    if full is None:
        return [*lines, "the maker's torque is not in the job: ask for it"]
    for number, (share, name) in enumerate(zip(ROUNDS, ROUND_NAMES, strict=True), 1):
        value = share * full
        lines.append(
            f"round {number}, {name}: {said(job, value, 'torque')}, {hand_words(job, value)}"
        )
    return lines


def permission_lines(answer: SlabAnswer, value_nm: float | None) -> list[str]:
    """A clear word where the torque goes beyond what is permitted now; empty where it does not.

    ``value_nm`` is None where nobody said how much: then it is the full torque.
    """
    job, full = answer.job, answer.job.equipment.torque_nm
    lines = []
    snug = full is not None and value_nm is not None and value_nm <= ROUNDS[0] * full * 1.05
    hold = answer.holds["snug" if snug else "full-torque"]
    if hold.state not in PERMISSION:
        lines.append(
            f"{hold.rule.name} is not released ({hold.state}): what was put on is logged, and "
            "gives no permission; load nothing, look for cracks around the anchors, ask who "
            "decides"
        )
    if full is not None and value_nm is not None and value_nm > 1.05 * full:
        lines.append(
            f"{said(job, value_nm, 'torque')} is more than the maker's "
            f"{said(job, full, 'torque')}: slacken, and look at anchor and concrete"
        )
    return lines


def state_lines(answer: SlabAnswer) -> list[str]:
    """Every anchor as it stands, and what comes next."""
    job, zone = answer.job, answer.job.site.zone
    states = anchor_states(job, answer.record)
    lines = []
    for s in states:
        if s.value_nm is None or s.at_h is None:
            lines.append(f"anchor {s.n}: nothing logged")
            continue
        word = ""
        if s.rechecked_h is not None:
            word = ", read again after a day"
        elif s.full_h is None:
            word = ", not full yet"
        when = show_instant(from_unix_h(s.at_h), zone)
        lines.append(f"anchor {s.n}: {said(job, s.value_nm, 'torque')} {when}{word}")
    done = torqued_h(job, answer.record)
    if done is None:
        return [*lines, "not all anchors are at full torque: carry no load"]
    if states and all(s.rechecked_h is not None for s in states):
        lines.append("all were checked again after a day; check once more after the first loads")
    else:
        due = show_instant(from_unix_h(done + RECHECK_H), zone)
        lines.append(f"check every anchor again from {due}, and after the first loads")
    load = answer.holds["service-load"]
    if load.state not in PERMISSION:
        lines.append(f"service-load is {load.state}: no load yet")
    return [*lines, "first loads, once service-load is released:", *(f"- {x}" for x in FIRST_LOADS)]


def torque_answer(answer: SlabAnswer) -> dict[str, Any]:
    """All of it in JSON."""
    job = answer.job
    done = torqued_h(job, answer.record)
    full = job.equipment.torque_nm
    return {
        "anchors": [
            {
                "n": s.n,
                "value_nm": s.value_nm,
                "at": None if s.at_h is None else from_unix_h(s.at_h),
                "full": s.full_h is not None,
                "rechecked": s.rechecked_h is not None,
            }
            for s in anchor_states(job, answer.record)
        ],
        "order": torque_order(job),
        "rounds": [] if full is None else [{"name": n, "value_nm": share * full}
                                           for n, share in zip(ROUND_NAMES, ROUNDS, strict=True)],
        "full_torque": answer.holds["full-torque"].state,
        "service_load": answer.holds["service-load"].state,
        "torqued_at": None if done is None else from_unix_h(done),
        "recheck_from": None if done is None else from_unix_h(done + RECHECK_H),
        "first_loads": list(FIRST_LOADS),
    }  # fmt: skip


def round_of(job: Job, value_nm: float) -> int:
    """Which round a torque belongs to, from 1."""
    full = job.equipment.torque_nm
    if is_full(job, value_nm) or full is None:
        return len(ROUNDS)
    return 1 if value_nm <= 1.05 * ROUNDS[0] * full else 2


def tag_of(answer: SlabAnswer) -> Tag:
    """The tag for the machine."""
    job = answer.job
    forbids = [
        f"DO NOT {what} {_until(answer, answer.holds[name])}"
        for name, what in (("full-torque", "TORQUE"), ("service-load", "LOAD"))
        if answer.holds[name].state not in PERMISSION
    ]
    lines = pattern_lines(job)
    lines += [x for x in state_lines(answer) if not x.startswith("service-load is")]
    return Tag(
        job,
        tuple(forbids) or ("Torque and load are permitted by their holds; see them before use.",),
        tuple(lines),
        (
            "Who decides: ______________________   Date, sign: ______________________",
            f"How it stands: curecast holds {job.name}. A date is no release.",
        ),
    )


def _until(answer: SlabAnswer, hold: HoldAnswer) -> str:
    if hold.state == "barred":
        return "AT ALL: barred, only a strength test lifts it"
    if not math.isfinite(hold.count_on_h) or hold.count_on_h - answer.now_h > 180 * 24.0:
        return "before its hold is released: not within 180 days by temperature alone"
    day = show_instant(from_unix_h(hold.count_on_h), answer.job.site.zone, year=True)
    if hold.count_on_h <= answer.now_h:
        return "before its hold is released: evidence is lacking"
    return f"before {day}, and then only once its hold is released"
