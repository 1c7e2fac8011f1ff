"""The three things to do first, before money is spent."""

from __future__ import annotations

from curecast.job.layout import Job
from curecast.prospect.buying import Shopping
from curecast.prospect.case import mix_of
from curecast.prospect.told import Told, said

#: How many things a screen starts with.
FIRST = 3


def first_things(job: Job, fit: Told, shop: Shopping, *, hardly_met: bool) -> tuple[str, ...]:
    """What to do first: mend what falls short, ask what is missing, then order.

    Parameters
    ----------
    job : Job
        As read.
    fit : Told
        What its fit says.
    shop : Shopping
        What it takes.
    hardly_met : bool
        Whether the maker's strength can hardly be shown by temperature alone.
    """
    mend = _mend(fit)
    asked = [f"Ask the maker for {' and '.join(fit.missing[:2])}."] if fit.missing else []
    if len(fit.missing) > 2:
        asked = [
            f"Ask the makers for {', '.join(fit.missing[:2])} and {len(fit.missing) - 2} more."
        ]
    test = []
    if hardly_met:
        need = said(job, job.equipment.strength_mpa, "strength")
        test = [f"Plan a strength test (cylinders or pull-out) for {need}: it saves weeks."]
    order = [] if fit.problems else [_order(job, shop)]
    day = [f"Find the day: curecast best-day {job.name}.toml"]
    look = [f"Look through the {len(job.assumed)} values below that stand in for unknown ones."]
    return tuple([*mend, *asked, *test, *order, *day, *look][:FIRST])


def _mend(fit: Told) -> list[str]:
    """One line a shortfall; those that do not fit are counted."""
    found = [f"{p.hint[:1].upper()}{p.hint[1:]} ({p.key})." for p in fit.problems]
    if len(found) > FIRST:
        found[FIRST - 1] = f"Then mend the other {len(found) - FIRST + 1} shortfalls below."
    return found


def _order(job: Job, shop: Shopping) -> str:
    order = shop.order
    if order.bags is None or order.bag_kg is None:
        kind = mix_of(job).preset.name
        return (
            f"Order {said(job, shop.truck.order_m3, 'volume')} of {kind} at "
            f"{said(job, mix_of(job).printed_mpa, 'strength')}; ask for its least load and wait."
        )
    how = f"in {order.trips} trips" if shop.overloaded else "in one trip"
    return (
        f"Fetch {order.bags} bag{'s' if order.bags != 1 else ''} of "
        f"{said(job, order.bag_kg, 'mass')} {how}; keep them dry, off the ground and warm."
    )
