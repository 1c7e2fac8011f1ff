"""What ``pour`` and ``amend`` say back: how it differs from the plan, and what follows."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from curecast.clock import show_instant
from curecast.core.build.takeoff import mean_thickness_m
from curecast.core.concrete.water import water_advice
from curecast.errors import InputError
from curecast.job.addresses import redact
from curecast.job.layout import Job
from curecast.prospect.case import placing_of, takeoff_of
from curecast.prospect.told import bag_water
from curecast.quantities import show_quantity
from curecast.tracking.amending import Amendment

_AHEAD = timedelta(minutes=5)
_LONGEST_H = 24.0
#: An older pour than this is asked about. [d]
_OLD_D = 60.0


@dataclass(frozen=True)
class Poured:
    """A placement as it was said: instants, bags, litres of water a bag, °C as placed."""

    start_at: datetime
    end_at: datetime | None
    bags: float | None
    water_l: float | None
    placed_c: float | None


def placement_json(said: Poured) -> dict[str, Any]:
    """The placement as ``pour`` answers it."""
    return {
        "start": said.start_at,
        "end": said.end_at,
        "bags": said.bags,
        "water_l_per_bag": said.water_l,
        "temperature_c": said.placed_c,
    }


def pour_lines(job: Job, said: Poured, now: datetime) -> list[str]:
    """How the placement differs from the plan.

    Raises
    ------
    InputError
        What cannot be: a start ahead, an end before the start, more water than a bag bears.
    """
    _check(said, now)
    lines = [f"placing began {show_instant(said.start_at, job.site.zone)}"]
    lines += _bags_lines(job, said.bags) + _water_lines(job, said.water_l)
    if said.end_at is not None:
        took = (said.end_at - said.start_at).total_seconds() / 3600.0
        lines.append(f"placed in {took:.1f} h; the plan was {placing_of(job):.1f} h")
    age_d = (now - said.start_at).total_seconds() / 86400.0
    if age_d > _OLD_D:
        lines.append(f"that is {age_d:.0f} days ago: say it again with the right date if it is not")
    return lines


def _check(said: Poured, now: datetime) -> None:
    if said.start_at > now + _AHEAD:
        raise InputError("that start lies ahead", "a start to come is chosen: curecast choose")
    if said.end_at is not None:
        took_h = (said.end_at - said.start_at).total_seconds() / 3600.0
        if took_h < 0.0:
            raise InputError("placing cannot end before it began", "check --start and --end")
        if said.end_at > now + _AHEAD:
            raise InputError("that end lies ahead", "record the pour once the last batch is placed")
        if took_h > _LONGEST_H:
            raise InputError(
                f"placing cannot take {took_h:.0f} h", "check the dates of --start and --end"
            )
    if said.bags is not None and not 0 < said.bags < 1e5:
        raise InputError(f"{said.bags:g} bags cannot be", "give the number of bags that went in")
    if said.water_l is not None and not said.water_l >= 0.0:
        raise InputError("less than no water cannot be", "check --water-per-bag")
    if said.placed_c is not None and not 0.0 <= said.placed_c <= 45.0:
        raise InputError(
            f"fresh concrete at {said.placed_c:.0f} °C ({said.placed_c * 1.8 + 32.0:.0f} °F) "
            "cannot be",
            "check the unit of --temperature",
        )


def _bags_lines(job: Job, bags: float | None) -> list[str]:
    order = takeoff_of(job)
    if bags is None:
        return []
    if order.bag_kg is None:
        return [f"{bags:g} bags are kept, but the job is of ready-mix"]
    thick = mean_thickness_m(
        bags,
        order.bag_kg,
        job.slab.length_m,
        job.slab.width_m,
        extra_m3=order.extra_m3,
        bag_m3=order.bag_m3,
    )
    short = order.thickness_m - thick

    def shown(value: float) -> str:
        return show_quantity(value, "length", job.units)

    if abs(short) <= order.thickness_tolerance_m:
        verdict = "within the tolerance of the take-off"
    elif short > 0:
        verdict = f"{shown(short)} thinner than planned: check it against the maker's"
    else:
        verdict = f"{shown(-short)} thicker than planned"
    return [f"{bags:g} bags: the slab averaged {shown(thick)}, {verdict}"]


def _water_lines(job: Job, water_l: float | None) -> list[str]:
    order = takeoff_of(job)
    if water_l is None or order.bag_kg is None:
        return []

    def shown(value: float) -> str:
        return bag_water(job, value)

    advice = water_advice(order.bag_kg, water_l)
    most = shown(advice.most_l)
    if advice.kind == "refused":
        raise InputError(
            f"{shown(water_l)} of water a bag is more than any bag bears",
            f"the widest printed range ends at {most}; check the unit",
        )
    if advice.kind == "above":
        lost = 100.0 * (1.0 - advice.f28_factor)
        return [f"water above the bag's {most}: about {lost:.0f} % of the strength is lost"]
    if advice.water_l > 1.15 * advice.basic_l:
        basic = shown(advice.basic_l)
        return [f"water inside the widest printed range ({most}), well over the basic {basic}"]
    return []


def changed_lines(old: Job, new: Job) -> list[str]:
    """The lines of a job file that differ, with - and + before them; without secrets."""
    lines = difflib.unified_diff(_shown(old), _shown(new), lineterm="", n=0)
    return [
        f"{line[0]} {line[1:].strip()}"
        for line in lines
        if line[:1] in "+-" and line[:3] not in ("+++", "---") and line[1:].strip()
    ]


def _shown(job: Job) -> list[str]:
    """The lines of a job file, its addresses as they may be shown."""
    text = job.text
    for alert in sorted(job.alerts, key=lambda alert: -len(alert.to)):
        text = text.replace(alert.to, redact(alert.to))
    return text.splitlines()


def amended_lines(old: Job, new: Job, done: Amendment) -> list[str]:
    """What an amendment changed, and which holds it moves."""
    lines = [f"  {line}" for line in changed_lines(old, new)]
    for hold, days in done.earlier_d.items():
        lines.append(f"  ! {hold}: {earlier_words(days)}; that stays on record beside it")
    lines += [f"  {hold}: {days:.0f} days later" for hold, days in done.later_d.items()]
    if not done.earlier_d and not done.later_d:
        lines.append("  no hold moves")
    return lines


def earlier_words(days: float | None) -> str:
    """How far an amendment brought a hold forward."""
    if days is None:
        return "asks less than before"
    return f"{days:.0f} days earlier" if days >= 1.5 else f"{24.0 * days:.0f} h earlier"
