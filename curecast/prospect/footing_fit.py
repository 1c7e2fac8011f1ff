"""Will the slab stand: overturning, sliding and soil pressure under the maker's loads."""

from __future__ import annotations

import math
from typing import Any

from curecast.core.build.base_plate import G_M_S2
from curecast.core.build.footing import (
    FRICTION,
    FRICTION_ON_SHEET,
    LEAST_FACTOR,
    SOFT_GROUND_KPA,
    Footing,
    footing,
    sliding_factor,
)
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.anchorage import offset_of
from curecast.prospect.case import mix_of, takeoff_of
from curecast.prospect.loads import Loads, has_machine, loads_of, missing_loads
from curecast.prospect.told import Told, said, share


def footing_of(job: Job) -> Told:
    """The slab as a small footing, an advisory; what cannot be reckoned is said."""
    if not has_machine(job):
        return Told(("no machine is named: what the slab would carry is not known",))
    loads, missing = loads_of(job), missing_loads(job)
    if loads.down_n is None and loads.moment_nm is None and loads.sideways_n is None:
        line = "no load figures are given: whether the slab carries the machine is not known"
        return Told((line,), missing=missing)
    along, across = _sides(job, loads)
    worst = min((along, across), key=lambda f: f.overturning)
    pressure = max(along.pressure_kpa, across.pressure_kpa)
    bears = SOFT_GROUND_KPA if job.ground.bearing_kpa is None else job.ground.bearing_kpa
    figures: dict[str, Any] = {
        "slab_kg": slab_kg(job),
        "moment_nm": loads.moment_nm,
        "overturning": None if loads.moment_nm is None else worst.overturning,
        "soil_kpa": pressure,
        "soil_bears_kpa": bears,
        "soil_contact": min(along.contact, across.contact),
    }
    lines = [_line(job, loads, worst, pressure)]
    if loads.sideways_n is None:
        lines[0] += "; sliding not reckoned, no sideways pull is given"
    problems = [*_tips(job, loads, worst), *_soil(job, pressure, bears)]
    if loads.moment_nm is None:
        lines.append(
            "no reach, overturning moment or pull's height is given: overturning and the pull on "
            "the anchors are not known"
        )
    if loads.sideways_n is not None:
        slides = _sliding(job, loads)
        figures |= {"sliding": slides}
        lines.append(
            f"sliding: {slides:.1f} times safe, friction alone ({LEAST_FACTOR} wanted); the "
            "anchors' shear is for their maker"
        )
        problems += _slides(slides)
    return Told(tuple(lines), tuple(problems), missing, figures)


def slab_kg(job: Job) -> float:
    """Mass of the slab. [kg]"""
    return takeoff_of(job).volume_m3 * mix_of(job).preset.fresh_kg_m3


def _sides(job: Job, loads: Loads) -> tuple[Footing, Footing]:
    """Along the length and along the width: the load may turn to either."""
    slab_n = slab_kg(job) * G_M_S2
    on_base_n = loads.down_n or 0.0
    arm = (loads.sideways_n or 0.0) * takeoff_of(job).thickness_m
    length, width = job.slab.length_m, job.slab.width_m
    found = [
        footing(side, other, slab_n + on_base_n, (loads.moment_nm or 0.0) + arm + on_base_n * off)
        for side, other, off in zip((length, width), (width, length), offset_of(job), strict=True)
    ]
    return found[0], found[1]


def _sliding(job: Job, loads: Loads) -> float:
    """Slab and machine alone press it down; the load may be off the hook."""
    own = (loads.down_n or 0.0) - (loads.load_n or 0.0 if loads.moment_nm is not None else 0.0)
    friction = FRICTION_ON_SHEET if job.ground.under == "sheet" else FRICTION
    return sliding_factor(slab_kg(job) * G_M_S2 + own, loads.sideways_n or 0.0, friction)


def _line(job: Job, loads: Loads, worst: Footing, pressure: float) -> str:
    head = f"slab of {said(job, slab_kg(job), 'mass')} as a footing: "
    tips = ""
    if loads.moment_nm is not None:
        tips = "no moment, "
        if math.isfinite(worst.overturning):
            tips = (
                f"moment {said(job, worst.moment_nm, 'torque')}, {worst.overturning:.1f} times "
                f"safe against overturning ({LEAST_FACTOR} wanted), "
            )
    if not math.isfinite(pressure):
        return f"{head}{tips}it tips (advisory)"
    soil = said(job, pressure, "pressure")
    lifts = (
        ""
        if worst.contact >= 1.0
        else f", its far side lifts ({share(worst.contact)} pressed down)"
    )
    return f"{head}{tips}soil pressed with at most {soil}{lifts} (advisory)"


def _tips(job: Job, loads: Loads, worst: Footing) -> list[Problem]:
    if worst.overturning >= LEAST_FACTOR:
        return []
    return [
        Problem(
            "slab.width",
            f"the machine's moment of {said(job, worst.moment_nm, 'torque')} leaves the slab "
            f"{worst.overturning:.2f} times safe against overturning, less than {LEAST_FACTOR}",
            hint="a larger or thicker slab, or ask the maker's engineer",
        )
    ]


def _soil(job: Job, pressure: float, bears: float) -> list[Problem]:
    if pressure <= bears * (1.0 + 1e-9) or not math.isfinite(pressure):  # tipping says it all
        return []
    found = said(job, pressure, "pressure")
    taken = " that soft ground is taken to bear" if job.ground.bearing_kpa is None else " it bears"
    return [
        Problem(
            "ground.bearing",
            f"the soil under the pressed edge carries {found}, more than the "
            f"{said(job, bears, 'pressure')}{taken}",
            hint="a larger slab, or give bearing if the ground is known to be better",
        )
    ]


def _slides(factor: float) -> list[Problem]:
    if factor >= LEAST_FACTOR:
        return []
    return [
        Problem(
            "equipment.pull",
            f"the sideways pull leaves the slab {factor:.2f} times safe against sliding, less than "
            f"{LEAST_FACTOR}",
            hint="a heavier slab, or one keyed into the ground",
        )
    ]
