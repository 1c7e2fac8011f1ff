"""A job becomes a case: the numbers that physics and rules need, each with its stand-in."""

from __future__ import annotations

from curecast.core.build.pace import placing_h, truck_h
from curecast.core.build.takeoff import PAYLOAD_KG, WASTE, TakeOff, takeoff
from curecast.core.build.thickened import edge_m3, pad_m3
from curecast.core.case import Case
from curecast.core.concrete.mixes import ConcreteMix, find_mix
from curecast.core.concrete.water import BAG_80_LB_KG
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import Exposure
from curecast.core.heat.soil import SOIL, WET_SOIL
from curecast.core.holdpoints import HoldRule, hold_rules
from curecast.job.layout import Job
from curecast.prospect.anchorage import stated_edge_of

#: Where the job gives no time for the form to come off (ASSUMED). [h]
STRIP_AT_H = 24.0
#: Anchors closer to an edge than this are an edge case. [m]
_EDGE_CASE_M = 0.5
#: Anchors' distance from the edge where the job says nothing (ASSUMED, the cold side). [m]
_ANCHOR_EDGE_M = 0.15


def mix_of(job: Job) -> ConcreteMix:
    """The job's concrete with every number settled."""
    m = job.mix
    return find_mix(
        m.preset,
        strength_mpa=m.strength_mpa,
        bag_kg=m.bag_kg,
        water_l=m.water_l,
        cement_kg_m3=m.cement_kg_m3,
        w_c=m.w_c,
        heat_j_kg=m.heat_j_kg,
        alpha_u=m.alpha_u,
        tau_h=m.tau_h,
        beta=m.beta,
        activation_j_mol=m.activation_j_mol,
        reference_temperature_c=m.reference_temperature_c,
        shape=m.shape,
        s=m.s,
    )


def takeoff_of(job: Job) -> TakeOff:
    """What to buy for the job's slab."""
    bagged = mix_of(job).preset.bagged
    bag_kg = (job.mix.bag_kg or BAG_80_LB_KG) if bagged else None
    return takeoff(
        job.slab.length_m,
        job.slab.width_m,
        job.slab.thickness_m,
        bag_kg,
        corner_depths_m=job.slab.corner_depths_m,
        extra_m3=thickened_of(job),
        bag_m3=job.mix.yield_m3,
        waste=WASTE if job.buying.waste is None else job.buying.waste,
        payload_kg=job.buying.payload_kg or PAYLOAD_KG,
    )


def mean_depth_of(job: Job) -> float:
    """The slab's thickness, or the mean of its corners. [m]"""
    depths = job.slab.corner_depths_m
    return sum(depths) / len(depths) if depths else job.slab.thickness_m


def thickened_of(job: Job) -> float:
    """Concrete of a thickened edge and of pads, from the slab's mean depth down. [m3]"""
    slab, depth = job.slab, mean_depth_of(job)
    extra = sum(pad_m3(a, b, depth, max(deep, depth)) for a, b, deep in slab.pads_m)
    if slab.thick_edge_m is not None and slab.thick_edge_width_m is not None:
        edge = max(slab.thick_edge_m, depth)
        extra += edge_m3(slab.length_m, slab.width_m, depth, edge, slab.thick_edge_width_m)
    return extra


def placing_of(job: Job) -> float:
    """From the first batch to the last, by crew and mix. [h]"""
    order = takeoff_of(job)
    if order.bag_kg is None or order.bags_exact is None:
        return truck_h(order.volume_m3)
    return placing_h(order.bags_exact, order.bag_kg, job.crew.people, drum=job.crew.mix == "drum")


def exposure_of(job: Job) -> Exposure:
    """What of the weather reaches the job's slab."""
    site = job.site
    return Exposure(
        latitude=site.latitude,
        longitude=site.longitude,
        sky_view=site.sky_view,
        sun=site.sun,
        wind_factor=site.wind_factor,
        air_offset_k=site.air_offset_k,
        swing=site.swing,
    )


def planned_covers(job: Job) -> tuple[CoverSpell, ...]:
    """The covers that the job plans, in hours after the start."""
    return tuple(
        CoverSpell(c.r_m2k_w, c.from_h, c.to_h, c.laps, c.heat_to_c, c.solar_absorptance, c.wet)
        for c in job.covers
    )


def case_of(job: Job) -> Case:
    """Everything that the physics needs to know of a job.

    Parameters
    ----------
    job : Job
        As read.

    Returns
    -------
    Case
        In SI; temperatures that the job leaves open stay None and follow from the weather.
    """
    mix = mix_of(job)
    edge = stated_edge_of(job)
    water_l = job.mix.water_l
    order = takeoff_of(job)
    width = min(job.slab.length_m, job.slab.width_m)
    return Case(
        thickness_m=order.thickness_m,
        hydration=mix.heat,
        curve=mix.curve,
        exposure=exposure_of(job),
        placing_h=placing_of(job),
        placed_c=job.placing.temperature_c,
        material_c=job.placing.material_temperature_c,
        water_c=job.placing.water_temperature_c,
        bag_kg=order.bag_kg or BAG_80_LB_KG,
        water_kg=water_l if water_l is not None else (order.water_l_per_bag or 2.84),
        ground_c=job.ground.temperature_c,
        deep_c=job.ground.deep_temperature_c,
        under_r_m2k_w=job.ground.under_r_m2k_w,
        soil=WET_SOIL if job.ground.wet else SOIL,
        covers=planned_covers(job),
        strip_at_h=STRIP_AT_H if job.slab.strip_at_h is None else job.slab.strip_at_h,
        evaporates=job.site.evaporation,
        moist_cure_h=job.protection.moist_cure_h,
        anchor_at_edge=edge is None or edge < _EDGE_CASE_M,
        width_m=width,
        above_grade_m=job.slab.above_grade_m,
        form_r_m2k_w=job.slab.form_r_m2k_w,
        anchor_edge_m=min(_ANCHOR_EDGE_M if edge is None else edge, 0.5 * width),
    )


def rules_of(job: Job, tested_mpa: float | None = None) -> dict[str, HoldRule]:
    """The job's hold table.

    Parameters
    ----------
    job : Job
        As read.
    tested_mpa : float or None
        Best strength that a test of this pour has shown. [MPa]
    """
    gear = job.equipment
    return hold_rules(
        rule_set=job.rules.set,
        strict=job.rules.strict,
        maker_strength_mpa=gear.strength_mpa,
        maker_age_h=gear.cure_h,
        adhesive=gear.anchor_kind == "adhesive",
        lifting=gear.lifting,
        tested_mpa=tested_mpa,
        overrides={name: (o.strength_mpa, o.age_h) for name, o in job.holds.items()},
    )
