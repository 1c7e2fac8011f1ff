"""Is the job sound: shortfalls named before money is spent, and what has to be bought."""

from __future__ import annotations

from typing import Any

from curecast.core.build.wrench import SNUG_SHARE, drill_stop_m
from curecast.core.concrete.water import water_advice
from curecast.core.holdpoints import HARDLY_MET
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.case import mix_of, takeoff_of
from curecast.quantities import show_quantity

#: A hole may take this share of the slab: "thickness at least 1.5 embedment" (common practice).
_HOLE_SHARE = 2.0 / 3.0


def check_job(job: Job) -> list[Problem]:
    """Shortfalls of slab, mix and anchors against the makers' figures.

    Parameters
    ----------
    job : Job
        As read.
    """
    gear, slab = job.equipment, job.slab
    found: list[Problem] = []

    def length(value: float) -> str:
        return show_quantity(value, "length", job.units)

    if gear.thickness_m is not None and slab.thickness_m < gear.thickness_m - 1e-9:
        found.append(
            Problem(
                "slab.thickness",
                f"{length(slab.thickness_m)} is thinner than the {length(gear.thickness_m)} that "
                "the equipment's maker asks",
                hint="make the slab thicker before anything is bought",
            )
        )
    if gear.hole_depth_m is not None and gear.hole_depth_m > _HOLE_SHARE * slab.thickness_m + 1e-9:
        found.append(
            Problem(
                "equipment.hole_depth",
                f"a hole of {length(gear.hole_depth_m)} is too deep for a slab of "
                f"{length(slab.thickness_m)}: two thirds of it, "
                f"{length(_HOLE_SHARE * slab.thickness_m)}, is common practice",
                hint="a thicker slab, or anchors that need less",
            )
        )
    least = min(slab.length_m, slab.width_m)
    if gear.edge_distance_m is not None and 2.0 * gear.edge_distance_m >= least:
        found.append(
            Problem(
                "equipment.edge_distance",
                f"{length(gear.edge_distance_m)} from every edge leaves no room on a slab "
                f"{length(least)} wide",
                hint="a wider slab",
            )
        )
    mix = mix_of(job)
    if gear.strength_mpa is not None and gear.strength_mpa > mix.curve.f28_mpa:
        found.append(
            Problem(
                "equipment.strength",
                f"the maker asks {strength(job, gear.strength_mpa)}, more than the "
                f"{strength(job, mix.curve.f28_mpa)} that this mix is counted on for at 28 days",
                hint="a stronger mix",
            )
        )
    return found


def strength(job: Job, mpa: float) -> str:
    """A strength in the job's units."""
    return show_quantity(mpa, "strength", job.units)


def job_notes(job: Job) -> list[str]:
    """What a careful person would point out, short of a shortfall."""
    gear, notes = job.equipment, []
    mix = mix_of(job)
    f28 = mix.curve.f28_mpa
    if gear.strength_mpa is not None and HARDLY_MET * f28 < gear.strength_mpa <= f28:
        notes.append(
            f"{strength(job, gear.strength_mpa)} is more than 0.80 of this mix's "
            f"{strength(job, f28)}: nine of ten can hardly show it by temperature alone. Cast "
            "test cylinders, or plan a pull-out test; it saves weeks."
        )
    if job.mix.water_l is not None and mix.preset.bagged:
        advice = water_advice(job.mix.bag_kg or 36.287, job.mix.water_l)
        basic = show_quantity(advice.basic_l, "liquid", job.units)
        most = show_quantity(advice.most_l, "liquid", job.units)
        if advice.kind == "above":
            notes.append(
                f"the water is above the {most} that a bag bears: it costs "
                f"{100.0 * (1.0 - advice.f28_factor):.0f} % of the strength"
            )
        elif advice.kind == "within" and advice.water_l > 1.15 * advice.basic_l:
            notes.append(
                f"the water is inside the widest printed range (up to {most}) and well over the "
                f"basic figure of {basic}: start with that, and add only what it needs"
            )
        elif advice.kind == "below":
            notes.append(f"the water is below the {basic} that a bag asks first: it may not mix")
    if gear.name and gear.weight_kg is None and gear.moment_nm is None:
        notes.append("no load figures are given: whether the slab carries the machine is unknown")
    if gear.hole_depth_m is not None:
        stop = drill_stop_m(gear.hole_depth_m, gear.base_plate_m or 0.0)
        notes.append(
            f"drill stop at {show_quantity(stop, 'length', job.units)} "
            "when drilled through the base plate"
        )
    if gear.torque_nm is not None:
        snug = show_quantity(SNUG_SHARE * gear.torque_nm, "torque", job.units)
        notes.append(f"snug is at most {snug}, a fifth of the full torque")
    return notes


def takeoff_answer(job: Job) -> dict[str, Any]:
    """The take-off as ``check`` gives it."""
    order = takeoff_of(job)
    return {
        "volume_m3": order.volume_m3,
        "thickness_m": order.thickness_m,
        "thickness_tolerance_m": order.thickness_tolerance_m,
        "bags_exact": order.bags_exact,
        "bags": order.bags,
        "bag_kg": order.bag_kg,
        "water_l_per_bag": order.water_l_per_bag,
        "water_l_max_per_bag": order.water_l_max_per_bag,
        "bags_kg": order.bags_kg,
        "pallets": order.pallets,
        "trips": order.trips,
    }
