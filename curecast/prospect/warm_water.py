"""How hot the mixing water must be for a job, in numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.core.build.warm_mix import (
    DRUM_KG,
    TUB_KG,
    Batch,
    WarmWater,
    heating_h,
    warm_water,
)
from curecast.core.case import TAP_C
from curecast.core.concrete.fresh import HOT_WATER_C
from curecast.core.concrete.water import BAG_80_LB_KG, BASIC_L_80
from curecast.core.rules.tables import least_maintained_c, least_mixed_c
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.case import mean_depth_of, mix_of, takeoff_of
from curecast.prospect.told import Told, said

#: Water that the job gives is taken for cold up to here; warmer is water already heated. [°C]
COLD_UP_TO_C = 30.0


@dataclass(frozen=True)
class MixWater:
    """Water for bags of one temperature.

    ``first_c`` is the water for the first batch, which also warms a cold drum or tub;
    ``mixed_c`` what ACI asks as mixed and ``mixed`` the water for that; ``all_l`` all
    the water, ``kettle_l`` what of it comes boiling hot, ``heating_h`` the heater's time or None.
    """

    bags_c: float
    wanted: WarmWater
    first_c: float
    mixed_c: float
    mixed: WarmWater
    all_l: float
    kettle_l: float
    heating_h: float | None


def target_of(job: Job) -> float:
    """Temperature at which the rules want concrete to land. [°C]"""
    rule, _ = least_maintained_c(job.rules.set, mean_depth_of(job))
    return max(rule, job.rules.thresholds.get("least_temperature_c", rule))


def mix_water(
    job: Job, bags_c: float, air_c: float, target_c: float | None = None
) -> MixWater | None:
    """Water for bags as cold as they will be.

    Parameters
    ----------
    job : Job
        As read.
    bags_c, air_c : float
        Bags and tools, and the air at mixing. [°C]
    target_c : float or None
        Wanted of the concrete as it lands; None for what the rules ask. [°C]

    Returns
    -------
    MixWater or None
        None for ready-mix, and where the job gives the concrete's temperature.
    """
    batch = batch_of(job, bags_c)
    if batch is None:
        return None
    order = takeoff_of(job)
    target = target_of(job) if target_c is None else target_c
    asked, _ = least_mixed_c(mean_depth_of(job), air_c)
    found = warm_water(batch, target)
    all_l = (order.bags or 0) * _water_l(job)
    power = job.placing.water_heater_w
    steel = DRUM_KG if job.crew.mix == "drum" else TUB_KG
    first = Batch(batch.bags_kg, batch.water_kg, bags_c, batch.tap_c, steel, air_c)
    return MixWater(
        bags_c=bags_c,
        wanted=found,
        first_c=warm_water(first, target).water_c,
        mixed_c=asked,
        mixed=warm_water(batch, asked),
        all_l=all_l,
        kettle_l=all_l * found.kettle_l / batch.water_kg,
        heating_h=None if power is None else heating_h(all_l, batch.tap_c, found.water_c, power),
    )


def scalding(job: Job) -> Told:
    """Water that the job plans hotter than cement bears."""
    water = job.placing.water_temperature_c
    if water is None or water <= HOT_WATER_C or batch_of(job, 0.0) is None:
        return Told()
    problem = Problem(
        "placement.water_temperature",
        f"water at {said(job, water, 'temperature')} is hotter than the "
        f"{said(job, HOT_WATER_C, 'temperature')} that may meet cement, and a bag holds cement",
        hint="mix it with cold water first",
    )
    return Told(problems=(problem,))


def water_figures(job: Job) -> dict[str, Any] | None:
    """The same in JSON; None where the bags' temperature is not known."""
    bags = job.placing.material_temperature_c
    found = None if bags is None else mix_water(job, bags, bags)
    if found is None:
        return None
    return {
        "bags_c": found.bags_c,
        "target_c": found.wanted.target_c,
        "with_cold_water_c": found.wanted.cold_c,
        "water_c": found.wanted.water_c,
        "reached_c": found.wanted.reached_c,
        "enough": found.wanted.enough,
        "bags_needed_c": None if found.wanted.enough else found.wanted.bags_c,
        "first_batch_water_c": found.first_c,
        "as_mixed_c": found.mixed_c,
        "as_mixed_water_c": found.mixed.water_c if found.mixed.enough else None,
        "water_l": found.all_l,
        "kettle_l": found.kettle_l,
        "heating_h": found.heating_h,
    }


def _water_l(job: Job) -> float:
    if job.mix.water_l is not None:
        return job.mix.water_l
    return BASIC_L_80 * (job.mix.bag_kg or BAG_80_LB_KG) / BAG_80_LB_KG


def batch_of(job: Job, bags_c: float) -> Batch | None:
    """One batch with cold water, no steel; None where nothing is mixed on site."""
    if not mix_of(job).preset.bagged or job.placing.temperature_c is not None:
        return None
    water = job.placing.water_temperature_c
    tap = TAP_C if water is None or water > COLD_UP_TO_C else water
    bags = job.crew.bags_per_batch
    return Batch(bags * (job.mix.bag_kg or BAG_80_LB_KG), bags * _water_l(job), bags_c, tap)
