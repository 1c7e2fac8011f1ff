"""What will stand on the slab, in SI: the maker's sheet, and where it is planned to stand."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Equipment:
    """What will stand on the slab, after its maker's sheet.

    ``weight_kg`` is the load: what hangs at ``reach_m``, else the machine. ``pull_n`` is a
    sideways pull. ``positions_m`` are the anchors from one corner, along length and width;
    ``planned_edge_m`` is their planned distance from the nearest edge, ``edge_distance_m`` and
    ``least_spacing_m`` what the maker asks.
    """

    name: str = ""
    weight_kg: float | None = None
    reach_m: float | None = None
    moment_nm: float | None = None
    shock: float | None = None
    strength_mpa: float | None = None
    thickness_m: float | None = None
    edge_distance_m: float | None = None
    anchors: int | None = None
    anchor_size_m: float | None = None
    anchor_kind: str = "unknown"
    hole_depth_m: float | None = None
    base_plate_m: float | None = None
    torque_nm: float | None = None
    cure_h: float | None = None
    lifting: bool = False
    own_weight_kg: float | None = None
    pull_n: float | None = None
    pull_height_m: float | None = None
    size_m: tuple[float, float] | None = None
    embedment_m: float | None = None
    spacing_m: tuple[float, ...] = ()
    least_spacing_m: float | None = None
    positions_m: tuple[tuple[float, float], ...] = ()
    planned_edge_m: float | None = None
    shims_m: float | None = None
    flatness_m: float | None = None
    handle_m: float | None = None
    height_m: float | None = None
