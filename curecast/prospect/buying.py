"""What to buy and fetch for a job, in numbers: every count beside what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.core.build.bags import SIZES_KG, bag_yield_m3, bags_for, trips_for
from curecast.core.build.materials import (
    BLANKET_LAP_M,
    BLANKET_M,
    Gravel,
    blankets_to_cover,
    boards_and_stakes,
    gravel,
    sheet_m2,
)
from curecast.core.build.ready_mix import STEP_M3, Truck, truck
from curecast.core.build.steel import BAR_M, BAR_SPACING_M, Bars, bars, chairs, mesh_sheets
from curecast.core.build.takeoff import PAYLOAD_KG, WASTE, TakeOff
from curecast.core.concrete.water import WaterAdvice, water_advice
from curecast.job.layout import Job
from curecast.prospect.case import takeoff_of

#: How far over a bag's range the price of water is told for.
_OVER = 1.10


@dataclass(frozen=True)
class Shopping:
    """All that a slab takes; None or 0 where the job does not have it.

    ``by_bag`` are bags by size in kg, for whoever finds another; ``lost`` is the share of the
    strength that water costs a tenth above the bag's range; ``gravel_trips`` and the bags'
    trips go by ``payload_kg``.
    """

    order: TakeOff
    truck: Truck
    by_bag: dict[float, int]
    water: WaterAdvice | None
    lost: float
    payload_kg: float
    overloaded: bool
    gravel: Gravel | None
    gravel_trips: int
    vapour_m2: float
    mesh: int
    bars: Bars | None
    chairs: int
    boards: int
    stakes: int
    blankets: int
    layers: int
    waste: float


def shopping_of(job: Job) -> Shopping:
    """Count everything.

    Parameters
    ----------
    job : Job
        As read.
    """
    order, slab, buying = takeoff_of(job), job.slab, job.buying
    payload = PAYLOAD_KG if buying.payload_kg is None else buying.payload_kg
    base = gravel(slab.length_m, slab.width_m, job.ground.gravel_m) if job.ground.gravel_m else None
    steel = slab.reinforcement
    boards, stakes = boards_and_stakes(slab.length_m, slab.width_m)
    layers = job.protection.blankets
    piece = job.protection.blanket_size_m or BLANKET_M
    water = _water(job, order)
    return Shopping(
        order=order,
        truck=truck(
            order.order_m3,
            step_m3=STEP_M3[job.units],
            least_m3=buying.minimum_load_m3,
            wait_h=buying.wait_h,
        ),
        by_bag={
            kg: bags_for(order.order_m3, bag_yield_m3(kg))
            for kg in SIZES_KG[job.units]
            if order.bag_kg is None or abs(kg - order.bag_kg) > 0.01
        },
        water=water,
        lost=0.0 if water is None else _lost(water, order),
        payload_kg=payload,
        overloaded=order.bags_kg is not None and order.bags_kg > payload * (1.0 + 1e-9),
        gravel=base,
        gravel_trips=0 if base is None else trips_for(_shovels(base), 1.0, payload),
        vapour_m2=sheet_m2(slab.length_m, slab.width_m) if job.ground.under == "sheet" else 0.0,
        mesh=mesh_sheets(slab.length_m, slab.width_m) if steel == "mesh" else 0,
        bars=bars(
            slab.length_m,
            slab.width_m,
            BAR_SPACING_M if slab.bar_spacing_m is None else slab.bar_spacing_m,
            BAR_M if slab.bar_m is None else slab.bar_m,
        )
        if steel == "bars"
        else None,
        chairs=chairs(slab.length_m, slab.width_m) if steel in ("mesh", "bars") else 0,
        boards=boards,
        stakes=stakes,
        blankets=blankets_to_cover(slab.length_m, slab.width_m, piece, layers=layers),
        layers=layers,
        waste=WASTE if buying.waste is None else buying.waste,
    )


def _shovels(base: Gravel) -> int:
    """Gravel divides as finely as one likes: by the kilogram."""
    return max(1, round(base.mass_kg))


def _water(job: Job, order: TakeOff) -> WaterAdvice | None:
    """The bag's water: the job's, else the figure printed first."""
    if order.bag_kg is None or order.water_l_per_bag is None:
        return None
    planned = order.water_l_per_bag if job.mix.water_l is None else job.mix.water_l
    return water_advice(order.bag_kg, planned)


def _lost(water: WaterAdvice, order: TakeOff) -> float:
    """Share of the strength that a tenth more than the range costs."""
    assert order.bag_kg is not None
    return 1.0 - water_advice(order.bag_kg, _OVER * water.most_l).f28_factor


def shopping_figures(job: Job, shop: Shopping) -> dict[str, Any]:
    """The take-off as ``check`` gives it in JSON; keys are only ever added."""
    order, water = shop.order, shop.water
    return {
        "volume_m3": order.volume_m3,
        "thickness_m": order.thickness_m,
        "thickness_tolerance_m": order.thickness_tolerance_m,
        "bags_exact": order.bags_exact,
        "bags": order.bags,
        "bag_kg": order.bag_kg,
        "water_l_per_bag": order.water_l_per_bag,
        "water_l_max_per_bag": order.water_l_max_per_bag,
        "bags_kg": order.bags_kg,
        "pallets": order.pallets,
        "trips": order.trips,
        "extra_m3": order.extra_m3,
        "waste": shop.waste,
        "order_m3": order.order_m3,
        "bag_m3": order.bag_m3,
        "other_bags": [{"bag_kg": kg, "bags": n} for kg, n in shop.by_bag.items()],
        "water_l_least_per_bag": None if water is None else water.least_l,
        "water_l_planned_per_bag": None if water is None else water.water_l,
        "water_l": None if water is None or order.bags is None else order.bags * water.water_l,
        "water_strength_factor": None if water is None else water.f28_factor,
        "payload_kg": shop.payload_kg,
        "overloads_one_trip": shop.overloaded,
        "ready_mix": {
            "order_m3": shop.truck.order_m3,
            "minimum_load_m3": shop.truck.least_m3,
            "stands_h": shop.truck.stands_h,
            "over_wait_h": shop.truck.over_h,
        },
        "gravel_m3": None if shop.gravel is None else shop.gravel.loose_m3,
        "gravel_kg": None if shop.gravel is None else shop.gravel.mass_kg,
        "gravel_trips": shop.gravel_trips,
        "vapour_sheet_m2": shop.vapour_m2,
        "mesh_sheets": shop.mesh,
        "bars": None
        if shop.bars is None
        else {
            "along": shop.bars.along,
            "across": shop.bars.across,
            "total_m": shop.bars.total_m,
            "mass_kg": shop.bars.mass_kg,
            "stock": shop.bars.stock,
        },
        "chairs": shop.chairs,
        "boards": shop.boards,
        "stakes": shop.stakes,
        "blankets": shop.blankets,
        "blanket_layers": shop.layers,
        "blanket_lap_m": BLANKET_LAP_M,
    }
