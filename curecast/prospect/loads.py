"""What the maker's sheet says of loads, and what of it is not said."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.build.base_plate import G_M_S2, load_moment_nm
from curecast.job.layout import Equipment, Job


@dataclass(frozen=True)
class Loads:
    """Service loads at the base plate, the shock factor in; None where nobody said.

    ``down_n`` is the load itself and the machine's own weight, without shock.
    """

    down_n: float | None
    load_n: float | None
    moment_nm: float | None
    sideways_n: float | None
    sideways_at_m: float = 0.0


def loads_of(job: Job) -> Loads:
    """The loads of a job's machine.

    Parameters
    ----------
    job : Job
        As read. A moment that the maker gives stands beside that of weight and reach: the
        larger counts, and a sideways pull at its height comes on top.
    """
    gear = job.equipment
    shock = 1.0 if gear.shock is None else gear.shock
    moments = []
    if gear.weight_kg is not None and gear.reach_m is not None:
        moments.append(load_moment_nm(gear.weight_kg, gear.reach_m, shock))
    if gear.moment_nm is not None:
        moments.append(gear.moment_nm * shock)
    sideways = None if gear.pull_n is None else gear.pull_n * shock
    height = gear.pull_height_m or 0.0
    if sideways is not None and (moments or gear.pull_height_m is not None):
        moments = [max(moments, default=0.0) + sideways * height]
    masses = [m for m in (gear.weight_kg, gear.own_weight_kg) if m is not None]
    return Loads(
        down_n=sum(masses) * G_M_S2 if masses else None,
        load_n=None if gear.weight_kg is None else gear.weight_kg * G_M_S2,
        moment_nm=max(moments) if moments else None,
        sideways_n=sideways,
        sideways_at_m=height,
    )


def has_machine(job: Job) -> bool:
    """Whether the job says anything of what will stand on the slab."""
    gear = job.equipment
    return gear != Equipment(anchor_kind=gear.anchor_kind, lifting=gear.lifting)


def missing_loads(job: Job) -> tuple[str, ...]:
    """What the sheet should say of loads and the job does not."""
    if not has_machine(job):
        return ()
    loads = loads_of(job)
    if loads.down_n is None and loads.moment_nm is None and loads.sideways_n is None:
        return ("the load figures: weight and reach, or the overturning moment",)
    if loads.moment_nm is None:
        return ("the reach or the overturning moment",)
    if loads.down_n is None:
        return ("the weight",)
    return ()
