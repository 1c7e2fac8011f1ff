"""What stands in for a value that a job does not give, and why: nothing is guessed in silence."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from curecast.core.build.footing import SOFT_GROUND_KPA
from curecast.core.build.takeoff import PAYLOAD_KG, WASTE
from curecast.core.concrete.presets import PRESETS, Preset
from curecast.core.concrete.water import BAG_80_LB_KG, BASIC_L_80
from curecast.job.fields import is_unknown
from curecast.job.layout import Assumed
from curecast.quantities import show_quantity

#: Resistance of an insulation board nobody measured: about 25 mm of XPS. ASSUMED. [m2K/W]
BOARD_R_M2K_W = 0.8

_NO_FORECAST = "no forecast can be fetched without it: give one with --forecast"
_TODAY = "follows the air of the days before"
_CREW = "a small crew's day, ASSUMED"
_SHEET = "the maker's sheet is not at hand"

#: A figure stands as (value in SI, kind of quantity), anything else as its words.
_Row = tuple[str, str, str | tuple[float, str], str]
#: (section, key, what stands in, why); of an absent [equipment] only what every job needs.
_PLAIN: tuple[_Row, ...] = (
    ("site", "place", "none", _NO_FORECAST),
    ("site", "exposure", "open", "the coldest and windiest case"),
    ("ground", "temperature", "from the weather", _TODAY),
    ("ground", "deep_temperature", "from the climate", "the place's mean over the year"),
    ("ground", "under", "none", "the slab lies on the ground: the colder case"),
    ("slab", "form_r", (0.15, "resistance"), "forms of 19 mm plywood"),
    ("mix", "preset", "bag", "general-purpose bagged concrete"),
    ("crew", "people", "2", _CREW),
    ("crew", "from", "8:00", _CREW),
    ("crew", "to", "17:00", _CREW),
    ("crew", "days", "mon-sun", _CREW),
    ("crew", "mix", "by hand", _CREW),
    ("protection", "sheet", "true", "a plastic sheet is easily had, ASSUMED"),
    ("protection", "blankets", "1", "one blanket, ASSUMED"),
    ("protection", "blanket_r", (0.35, "resistance"), "a plain curing blanket, ASSUMED"),
    ("protection", "heater", "false", "no heated enclosure, ASSUMED"),
    ("protection", "moist_cure", (168.0, "time"), "common practice"),
    ("rules", "set", "ACI", "ASSUMED"),
    ("buying", "waste", f"{100 * WASTE:.0f} %", "common practice"),
    ("equipment", "strength", (20.7, "strength"), "before full torque, common practice"),
    ("equipment", "cure", (672.0, "time"), "before full torque, ASSUMED"),
)
_OF_EQUIPMENT: tuple[_Row, ...] = (
    ("equipment", "lifting", "true", "the stricter case: it then also waits 28 d at 20 °C"),
    ("equipment", "torque", "none", f"{_SHEET}: snug cannot be said as a torque"),
    ("equipment", "weight", "none", f"{_SHEET}: the load is not checked"),
    (
        "ground",
        "bearing",
        (SOFT_GROUND_KPA, "pressure"),
        "soft clay or silt, the least of IBC table 1806.2, from memory",
    ),
)


def find_assumed(data: dict[str, Any], units: str) -> tuple[Assumed, ...]:
    """Every value that the file does not give or calls unknown.

    Parameters
    ----------
    data : dict
        The file as TOML, with nothing wrong in it.
    units : {"us", "si"}
        Units for the stand-ins that are figures.

    Returns
    -------
    tuple of Assumed
        Key, what stands in, and why.
    """

    def given(section: str, key: str) -> bool:
        return key in data.get(section, {}) and not is_unknown(data[section][key])

    rows = _PLAIN + (_OF_EQUIPMENT if "equipment" in data else ())
    found = [
        Assumed(f"{s}.{k}", what if isinstance(what, str) else show_quantity(*what, units), why)
        for s, k, what, why in rows
        if not given(s, k)
    ]
    found += [a for a in _of_mix(data, units) if not given(*a.key.split("."))]
    if "equipment" in data and not given("equipment", "anchor_kind"):
        asked = "anchor_kind" in data["equipment"]
        why = "the later to be drilled" if asked else "if they are glued, say so: that waits 21 d"
        found.append(Assumed("equipment.anchor_kind", "adhesive" if asked else "wedge", why))
    if not given("site", "zone"):
        by_place = given("site", "place")
        what = "the place's zone from the forecast service, until then UTC" if by_place else "UTC"
        found.append(Assumed("site.zone", what, "times are said and read in it"))
    if not given("placement", "temperature") and not given("placement", "material_temperature"):
        found.append(Assumed("placement.temperature", "from the weather", "as warm as the air"))
    if data.get("ground", {}).get("under") == "board" and not given("ground", "under_r"):
        board = show_quantity(BOARD_R_M2K_W, "resistance", units)
        found.append(Assumed("ground.under_r", board, "25 mm (1 in) of board, ASSUMED"))
    if not data.get("climate"):
        what = "the run of the days that are known, a warm one held back, moved by the season"
        why = "dates after the forecast are less sure for it"
        found.append(Assumed("climate.normals", what, why))
    if "units" not in data:
        found.append(Assumed("units", units, "as the slab's thickness is written"))
    return tuple(found)


def _of_mix(data: dict[str, Any], units: str) -> Iterator[Assumed]:
    said = data.get("mix", {}).get("preset", "bag")
    preset: Preset = PRESETS["bag" if is_unknown(said) else said.strip().casefold()]
    strength = show_quantity(preset.strength_mpa, "strength", units)
    yield Assumed("mix.strength", strength, preset.reasons["strength_mpa"])
    if preset.bagged:
        bag = show_quantity(BAG_80_LB_KG, "mass", units)
        water = show_quantity(BASIC_L_80, "liquid", units)
        yield Assumed("mix.bag", bag, "the common large bag, ASSUMED")
        payload = show_quantity(PAYLOAD_KG, "mass", units)
        yield Assumed("buying.payload", payload, "a light pick-up or trailer, ASSUMED")
        yield Assumed("mix.water", f"{water} for 80 lb", preset.reasons["w_c"])
