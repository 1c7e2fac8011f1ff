"""Is the job sound: shortfalls named before money is spent, and what has to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from curecast.core.concrete.water import water_advice
from curecast.core.holdpoints import HARDLY_MET
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.prospect.anchor_fit import anchors_of
from curecast.prospect.buying import Shopping, shopping_figures, shopping_of
from curecast.prospect.buying_lines import Line, buying_lines
from curecast.prospect.case import mix_of, takeoff_of
from curecast.prospect.cost import bill_of
from curecast.prospect.first import first_things
from curecast.prospect.footing_fit import footing_of
from curecast.prospect.holes import holes_of
from curecast.prospect.loads import has_machine
from curecast.prospect.room import room_of
from curecast.prospect.told import Told, bag_water, said, share, together
from curecast.prospect.warm_water import scalding, water_figures
from curecast.prospect.water_lines import water_lines

#: Whether to buy, and in words.
BUY = {
    "yes": "sound: what the job says holds together, buy",
    "ask-first": "nothing falls short, but figures are missing: ask for them before you buy",
    "not-yet": "not sound yet: do not buy concrete",
}


@dataclass(frozen=True)
class Soundness:
    """Everything that ``check`` says of a job.

    ``buy`` is a key of `BUY`; ``first`` are the three things to do first; ``buying`` are names
    with their sentences.
    """

    buy: str
    first: tuple[str, ...]
    problems: tuple[Problem, ...]
    missing: tuple[str, ...]
    fit: tuple[str, ...]
    buying: tuple[Line, ...]
    water: tuple[str, ...]
    shop: Shopping
    figures: dict[str, Any]


def soundness_of(job: Job) -> Soundness:
    """Will it hold, and what to buy.

    Parameters
    ----------
    job : Job
        As read.
    """
    fit = _fit(job)
    shop = shopping_of(job)
    buy = "not-yet" if fit.problems else "ask-first" if fit.missing else "yes"
    return Soundness(
        buy=buy,
        first=first_things(job, fit, shop, hardly_met=_hardly_met(job)),
        problems=fit.problems,
        missing=fit.missing,
        fit=(_strength_line(job), *fit.lines),
        buying=tuple(buying_lines(job, shop)),
        water=tuple(water_lines(job)),
        shop=shop,
        figures=fit.figures,
    )


def check_job(job: Job) -> list[Problem]:
    """Shortfalls of slab, mix and anchors against the makers' figures.

    Parameters
    ----------
    job : Job
        As read.
    """
    return list(_fit(job).problems)


def strength(job: Job, mpa: float) -> str:
    """A strength in the job's units."""
    return said(job, mpa, "strength")


def soundness_answer(job: Job, sound: Soundness) -> dict[str, Any]:
    """All of it as ``check`` gives it in JSON."""
    bill = bill_of(job, sound.shop)
    return {
        "buy": sound.buy,
        "first": list(sound.first),
        "problems": [{"key": p.key, "message": p.message, "hint": p.hint} for p in sound.problems],
        "missing": list(sound.missing),
        "takeoff": shopping_figures(job, sound.shop),
        "costs": {
            "items": [
                {"name": i.name, "count": i.count, "unit": i.unit, "price": i.price, "cost": i.cost}
                for i in bill.items
            ],
            "total": bill.total if bill.priced else None,
            "without_price": list(bill.unpriced),
        },
        "fit": sound.figures,
        "warm_mix": water_figures(job),
        "notes": [*sound.fit, *sound.water],
    }


def takeoff_answer(job: Job) -> dict[str, Any]:
    """The take-off alone, as ``check`` gives it."""
    return shopping_figures(job, shopping_of(job))


def _fit(job: Job) -> Told:
    parts = (_strength, room_of, holes_of, anchors_of, footing_of, _not_reckoned, _water, scalding)
    return together(part(job) for part in parts)


def _not_reckoned(job: Job) -> Told:
    """What nobody has looked at here, so that nothing above is taken for a whole design."""
    if not has_machine(job):
        return Told()
    line = (
        "not reckoned, and left to the makers or an engineer: bending and cracking of the slab "
        "itself under the load, anchors pulled off the middle of their group (eccentric), the "
        "base plate, and the steel and pull-out of the anchors"
    )
    return Told((line,))


def _hardly_met(job: Job) -> bool:
    need, f28 = job.equipment.strength_mpa, mix_of(job).curve.f28_mpa
    return need is not None and HARDLY_MET * f28 < need <= f28


def _strength_line(job: Job) -> str:
    """What the mix is counted on for, and what that means for the maker's figure."""
    mix, need = mix_of(job), job.equipment.strength_mpa
    line = (
        f"concrete: {strength(job, mix.curve.f28_mpa)} counted on at 28 days (printed "
        f"{strength(job, mix.printed_mpa)})"
    )
    if need is None:
        return line
    line += f", {strength(job, need)} asked"
    if _hardly_met(job):
        line += ": more than 0.80 of it, hardly shown by temperature alone, a test saves weeks"
    return line


def _strength(job: Job) -> Told:
    need, f28 = job.equipment.strength_mpa, mix_of(job).curve.f28_mpa
    if need is None:
        lacking = ("the strength of concrete that it needs",) if has_machine(job) else ()
        return Told(missing=lacking)
    if need <= f28:
        return Told()
    problem = Problem(
        "equipment.strength",
        f"the maker asks {strength(job, need)}, more than the {strength(job, f28)} that this mix "
        "is counted on for at 28 days",
        hint="a stronger mix",
    )
    return Told(problems=(problem,))


def _water(job: Job) -> Told:
    """The water that the job plans, against the bag's printed range."""
    order = takeoff_of(job)
    if job.mix.water_l is None or order.bag_kg is None:
        return Told()
    advice = water_advice(order.bag_kg, job.mix.water_l)
    water, most = (bag_water(job, v) for v in (advice.water_l, advice.most_l))
    basic = bag_water(job, advice.basic_l)
    if advice.kind == "above":
        lost = 1.0 - advice.f28_factor
        problem = Problem(
            "mix.water",
            f"{water} a bag is beyond the bag's range, {bag_water(job, advice.least_l)} to "
            f"{most}: it costs {share(lost)} of the strength",
            hint=f"begin with {basic} and add only what it needs",
        )
        return Told(problems=(problem,))
    if advice.kind == "below":
        return Told((f"{water} of water is below the {basic} that a bag asks: it may not mix",))
    if advice.water_l > 1.15 * advice.basic_l:
        line = (
            f"{water} of water is inside the widest printed range (to {most}) and well over the "
            f"basic {basic}: begin with that, and add only what it needs"
        )
        return Told((line,))
    return Told()
