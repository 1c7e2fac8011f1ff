"""Every section and key of a job file: how it is read, and where it goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.core.concrete.presets import PRESETS
from curecast.core.concrete.strength import SHAPES
from curecast.job.fields import (
    Reader,
    choice,
    flag,
    listed,
    number,
    quantity,
    text,
    whole,
)
from curecast.job.layout import MONTHS, SOURCES
from curecast.job.places import read_days, read_place, read_span, read_time_of_day, read_zone
from curecast.job.thresholds import THRESHOLDS, threshold_reader
from curecast.job.written import (
    read_address,
    read_anchor_size,
    read_lengths,
    read_prices,
    read_weight,
)


@dataclass(frozen=True)
class Key:
    """One key: the attribute that it sets, its reader, and whether it must be there."""

    attr: str
    read: Reader
    required: bool = False


def _read_sources(value: object, units: str) -> tuple[str, ...]:
    """Forecast services in the order in which they count, each once."""
    named = listed(choice(*SOURCES), len(SOURCES))(value, units)
    return tuple(dict.fromkeys(named))


_RESISTANCE = quantity("resistance", 0.0, 10.0)
_RATIO = number(0, 1)

SITE = {
    "place": Key("place", read_place),
    "zone": Key("zone", read_zone),
    "elevation": Key("elevation_m", quantity("length", -430, 6000)),
    "contact": Key("contact", text(200, r"\S*[@./]\S*", "an e-mail or web address")),
    "exposure": Key("exposure", choice("open", "roofed", "shed")),
    "sky_view": Key("sky_view", _RATIO),
    "sun": Key("sun", _RATIO),
    "wind_factor": Key("wind_factor", _RATIO),
    "air_offset": Key("air_offset_k", quantity("temperature difference", -10, 10)),
    "swing": Key("swing", number(0, 2)),
    "evaporation": Key("evaporation", flag),
    "head_height": Key("head_height_m", quantity("length", 0.3, 50)),
    "sources": Key("sources", _read_sources),
    "lapse": Key("lapse", flag),
}
_NORMAL = quantity("temperature", -60, 45)
CLIMATE = {
    "normals": Key("normals_c", listed(_NORMAL, 12)),
    **{month: Key(f"{month}_c", _NORMAL) for month in MONTHS},
}
GROUND = {
    "temperature": Key("temperature_c", quantity("temperature", -20, 40)),
    "deep_temperature": Key("deep_temperature_c", quantity("temperature", -5, 30)),
    "under": Key("under", choice("none", "sheet", "board")),
    "under_r": Key("under_r_m2k_w", _RESISTANCE),
    "wet": Key("wet", flag),
    "gravel": Key("gravel_m", quantity("length", 0, 2)),
    "bearing": Key("bearing_kpa", quantity("pressure", 10, 1000)),
}
SLAB = {
    "length": Key("length_m", quantity("length", 0.3, 50), required=True),
    "width": Key("width_m", quantity("length", 0.3, 50), required=True),
    "thickness": Key("thickness_m", quantity("length", 0.05, 1), required=True),
    "corner_depths": Key("corner_depths_m", listed(quantity("length", 0.02, 2), 4)),
    "above_grade": Key("above_grade_m", quantity("length", 0, 1)),
    "form_r": Key("form_r_m2k_w", _RESISTANCE),
    "strip_at": Key("strip_at_h", quantity("time", 6, 120 * 24)),
    "reinforcement": Key(
        "reinforcement", choice("none", "mesh", "bars", "fibre", "unknown", fiber="fibre")
    ),
    "bar_spacing": Key("bar_spacing_m", quantity("length", 0.05, 1)),
    "bar_size": Key("bar_m", quantity("length", 0.004, 0.05)),
    "thick_edge": Key("thick_edge_m", quantity("length", 0.05, 2)),
    "thick_edge_width": Key("thick_edge_width_m", quantity("length", 0.05, 5)),
    "pads": Key("pads_m", listed(read_lengths(3, 0.05, 10), 40)),
    "levels": Key("levels_m", listed(quantity("length", -10, 10), 64)),
}
MIX = {
    "preset": Key("preset", choice(*PRESETS)),
    "strength": Key("strength_mpa", quantity("strength", 10, 100)),
    "bag": Key("bag_kg", quantity("mass", 5, 60)),
    "water": Key("water_l", quantity("liquid", 0.3, 12)),
    "yield": Key("yield_m3", quantity("volume", 0.001, 0.05)),
    "cement": Key("cement_kg_m3", quantity("density", 150, 700)),
    "w_c": Key("w_c", number(0.25, 1)),
    "heat": Key("heat_j_kg", quantity("energy per mass", 1e5, 7e5)),
    "alpha_u": Key("alpha_u", number(0.3, 1)),
    "tau": Key("tau_h", quantity("time", 1, 200)),
    "beta": Key("beta", number(0.2, 3)),
    "activation": Key("activation_j_mol", quantity("molar energy", 15_000, 80_000)),
    "reference_temperature": Key("reference_temperature_c", quantity("temperature", 0, 40)),
    "shape": Key("shape", choice(*SHAPES, en="eurocode", aci="aci209")),
    "s": Key("s", number(0.1, 0.8)),
}
PLACEMENT = {
    "temperature": Key("temperature_c", quantity("temperature", 1, 45)),
    "water_temperature": Key("water_temperature_c", quantity("temperature", 0, 95)),
    "material_temperature": Key("material_temperature_c", quantity("temperature", -30, 60)),
    "water_heater": Key("water_heater_w", quantity("power", 50, 200_000)),
}
COVER = {
    "r": Key("r_m2k_w", _RESISTANCE),
    "from": Key("from_h", quantity("time", 0, 120 * 24)),
    "to": Key("to_h", quantity("time", 0, 120 * 24)),
    "laps": Key("laps", flag),
    "heat_to": Key("heat_to_c", quantity("temperature", 0, 45)),
    "absorptance": Key("solar_absorptance", _RATIO),
    "wet": Key("wet", flag),
}
EQUIPMENT = {
    "name": Key("name", text(120)),
    "weight": Key("weight_kg", read_weight),
    "reach": Key("reach_m", quantity("length", 0, 30)),
    "moment": Key("moment_nm", quantity("torque", 0, 1e7)),
    "shock": Key("shock", number(1, 5)),
    "strength": Key("strength_mpa", quantity("strength", 5, 100)),
    "thickness": Key("thickness_m", quantity("length", 0.05, 2)),
    "edge_distance": Key("edge_distance_m", quantity("length", 0.02, 5)),
    "anchors": Key("anchors", whole(1, 64)),
    "anchor_size": Key("anchor_size_m", read_anchor_size),
    "anchor_kind": Key("anchor_kind", choice("wedge", "adhesive", "cast-in", "unknown")),
    "hole_depth": Key("hole_depth_m", quantity("length", 0.02, 1)),
    "base_plate": Key("base_plate_m", quantity("length", 0.002, 5)),
    "torque": Key("torque_nm", quantity("torque", 1, 10_000)),
    "cure": Key("cure_h", quantity("time", 0, 365 * 24)),
    "lifting": Key("lifting", flag),
    "own_weight": Key("own_weight_kg", read_weight),
    "pull": Key("pull_n", quantity("force", 0, 1e6)),
    "pull_height": Key("pull_height_m", quantity("length", 0, 30)),
    "size": Key("size_m", read_lengths(2, 0.1, 50)),
    "embedment": Key("embedment_m", quantity("length", 0.02, 1)),
    "spacing": Key("spacing_m", listed(quantity("length", 0.02, 10), 2)),
    "least_spacing": Key("least_spacing_m", quantity("length", 0.02, 10)),
    "positions": Key("positions_m", listed(read_lengths(2, 0, 50), 64)),
    "planned_edge": Key("planned_edge_m", quantity("length", 0.01, 25)),
    "shims": Key("shims_m", quantity("length", 0, 0.3)),
    "flatness": Key("flatness_m", quantity("length", 0.0002, 0.05)),
    "handle": Key("handle_m", quantity("length", 0.05, 3)),
    "height": Key("height_m", quantity("length", 0.1, 50)),
}
CREW = {
    "people": Key("people", whole(1, 50)),
    "from": Key("from_h", read_time_of_day),
    "to": Key("to_h", read_time_of_day),
    "days": Key("days", read_days),
    "mix": Key("mix", choice("by hand", "drum", hand="by hand")),
    "bags_per_batch": Key("bags_per_batch", whole(1, 20)),
}
PROTECTION = {
    "sheet": Key("sheet", flag),
    "blankets": Key("blankets", whole(0, 10)),
    "blanket_size": Key("blanket_size_m", read_lengths(2, 0.5, 50)),
    "blanket_r": Key("blanket_r_m2k_w", quantity("resistance", 0.01, 5)),
    "heater": Key("heater", flag),
    "moist_cure": Key("moist_cure_h", quantity("time", 0, 90 * 24)),
    "prices": Key("prices", read_prices),
    "heater_fuel": Key("heater_l_h", quantity("liquid", 0.01, 100)),
    "currency": Key("currency", text(12)),
}
BUYING = {
    "payload": Key("payload_kg", quantity("mass", 1, 50_000)),
    "minimum_load": Key("minimum_load_m3", quantity("volume", 0.05, 10)),
    "wait": Key("wait_h", quantity("time", 0, 24)),
    "waste": Key("waste", number(0, 0.5)),
    "prices": Key("prices", read_prices),
}
RULES = {
    "set": Key("set", choice("ACI", "EN", "CSA")),
    "strict": Key("strict", flag),
    **{t.key: Key(t.attr, threshold_reader(t)) for t in THRESHOLDS},
}
ALERT = {
    "to": Key("to", read_address, required=True),
    "what": Key("what", listed(text(40, r"[a-z][a-z\-]*", "a word such as frost"), 40)),
    "quiet": Key("quiet", read_span),
    "daily": Key("daily", read_time_of_day),
}
HOLD = {
    "strength": Key("strength_mpa", quantity("strength", 0.5, 100)),
    "age": Key("age_h", quantity("time", 0, 365 * 24)),
    "reason": Key("reason", text(500), required=True),
}
TOP = {
    "curecast": Key("curecast", whole(1, 1), required=True),
    "name": Key(
        "name", text(60, r"[A-Za-z0-9][A-Za-z0-9\-]*", "letters, digits and hyphens"), required=True
    ),
    "units": Key("units", choice("us", "si")),
}

#: Sections that may stand once, by name.
SECTIONS: dict[str, dict[str, Key]] = {
    "site": SITE,
    "climate": CLIMATE,
    "ground": GROUND,
    "slab": SLAB,
    "mix": MIX,
    "placement": PLACEMENT,
    "equipment": EQUIPMENT,
    "crew": CREW,
    "protection": PROTECTION,
    "buying": BUYING,
    "rules": RULES,
}
#: Sections that may stand several times, written [[cover]].
LISTS: dict[str, dict[str, Key]] = {"cover": COVER, "alert": ALERT}

Values = dict[str, Any]
