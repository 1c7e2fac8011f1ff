"""How hot or cold the mixing water must be, in sentences."""

from __future__ import annotations

import math

from curecast.core.build.warm_mix import concrete_c, ice_kg
from curecast.core.concrete.fresh import HOT_WATER_C
from curecast.core.rules.tables import HOT_WARN_C
from curecast.job.layout import Job
from curecast.prospect.case import takeoff_of
from curecast.prospect.told import said
from curecast.prospect.warm_water import COLD_UP_TO_C, MixWater, batch_of, mix_water, target_of

#: Where nobody knows how cold the bags will be. [°C]
_SHOWN_C = (0.0, 5.0, 10.0)


def water_lines(job: Job) -> list[str]:
    """What ``check`` says of mixing water, before any weather is known."""
    if batch_of(job, 0.0) is None:
        return _promised(job)
    hot = _ice(job)
    if hot:
        return [hot]
    bags = job.placing.material_temperature_c
    if bags is not None:
        found = mix_water(job, bags, bags)
        if found is None:
            return []
        return [water_sentence(job, found), *_planned(job, bags), *heater_lines(job, found)]
    shown = []
    for cold in _SHOWN_C:
        found = mix_water(job, cold, cold)
        if found is not None:
            shown.append(f"{said(job, cold, 'temperature')}: {_degrees(job, found)}")
    return [
        f"to land at {said(job, target_of(job), 'temperature')} in cold weather, water for bags at "
        + "; ".join(shown)
        + f"; never over {said(job, HOT_WATER_C, 'temperature')} on cement"
    ]


def water_sentence(job: Job, found: MixWater) -> str:
    """One sentence on mixing water."""
    wanted, bags = found.wanted, said(job, found.bags_c, "temperature")
    lands = said(job, wanted.target_c, "temperature")
    if wanted.cold_c >= wanted.target_c:
        return f"bags at {bags}: water from the tap lands the concrete at {lands} or more"
    if not wanted.enough:
        return (
            f"bags at {bags}: even water at {said(job, wanted.water_c, 'temperature')}, the "
            f"hottest on cement, lands it at {said(job, wanted.reached_c, 'temperature')}, not "
            f"{lands}: keep the bags at {said(job, wanted.bags_c, 'temperature')} or more overnight"
        )
    return (
        f"bags at {bags}: water at {_degrees(job, found)} lands the concrete at {lands} "
        f"(first batch in a cold {'drum' if job.crew.mix == 'drum' else 'tub'} "
        f"{said(job, found.first_c, 'temperature')}{_as_mixed(job, found)}); never over "
        f"{said(job, HOT_WATER_C, 'temperature')} on cement"
    )


def _as_mixed(job: Job, found: MixWater) -> str:
    """ACI's own figure for concrete as it leaves the mixer, where it cools on its way."""
    if job.rules.set != "ACI":
        return ""
    asked = said(job, found.mixed_c, "temperature")
    if not found.mixed.enough:
        return f"; ACI's {asked} as mixed is out of reach"
    return f"; ACI's {asked} as mixed takes {said(job, found.mixed.water_c, 'temperature')}"


def _planned(job: Job, bags_c: float) -> list[str]:
    """What comes of water that the job plans warm."""
    water, batch = job.placing.water_temperature_c, batch_of(job, bags_c)
    if batch is None or water is None or not COLD_UP_TO_C < water <= HOT_WATER_C:
        return []
    lands = said(job, concrete_c(batch, water), "temperature")
    return [f"the {said(job, water, 'temperature')} that the job plans lands it at {lands}"]


def _degrees(job: Job, found: MixWater) -> str:
    shown = said(job, found.wanted.water_c, "temperature")
    return shown if found.wanted.enough else f"{shown} (not enough)"


def heater_lines(job: Job, found: MixWater) -> list[str]:
    """Litres from a kettle, and the heater's time."""
    if found.kettle_l <= 0.0:
        return []
    batches = max(1.0, (takeoff_of(job).bags or 1) / job.crew.bags_per_batch)
    line = (
        f"{said(job, found.kettle_l, 'liquid')} of {said(job, found.all_l, 'liquid')} from a "
        f"kettle, {said(job, found.wanted.kettle_l, 'liquid')} for each of {math.ceil(batches)} "
        "batches, filled up with cold before it meets the bag"
    )
    if found.heating_h is not None:
        line += f"; the heater takes {said(job, found.heating_h, 'time')} for all of it"
    return [line]


def _promised(job: Job) -> list[str]:
    """The concrete's own temperature, where the job gives it, against the rules."""
    given, least = job.placing.temperature_c, target_of(job)
    if given is None:
        return [
            f"in cold weather order it at {said(job, least, 'temperature')} or more as it lands"
        ]
    if given >= least:
        return [f"promised at {said(job, given, 'temperature')}: cold weather asks "
                f"{said(job, least, 'temperature')}"]  # fmt: skip
    return [
        f"promised at {said(job, given, 'temperature')}, below the "
        f"{said(job, least, 'temperature')} that cold weather asks: order it warmer"
    ]


def _ice(job: Job) -> str:
    """What to do where bags are so hot that the concrete would be too."""
    bags = job.placing.material_temperature_c
    batch = None if bags is None else batch_of(job, bags)
    if batch is None or concrete_c(batch, batch.tap_c) <= HOT_WARN_C:
        return ""
    ice = ice_kg(batch, HOT_WARN_C)
    hot = f"the concrete would land at {said(job, concrete_c(batch, batch.tap_c), 'temperature')}: "
    if not math.isfinite(ice):
        return hot + "shade and cool the bags first, ice alone will not do"
    return hot + (
        f"put {said(job, ice, 'mass')} of ice in place of as much of each batch's water to stay "
        f"at {said(job, HOT_WARN_C, 'temperature')}, and mix until it is gone"
    )
