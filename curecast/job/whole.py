"""What only shows when several values of a job are seen together."""

from __future__ import annotations

from typing import Any

from curecast.core.concrete.presets import PRESETS
from curecast.core.concrete.water import BAG_80_LB_KG, REFUSED_L_80
from curecast.job.findings import Findings
from curecast.job.keys import Values
from curecast.job.layout import MONTHS
from curecast.job.thresholds import check_thresholds
from curecast.job.whole_machine import check_machine
from curecast.job.whole_order import check_concrete
from curecast.quantities import show_quantity


def check_whole(sections: dict[str, Values], covers: list[Values], findings: Findings) -> None:
    """Note what does not go together; values that were refused by themselves are left out."""
    _check_climate(sections["climate"], findings)
    _check_slab(sections["slab"], findings)
    _check_mix(sections["mix"], findings)
    _check_crew(sections["crew"], findings)
    _check_placement(sections["placement"], findings)
    _check_ground(sections["ground"], findings)
    check_machine(sections["equipment"], sections["slab"], findings)
    check_concrete(sections, findings)
    _check_rules(sections["rules"], sections["slab"], findings)
    for n, cover in enumerate(covers):
        _check_cover(cover, ("cover", n), findings)


def _say(value: float, kind: str, findings: Findings) -> str:
    return show_quantity(value, kind, findings.units)


def _check_climate(climate: Values, findings: Findings) -> None:
    """Twelve months, said once: a year with holes would have to be guessed."""
    if not findings.is_sound(("climate",), "normals", *MONTHS):
        return
    listed, named = climate.get("normals_c"), [m for m in MONTHS if f"{m}_c" in climate]
    if listed is not None and named:
        findings.add(("climate", "normals"), "the months are given twice", "leave one form out")
    elif listed is not None and len(listed) != len(MONTHS):
        findings.add(("climate", "normals"), f"{len(listed)} months, where a year has twelve")
    elif named and len(named) < len(MONTHS):
        missing = ", ".join(m for m in MONTHS if m not in named)
        findings.add(("climate",), f"a year has twelve months: {missing} missing")


def _check_slab(slab: Values, findings: Findings) -> None:
    thick = slab.get("thickness_m")
    depths = slab.get("corner_depths_m", ())
    if depths and len(depths) != 4:
        findings.add(("slab", "corner_depths"), f"{len(depths)} depths, where four corners are")
    if thick is None:
        return
    if slab.get("above_grade_m", 0.0) > thick + 1e-9:
        findings.add(
            ("slab", "above_grade"),
            f"the slab is only {_say(thick, 'length', findings)} thick",
            "above_grade is how much of the thickness stands above the ground",
        )
    for key in ("length_m", "width_m"):
        if slab.get(key) is not None and thick > slab[key] + 1e-9:
            findings.add(("slab", "thickness"), f"the slab is thicker than its {key[:-2]}")
            break


def _check_mix(mix: Values, findings: Findings) -> None:
    if not findings.is_sound(("mix",), "preset", "bag"):
        return
    preset = PRESETS[mix.get("preset", "bag")]
    water, bag = mix.get("water_l"), mix.get("bag_kg", BAG_80_LB_KG)
    if water is not None and preset.bagged:
        most = REFUSED_L_80 * bag / BAG_80_LB_KG
        if water > most * (1 + 1e-9):
            findings.add(
                ("mix", "water"),
                f"{_say(water, 'liquid', findings)} is more water than a bag of "
                f"{_say(bag, 'mass', findings)} bears ({_say(most, 'liquid', findings)})",
                "write the water for one bag, as the bag prints it",
            )
    if not preset.bagged:
        for key, attr in (("bag", "bag_kg"), ("water", "water_l")):
            if attr in mix:
                findings.add(
                    ("mix", key), f"{preset.name} does not come in bags", 'or preset = "bag"'
                )


def _check_crew(crew: Values, findings: Findings) -> None:
    start, end = crew.get("from_h", 8.0), crew.get("to_h", 17.0)
    if findings.is_sound(("crew",), "from", "to") and not start < end:
        findings.add(("crew", "to"), "the crew's day ends before it begins")


def _check_placement(placement: Values, findings: Findings) -> None:
    parts = [key for key in ("water_temperature_c", "material_temperature_c") if key in placement]
    if "temperature_c" in placement and parts:
        findings.add(
            ("placement", "temperature"),
            "the concrete's temperature is given twice",
            "give temperature, or water_temperature and material_temperature",
        )


def _check_ground(ground: Values, findings: Findings) -> None:
    sound = findings.is_sound(("ground",), "under")
    if sound and ground.get("under_r_m2k_w", 0.0) > 0 and ground.get("under", "board") != "board":
        findings.add(("ground", "under_r"), 'only under = "board" insulates', "leave under_r out")


def _check_rules(rules: Values, slab: Values, findings: Findings) -> None:
    thickness_m = slab.get("thickness_m", 0.15)
    if findings.is_sound(("rules",), "set"):
        check_thresholds(rules, rules.get("set", "ACI"), thickness_m, findings)


def _check_cover(cover: Values, path: tuple[Any, ...], findings: Findings) -> None:
    sound = findings.is_sound(path, "r", "heat_to")
    if sound and "r_m2k_w" not in cover and "heat_to_c" not in cover:
        findings.add(path, "a cover needs r, an enclosure heat_to", 'write r = "R3 US"')
    sound = findings.is_sound(path, "from", "to")
    if sound and not cover.get("to_h", 72.0) > cover.get("from_h", 0.0):
        findings.add((*path, "to"), "the cover comes off before it goes on")
