"""What ``pour`` says back: how the placement differs from the plan, and what follows."""

from __future__ import annotations

from datetime import datetime

from curecast.core.build.takeoff import mean_thickness_m
from curecast.core.concrete.water import water_advice
from curecast.errors import InputError
from curecast.job.layout import Job
from curecast.prospect.case import placing_of, takeoff_of
from curecast.quantities import show_quantity


def pour_lines(
    job: Job,
    bags: float | None,
    water_l: float | None,
    start_at: datetime,
    end_at: datetime | None,
) -> list[str]:
    """How the placement differs from the plan.

    Raises
    ------
    InputError
        More water than any bag bears.
    """
    order, lines = takeoff_of(job), []

    def shown(value: float, kind: str) -> str:
        return show_quantity(value, kind, job.units)

    if bags is not None and order.bag_kg is not None:
        thick = mean_thickness_m(bags, order.bag_kg, job.slab.length_m, job.slab.width_m)
        short = order.thickness_m - thick
        if abs(short) <= order.thickness_tolerance_m:
            verdict = "within the tolerance of the take-off"
        elif short > 0:
            verdict = f"{shown(short, 'length')} thinner than planned: check it against the maker's"
        else:
            verdict = f"{shown(-short, 'length')} thicker than planned"
        lines.append(f"{bags:g} bags: the slab averaged {shown(thick, 'length')}, {verdict}")
    if water_l is not None and order.bag_kg is not None:
        advice = water_advice(order.bag_kg, water_l)
        most = shown(advice.most_l, "liquid")
        if advice.kind == "refused":
            raise InputError(
                f"{shown(water_l, 'liquid')} of water a bag is more than any bag bears",
                f"the widest printed range ends at {most}; check the unit",
            )
        if advice.kind == "above":
            lost = 100.0 * (1.0 - advice.f28_factor)
            lines.append(f"water above the bag's {most}: about {lost:.0f} % of the strength is lost")
        elif advice.water_l > 1.15 * advice.basic_l:
            basic = shown(advice.basic_l, "liquid")
            lines.append(
                f"water inside the widest printed range ({most}), well over the basic {basic}"
            )
    if end_at is not None:
        took = (end_at - start_at).total_seconds() / 3600.0
        lines.append(f"placed in {took:.1f} h; the plan was {placing_of(job):.1f} h")
    return lines
