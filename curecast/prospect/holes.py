"""Holes, shims and level: how deep the anchors may go, where the drill stops, how flat it is."""

from __future__ import annotations

from curecast.core.build.anchor_limits import most_embedment_m, most_hole_m
from curecast.core.build.levels import Levels, read_face
from curecast.core.build.wrench import drill_stop_m
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.anchorage import anchor_thickness_of, embedment_of
from curecast.prospect.told import Told, measured, nominal, together
from curecast.quantities import show_quantity

_HAIR = 1e-9


def holes_of(job: Job) -> Told:
    """Depth of anchors and holes against the slab, the drill stop, and the levels taken."""
    return together(part(job) for part in (_depth, _hole, _level))


def levels_of(job: Job) -> Levels | None:
    """The face by its levels; None where none were taken."""
    if not job.slab.levels_m:
        return None
    places = job.equipment.positions_m
    by_anchor = places and len(places) == len(job.slab.levels_m)
    return read_face(job.slab.levels_m, places if by_anchor else None)


def _depth(job: Job) -> Told:
    gear, deep = job.equipment, embedment_of(job)
    if deep is None:
        return Told()
    thick, size = anchor_thickness_of(job), gear.anchor_size_m or 0.0
    # Where only the hole is known it stands for the anchor: the stricter case.
    counted = deep if gear.embedment_m is not None else gear.hole_depth_m or deep
    most = most_embedment_m(gear.anchor_kind, thick, size)
    figures = {"embedment_m": deep, "embedment_most_m": most, "thickness_at_anchors_m": thick}
    if counted <= most + _HAIR:
        return Told(figures=figures)
    given = gear.embedment_m is not None
    rule = {
        "adhesive": "the thickness less two hole diameters, for glued anchors",
        "cast-in": "the thickness less the cover under the anchor",
    }.get(
        gear.anchor_kind,
        f"two thirds of it, or all but {nominal(job, 0.1016)} (ACI 318-19 17.9.4)",
    )
    problem = Problem(
        "equipment.embedment" if given else "equipment.hole_depth",
        f"{'anchors' if given else 'holes'} {measured(job, counted)} deep need a thicker slab "
        f"than {measured(job, thick)}: it takes {measured(job, most)}, {rule}",
        hint="a thicker slab, or anchors that need less"
        + ("" if given else "; give embedment if the anchors go in less deep than the holes"),
    )
    return Told(problems=(problem,), figures=figures)


def _hole(job: Job) -> Told:
    gear = job.equipment
    if gear.hole_depth_m is None or gear.anchor_kind == "cast-in":
        return Told()
    face = levels_of(job)
    shims = max(gear.shims_m or 0.0, face.highest_shim_m if face else 0.0)
    plate = gear.base_plate_m or 0.0
    stop = drill_stop_m(gear.hole_depth_m, plate, shims)
    parts = ["hole " + measured(job, gear.hole_depth_m)]
    parts += [f"base plate {measured(job, plate)}"] if plate else []
    parts += [f"shims {measured(job, shims)}"] if shims else []
    how = "through the base plate" if plate else "without a base plate"
    line = f"drill stop {measured(job, stop)} when drilled {how} ({' + '.join(parts)})"
    figures = {"drill_stop_m": stop, "shims_m": shims}
    most = most_hole_m(anchor_thickness_of(job), gear.anchor_size_m or 0.0)
    if gear.hole_depth_m <= most + _HAIR or _depth(job).problems:
        return Told((line,), figures=figures)
    problem = Problem(
        "equipment.hole_depth",
        f"a hole {measured(job, gear.hole_depth_m)} deep leaves less than two anchor diameters of "
        f"the {measured(job, anchor_thickness_of(job))} below it: drilling breaks through",
        hint="a thicker slab, or shorter anchors",
    )
    return Told((line,), (problem,), figures=figures)


def _level(job: Job) -> Told:
    face, asked = levels_of(job), job.equipment.flatness_m
    if face is None:
        return Told()
    digits = 0 if job.units == "si" else 2

    def fine(value: float) -> str:
        return show_quantity(value, "length", job.units, digits)

    line = (
        f"levels: {fine(face.fall_m)} from high to low, point {face.low_point + 1} is the low "
        f"corner, highest shim {fine(face.highest_shim_m)}, "
        f"{fine(face.flatness_m)} off a plane"
    )
    figures = {
        "levels": {
            "fall_m": face.fall_m,
            "flatness_m": face.flatness_m,
            "highest_shim_m": face.highest_shim_m,
            "shims_m": list(face.shims_m),
            "low_point": face.low_point + 1,
        }
    }
    if asked is None or face.flatness_m <= asked + _HAIR:
        return Told((line,), figures=figures)
    problem = Problem(
        "slab.levels",
        f"the face lies {fine(face.flatness_m)} off a plane, more than the {fine(asked)} that the "
        "maker allows",
        hint="shim and grout, or grind the high points",
    )
    return Told((line,), (problem,), figures=figures)
