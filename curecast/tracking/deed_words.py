"""What people say that they did to a slab, the kind of event that it is, and its numbers."""

from __future__ import annotations

from collections.abc import Mapping

#: A wet blanket keeps the face damp and insulates a third as well; wetting is put on record.
DEEDS: dict[str, tuple[str, Mapping[str, float]]] = {
    "looked": ("look", {}),
    "look": ("look", {}),
    "stripped": ("strip", {}),
    "blanket on": ("cover", {"layers": 1.0}),
    "blankets on": ("cover", {"layers": 1.0}),
    "two blankets on": ("cover", {"layers": 2.0}),
    "2 blankets on": ("cover", {"layers": 2.0}),
    "sheet on": ("cover", {"layers": 1.0, "r_m2k_w": 0.03}),
    "blanket off": ("cover", {"layers": 0.0}),
    "blankets off": ("cover", {"layers": 0.0}),
    "sheet off": ("cover", {"layers": 0.0}),
    "cover off": ("cover", {"layers": 0.0}),
    "wet blanket on": ("cover", {"layers": 1.0, "wet": 1.0}),
    "blanket wet": ("cover", {"layers": 1.0, "wet": 1.0}),
    "blankets wet": ("cover", {"layers": 2.0, "wet": 1.0}),
    "wetted": ("wetting", {}),
    "watered": ("wetting", {}),
    "heater off": ("heater", {"off": 1.0}),
    "torqued": ("torque", {}),
}
