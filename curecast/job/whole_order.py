"""What of the concrete, its bags and the vehicle does not go together."""

from __future__ import annotations

from curecast.core.concrete.presets import PRESETS, YIELD_M3_KG
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.job.findings import Findings
from curecast.job.keys import Values
from curecast.quantities import show_quantity

#: A printed yield lies within this share of 0.60 ft3 from 80 lb, or it is a slip (ASSUMED).
_YIELD_SHARE = 0.25


def check_concrete(sections: dict[str, Values], findings: Findings) -> None:
    """Note what cannot be of thickened concrete, a bag's yield and the payload."""
    slab, mix, buying = sections["slab"], sections["mix"], sections["buying"]
    _check_thick_edge(slab, findings)
    _check_pads(slab, findings)
    bag = mix.get("bag_kg", BAG_80_LB_KG)
    bagged = (
        findings.is_sound(("mix",), "preset", "bag") and PRESETS[mix.get("preset", "bag")].bagged
    )
    if not bagged:
        return
    makes, usual = mix.get("yield_m3"), bag * YIELD_M3_KG
    if makes is not None and abs(makes / usual - 1.0) > _YIELD_SHARE:
        findings.add(
            ("mix", "yield"),
            f"a bag of {_say(bag, 'mass', findings)} makes about {1000.0 * usual:.1f} l "
            f"({usual / 0.3048**3:.2f} ft3), not {1000.0 * makes:.1f} l",
            "write the yield of one bag, as it prints it",
        )
    payload = buying.get("payload_kg")
    if payload is not None and payload < bag * (1.0 - 1e-9):
        findings.add(
            ("buying", "payload"),
            f"a vehicle that carries {_say(payload, 'mass', findings)} cannot carry one bag of "
            f"{_say(bag, 'mass', findings)}",
            "give the payload of the vehicle, or smaller bags",
        )


def _say(value: float, kind: str, findings: Findings) -> str:
    return show_quantity(value, kind, findings.units)


def _check_thick_edge(slab: Values, findings: Findings) -> None:
    depth, wide, thick = (
        slab.get(k) for k in ("thick_edge_m", "thick_edge_width_m", "thickness_m")
    )
    if (depth is None) != (wide is None) and findings.is_sound(
        ("slab",), "thick_edge", "thick_edge_width"
    ):
        missing = "thick_edge_width" if wide is None else "thick_edge"
        findings.add(
            ("slab", "thick_edge" if wide is None else "thick_edge_width"),
            "a thickened edge needs its depth and its width",
            f'add {missing} = "..." with its unit',
        )
    if depth is not None and thick is not None and depth < thick - 1e-9:
        findings.add(
            ("slab", "thick_edge"), "this is thinner than the slab", "write the whole depth"
        )
    narrow = min(slab.get("length_m", 1e9), slab.get("width_m", 1e9))
    if wide is not None and 2.0 * wide > narrow + 1e-9:
        findings.add(("slab", "thick_edge_width"), "this is more than half of the slab's width")


def _check_pads(slab: Values, findings: Findings) -> None:
    thick = slab.get("thickness_m", 0.0)
    sides = sorted((slab.get("length_m", 1e9), slab.get("width_m", 1e9)))
    for n, pad in enumerate(slab.get("pads_m", ()), 1):
        if pad[2] < thick - 1e-9:
            findings.add(
                ("slab", "pads"), f"pad {n} is thinner than the slab", "write the whole depth"
            )
        if any(a > b + 1e-9 for a, b in zip(sorted(pad[:2]), sides, strict=True)):
            findings.add(("slab", "pads"), f"pad {n} is larger than the slab")
