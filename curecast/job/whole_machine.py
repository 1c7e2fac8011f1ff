"""What of a machine, its anchors and the slab does not go together."""

from __future__ import annotations

from curecast.job.findings import Findings
from curecast.job.keys import Values
from curecast.quantities import show_quantity

_AT = ("equipment",)


def check_machine(gear: Values, slab: Values, findings: Findings) -> None:
    """Note what cannot be; what falls short of a maker's figure is for ``curecast check``."""
    depth, thick = gear.get("hole_depth_m"), slab.get("thickness_m")
    if depth is not None and thick is not None and depth >= deepest(slab, thick) - 1e-9:
        findings.add((*_AT, "hole_depth"), "the holes would go through the slab")
    embedment = gear.get("embedment_m")
    if depth is not None and embedment is not None and embedment > depth + 1e-9:
        findings.add((*_AT, "embedment"), "the anchors would go deeper than their holes")
    _check_levels(slab, gear, findings)
    if not findings.is_sound(("slab",), "length", "width"):
        return
    sides = (slab.get("length_m", 1e9), slab.get("width_m", 1e9))
    for key in ("edge_distance", "planned_edge"):
        if gear.get(f"{key}_m", 0.0) > min(sides) / 2 + 1e-9:
            findings.add((*_AT, key), "this is more than half of the slab's width")
    _check_places(gear, sides, findings)


def deepest(slab: Values, thick_m: float) -> float:
    """Concrete where it is thickest: anchors may stand on a pad or the thickened edge."""
    pads = [pad[2] for pad in slab.get("pads_m", ())]
    return float(max([thick_m, slab.get("thick_edge_m", 0.0), *pads]))


def _check_places(gear: Values, sides: tuple[float, float], findings: Findings) -> None:
    places, spacing, count = gear.get("positions_m"), gear.get("spacing_m"), gear.get("anchors")
    if places and spacing:
        findings.add((*_AT, "spacing"), "the anchors' places are given twice", "keep positions")
    if places and count is not None and len(places) != count:
        said = f"{len(places)} positions, where {count} anchors are"
        findings.add((*_AT, "positions"), said)
    for place in places or ():
        if not all(0.0 < at < side for at, side in zip(place, sides, strict=True)):
            said = " x ".join(show_quantity(at, "length", findings.units) for at in place)
            findings.add(
                (*_AT, "positions"),
                f"an anchor at {said} stands outside the slab",
                "measure from one corner, along the length and across the width",
            )
            return
    if spacing and count not in (None, 4):
        findings.add(
            (*_AT, "spacing"),
            f"spacing places four anchors, not {count}",
            'give positions = ["600 mm x 600 mm", ...] from one corner',
        )
    if spacing and any(s >= side for s, side in zip((spacing * 2)[:2], sides, strict=True)):
        findings.add((*_AT, "spacing"), "anchors so far apart stand outside the slab")


def _check_levels(slab: Values, gear: Values, findings: Findings) -> None:
    levels = slab.get("levels_m", ())
    if levels and len(levels) not in (4, len(gear.get("positions_m", ()))):
        findings.add(
            ("slab", "levels"),
            f"{len(levels)} levels, where four corners or the anchors' positions are",
            "take one at each corner of the base, in the order round",
        )
