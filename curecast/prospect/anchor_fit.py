"""Will the anchors hold: the concrete cone at the strength of the day, the torque's pull."""

from __future__ import annotations

from typing import Any

from curecast.core.build.anchors import (
    CAST_IN,
    DRILLED,
    LEAST_MPA,
    LIVE_LOAD,
    PHI_CAST_IN,
    PHI_DRILLED,
    Breakout,
    breakout,
)
from curecast.core.build.base_plate import worst_pull_n
from curecast.core.build.wrench import (
    PULL_SPREAD,
    SNUG_SHARE,
    STEADY_PULL_N,
    handle_force_n,
    torque_pull_n,
)
from curecast.errors import OutOfRange, Problem
from curecast.job.layout import Job
from curecast.prospect.anchorage import embedment_of, places_of
from curecast.prospect.case import rules_of
from curecast.prospect.loads import has_machine, loads_of
from curecast.prospect.told import Told, measured, nominal, said, together

#: A wrench where the job gives no handle (ASSUMED). [m]
HANDLE_M = 0.50


def anchors_of(job: Job) -> Told:
    """The cone, the pull and the torque of a job's anchors."""
    return together(part(job) for part in (_cone, _torque))


def cone_at(job: Job, strength_mpa: float | None) -> Breakout | None:
    """What the concrete holds of one anchor at the strength of the day.

    Parameters
    ----------
    job : Job
        As read.
    strength_mpa : float or None
        Strength where the anchors stand. [MPa]

    Returns
    -------
    Breakout or None
        Nominal, cracked concrete; None where places, embedment or strength are unknown.
    """
    places, deep = places_of(job), embedment_of(job)
    if places is None or deep is None or strength_mpa is None or not strength_mpa > 0.0:
        return None
    slab = (job.slab.length_m, job.slab.width_m)
    return breakout(strength_mpa, deep, places, slab, _k_c(job))


def pull_of(job: Job) -> float | None:
    """Pull on the worst anchor under service load with its shock factor; None if unknown. [N]"""
    places, loads = places_of(job), loads_of(job)
    if places is None or loads.moment_nm is None:
        return None
    try:
        return worst_pull_n(places, loads.moment_nm, loads.down_n or 0.0)
    except OutOfRange:
        return None


def loaded_strength_of(job: Job) -> float | None:
    """Strength at which the job's hold table lets the machine be loaded. [MPa]"""
    return rules_of(job)["service-load"].strength_mpa


def day_line(job: Job, strength_mpa: float | None) -> str | None:
    """The worst anchor's pull beside its capacity at the strength of one day, in a sentence."""
    cone, pull = cone_at(job, strength_mpa), pull_of(job)
    if cone is None:
        return None
    now = said(job, strength_mpa, "strength")
    holds = said(job, _phi(job) * cone.share_n, "force")
    line = f"at {now} the concrete cone is counted on for {holds} an anchor"
    if pull is not None and pull <= 0.0:
        line += "; no anchor is pulled"
    elif pull is not None:
        line += (
            f"; the worst anchor is pulled with {said(job, pull, 'force')}, "
            f"{said(job, LIVE_LOAD * pull, 'force')} with the code's factor"
        )
    if strength_mpa is not None and strength_mpa < LEAST_MPA:
        line += f" (below {said(job, LEAST_MPA, 'strength')} the rule is a guide at best)"
    return line


def _k_c(job: Job) -> float:
    return CAST_IN if job.equipment.anchor_kind == "cast-in" else DRILLED


def _phi(job: Job) -> float:
    return PHI_CAST_IN if job.equipment.anchor_kind == "cast-in" else PHI_DRILLED


def _missing(job: Job) -> tuple[str, ...]:
    if not has_machine(job):
        return ()
    lacking = []
    if places_of(job) is None:
        lacking.append("the anchors' spacing or positions")
    if embedment_of(job) is None:
        lacking.append("the anchors' embedment or hole depth")
    if places_of(job) is not None and loads_of(job).moment_nm and pull_of(job) is None:
        lacking.append("anchors that do not stand in one line: these hold no moment across it")
    return tuple(lacking)


def _cone(job: Job) -> Told:
    gear = job.equipment
    strength, missing = loaded_strength_of(job), _missing(job)
    cone, pull = cone_at(job, strength), pull_of(job)
    if cone is None or strength is None:
        return Told(missing=missing)
    design, factored = _phi(job) * cone.share_n, None if pull is None else LIVE_LOAD * pull
    rules = rules_of(job)
    by_hold: dict[str, Any] = {}
    for hold in ("drill", "full-torque"):
        day = cone_at(job, rules[hold].strength_mpa)
        if day is not None:
            by_hold[hold] = {
                "strength_mpa": rules[hold].strength_mpa,
                "cone_n": day.share_n,
                "counted_on_n": _phi(job) * day.share_n,
            }
    figures = {
        "cone_n": cone.share_n,
        "cone_group_n": cone.group_n,
        "cone_counted_on_n": design,
        "cone_strength_mpa": strength,
        "cone_embedment_m": cone.embedment_m,
        "cone_area_ratio": cone.area_ratio,
        "cone_edge_factor": cone.edge_factor,
        "cone_by_hold": by_hold,
        "worst_anchor_n": pull,
        "worst_anchor_factored_n": factored,
    }
    line = day_line(job, strength)
    lines = [f"{line} (ACI 318-19 ch. 17, advisory; steel and pull-out are for their maker)"]
    if "drill" in by_hold:
        day = by_hold["drill"]
        lines.append(
            f"at {said(job, day['strength_mpa'], 'strength')}, the least for "
            f"{'snug' if gear.anchor_kind == 'cast-in' else 'drilling'}, it is only "
            f"{said(job, day['counted_on_n'], 'force')}: no load before its hold is released"
        )
    if factored is None or factored <= design:
        return Told(tuple(lines), missing=missing, figures=figures)
    problem = Problem(
        "equipment.anchors",
        f"the worst anchor is pulled with {said(job, factored, 'force')} (service load x "
        f"{LIVE_LOAD}), more than the {said(job, design, 'force')} that the concrete cone is "
        f"counted on for at {said(job, strength, 'strength')}",
        hint="deeper or wider-spaced anchors, stronger concrete, or ask the maker's engineer",
    )
    return Told(tuple(lines), (problem,), missing, figures)


def _torque(job: Job) -> Told:
    gear = job.equipment
    if gear.torque_nm is None:
        return Told()
    handle = HANDLE_M if gear.handle_m is None else gear.handle_m
    hand = handle_force_n(gear.torque_nm, handle)
    figures: dict[str, Any] = {
        "snug_nm": SNUG_SHARE * gear.torque_nm,
        "handle_m": handle,
        "handle_n": hand,
    }
    parts = [f"torque {said(job, gear.torque_nm, 'torque')}"]
    if gear.anchor_size_m is not None:
        pull = torque_pull_n(gear.torque_nm, gear.anchor_size_m)
        low, high = (1.0 - PULL_SPREAD) * pull, (1.0 + PULL_SPREAD) * pull
        figures |= {"torque_pull_n": pull, "torque_pull_low_n": low, "torque_pull_high_n": high}
        pulls = (
            f" pulls an anchor with about {said(job, pull, 'force')} ({said(job, low, 'force')} to "
            f"{said(job, high, 'force')}; T = K D F, K 0.20)"
        )
        drill = cone_at(job, rules_of(job)["drill"].strength_mpa)
        if drill is not None and high > drill.share_n:
            green = said(job, drill.share_n, "force")
            pulls += f", where concrete just drilled holds {green}: wait for full-torque"
        parts[0] += pulls
    own = gear.handle_m
    length = nominal(job, HANDLE_M) if own is None else measured(job, own)
    hard = ", more than a steady pull: a longer handle" if hand > STEADY_PULL_N else ""
    parts.append(f"{said(job, hand, 'force')} at the end of a {length} handle{hard}")
    parts.append(f"snug is at most {said(job, SNUG_SHARE * gear.torque_nm, 'torque')}")
    return Told(("; ".join(parts),), figures=figures)
