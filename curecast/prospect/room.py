"""The makers' figures against the plan: thickness, size, edge, spacing, head room."""

from __future__ import annotations

import math

from curecast.core.build.anchor_limits import least_edge_m, least_spacing_m
from curecast.core.build.base_plate import least_apart_m
from curecast.core.build.takeoff import THICKNESS_TOLERANCE_M
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.anchorage import edge_of, places_of, thinnest_of
from curecast.prospect.case import mean_depth_of
from curecast.prospect.holes import levels_of
from curecast.prospect.loads import has_machine
from curecast.prospect.told import Told, measured, together

_HAIR = 1e-9


def room_of(job: Job) -> Told:
    """Everything of size and place that the makers ask, beside what is planned."""
    parts = (_thickness, _size, _edge, _spacing, _head)
    return together(part(job) for part in parts)


def _short(key: str, message: str, hint: str) -> Told:
    return Told(problems=(Problem(key, message, hint=hint),))


def _thickness(job: Job) -> Told:
    asked, mean, thin = job.equipment.thickness_m, mean_depth_of(job), thinnest_of(job)
    if asked is None:
        return Told(missing=("the slab thickness that it needs",) if has_machine(job) else ())
    least = min(mean, thin + THICKNESS_TOLERANCE_M)
    if least < asked - _HAIR:
        where = "" if mean < asked - _HAIR else " at its thinnest corner"
        return _short(
            "slab.thickness",
            f"{measured(job, min(mean, thin) if where else mean)}{where} is thinner than the "
            f"{measured(job, asked)} that the equipment's maker asks",
            "make the slab thicker before anything is bought",
        )
    if thin < asked - _HAIR:
        gap = measured(job, asked - thin)
        return Told((f"the thinnest corner lacks {gap} of the maker's thickness: dig it out",))
    return Told()


def _size(job: Job) -> Told:
    asked, slab = job.equipment.size_m, job.slab
    if asked is None:
        return Told()
    have, need = sorted((slab.length_m, slab.width_m)), sorted(asked)
    if all(h >= n - _HAIR for h, n in zip(have, need, strict=True)):
        return Told()
    return _short(
        "slab.length" if have[1] < need[1] - _HAIR else "slab.width",
        f"a slab of {measured(job, have[1])} x {measured(job, have[0])} is smaller than the "
        f"{measured(job, need[1])} x {measured(job, need[0])} that the maker asks around the "
        "base",
        "make the form larger before anything is bought",
    )


def _edge(job: Job) -> Told:
    gear, have = job.equipment, edge_of(job)
    least = min(job.slab.length_m, job.slab.width_m)
    if have is None:
        if gear.edge_distance_m is not None and 2.0 * gear.edge_distance_m >= least:
            return _short(
                "equipment.edge_distance",
                f"{measured(job, gear.edge_distance_m)} from every edge leaves no room on a slab "
                f"{measured(job, least)} wide",
                "a wider slab",
            )
        return Told()
    asked, whose = gear.edge_distance_m, "the maker asks"
    if asked is None and gear.anchor_size_m is not None:
        asked = least_edge_m(gear.anchor_kind, gear.anchor_size_m)
        whose = "ACI 318-19 17.9.2 asks where the maker says nothing"
    if asked is None:
        return Told(missing=("the anchors' least edge distance",))
    figures = {"edge_m": have, "edge_needed_m": asked}
    if have >= asked - _HAIR:
        return Told(figures=figures)
    problem = Problem(
        "equipment.planned_edge" if gear.planned_edge_m is not None else "equipment.edge_distance",
        f"the nearest anchor stands {measured(job, have)} from the edge, less than the "
        f"{measured(job, asked)} that {whose}",
        hint="move the base in, or make the slab larger",
    )
    return Told(problems=(problem,), figures=figures)


def _spacing(job: Job) -> Told:
    gear, places = job.equipment, places_of(job)
    if places is None or len(places) < 2:
        return Told()
    asked, whose = gear.least_spacing_m, "the maker asks"
    if asked is None and gear.anchor_size_m is not None:
        asked = least_spacing_m(gear.anchor_kind, gear.anchor_size_m)
        whose = "ACI 318-19 17.9.2 asks where the maker says nothing"
    have = least_apart_m(places)
    figures = {"spacing_m": have, "spacing_needed_m": asked}
    if asked is None or have >= asked - _HAIR:
        return Told(figures=figures)
    problem = Problem(
        "equipment.spacing",
        f"the anchors stand {measured(job, have)} apart, less than the {measured(job, asked)} "
        f"that {whose}",
        hint="smaller anchors, or a base plate with more room",
    )
    return Told(problems=(problem,), figures=figures)


def _head(job: Job) -> Told:
    tall, clear = job.equipment.height_m, job.site.head_height_m
    if clear is None:
        return Told()
    if tall is None:
        return Told(missing=("the machine's height, for the head room",))
    face = levels_of(job)
    shims = max(job.equipment.shims_m or 0.0, face.highest_shim_m if face else 0.0)
    left = clear - tall - shims
    figures = {"head_room_m": left}
    if left >= 0.0 or math.isclose(left, 0.0, abs_tol=_HAIR):
        return Told((f"head room: {measured(job, left)} above the machine",), figures=figures)
    problem = Problem(
        "equipment.height",
        f"it stands {measured(job, tall + shims)} tall with its shims under a clear height of "
        f"{measured(job, clear)}",
        hint="a lower machine, or another place",
    )
    return Told(problems=(problem,), figures=figures)
