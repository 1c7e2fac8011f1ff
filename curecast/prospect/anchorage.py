"""Where a job's anchors stand in its slab, how deep, and in how much concrete."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.build.anchor_limits import effective_embedment_m
from curecast.core.build.anchors import edge_distances_m
from curecast.core.build.base_plate import square_pattern_m
from curecast.job.layout import Job

Array = NDArray[np.float64]


def places_of(job: Job) -> Array | None:
    """The anchors' places from one corner of the slab; None where the job does not say. [m]

    Four anchors of a given spacing stand in the middle of the slab (ASSUMED), or at their
    planned distance from one long edge.
    """
    gear, slab = job.equipment, job.slab
    if gear.positions_m:
        return np.asarray(gear.positions_m, dtype=np.float64)
    if not gear.spacing_m or gear.anchors not in (None, 4):
        return None
    along, across = (gear.spacing_m * 2)[:2]
    centre = [0.5 * slab.length_m, 0.5 * slab.width_m]
    if gear.planned_edge_m is not None:
        narrow = 0 if slab.length_m < slab.width_m else 1
        centre[narrow] = gear.planned_edge_m + 0.5 * (along, across)[narrow]
    return square_pattern_m(along, across, (centre[0], centre[1]))


def edge_of(job: Job) -> float | None:
    """From the worst anchor to the nearest edge as planned; None where nobody said. [m]"""
    gear, places = job.equipment, places_of(job)
    if gear.planned_edge_m is not None:
        return gear.planned_edge_m
    if places is None:
        return None
    return float(edge_distances_m(places, (job.slab.length_m, job.slab.width_m)).min())


def stated_edge_of(job: Job) -> float | None:
    """From the anchors to the nearest edge where somebody stated it, else what the maker asks. [m]

    A base that is only taken to stand in the middle is not counted on to be there.
    """
    gear = job.equipment
    if gear.positions_m or gear.planned_edge_m is not None:
        return edge_of(job)
    return gear.edge_distance_m


def offset_of(job: Job) -> tuple[float, float]:
    """How far the base stands off the slab's middle, along length and width. [m]"""
    places = places_of(job)
    if places is None:
        return 0.0, 0.0
    middle = places.mean(axis=0)
    return abs(float(middle[0]) - job.slab.length_m / 2), abs(
        float(middle[1]) - job.slab.width_m / 2
    )


def anchor_thickness_of(job: Job) -> float:
    """Concrete where the anchors stand: their pad's, else the slab's at its thinnest. [m]

    One pad is taken for the machine's; as many pads as anchors for one each.
    """
    slab = job.slab
    if slab.pads_m and len(slab.pads_m) in (1, job.equipment.anchors):
        return min(pad[2] for pad in slab.pads_m)
    return thinnest_of(job)


def thinnest_of(job: Job) -> float:
    """The slab at its thinnest corner. [m]"""
    return min(job.slab.corner_depths_m, default=job.slab.thickness_m)


def embedment_of(job: Job) -> float | None:
    """Effective embedment: as given, else from the depth of the hole. [m]"""
    gear = job.equipment
    if gear.embedment_m is not None:
        return gear.embedment_m
    if gear.hole_depth_m is None:
        return None
    found = effective_embedment_m(gear.anchor_kind, gear.hole_depth_m, gear.anchor_size_m or 0.0)
    return found or None
