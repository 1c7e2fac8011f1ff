"""What the protection of a start costs, as far as the job gives prices for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from curecast.core.build.materials import BLANKET_M, blankets_to_cover
from curecast.core.protection import Measure
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.cover_stay import Stay

#: Prices by their names in ``[protection] prices``: hire by the day and piece, the heater's
#: running cost by the hour, fuel by the litre (si) or the US gallon (us).
HIRE = ("blanket_day", "sheet_day", "heater_day", "heater_hour", "fuel")
_GALLON_L = 3.785411784


@dataclass(frozen=True)
class CoverCost:
    """The cost of one start's protection.

    Parameters
    ----------
    total : float
        In the job's own money, to the cent. [money]
    what : str
        What is paid for, in plain words. [-]
    """

    total: float
    what: str


def is_priced(job: Job) -> bool:
    """Whether the job gives any price of protection."""
    return any(name in job.protection.prices for name in HIRE)


def pieces_of(job: Job, layers: int) -> int:
    """Blankets for so many layers over the job's slab."""
    if layers == 0:
        return 0
    piece = job.protection.blanket_size_m or BLANKET_M
    return blankets_to_cover(job.slab.length_m, job.slab.width_m, piece, layers=layers)


def cover_cost(job: Job, judged: Judged, stay: Stay | None) -> CoverCost | None:
    """What a start's protection costs.

    Parameters
    ----------
    job : Job
        With its prices.
    judged : Judged
        The start.
    stay : Stay or None
        How long its cover lies; None: as planned.

    Returns
    -------
    CoverCost or None
        0 where it needs nothing; None where the job gives no price for what it needs.
    """
    if not is_priced(job):
        return None
    measure = judged.measure
    if measure.level == 0:
        return CoverCost(0.0, "nothing to lay")
    hours = _hours(judged, stay)
    days = max(1, math.ceil(hours / 24.0 - 1e-6))
    parts = [*_laid(job, measure, days), *_heated(job, measure, hours, days)]
    costs = [cost for cost, _ in parts]
    if not parts or any(cost is None for cost in costs):
        return None
    total = round(sum(cost for cost in costs if cost is not None), 2)
    return CoverCost(total, ", ".join(what for _, what in parts))


def amount(total: float) -> str:
    """A sum of money without its currency; a whole one goes without cents.

    >>> amount(36.0), amount(36.5)
    ('36', '36.50')
    """
    return f"{total:.0f}" if abs(total - round(total)) < 0.005 else f"{total:.2f}"


def money(job: Job, total: float) -> str:
    """A sum in the job's own money: ``36``, ``36.50 EUR``."""
    return f"{amount(total)} {job.protection.currency}".strip()


def _hours(judged: Judged, stay: Stay | None) -> float:
    """From laying to lifting; the planned end where no better hour was found. [h]"""
    spells = judged.measure.spells
    from_h = min(c.from_h for c in spells)
    to_h = max(c.to_h for c in spells)
    if stay is not None and stay.off_h is not None:
        to_h = max(to_h, stay.off_h - judged.origin_h)
    return to_h - from_h


Part = tuple[float | None, str]


def _laid(job: Job, measure: Measure, days: int) -> list[Part]:
    prices = job.protection.prices
    found: list[Part] = []
    if measure.layers:
        count = pieces_of(job, measure.layers)
        price = prices.get("blanket_day")
        cost = None if price is None else count * days * price
        found.append((cost, f"{count} blanket{'s' * (count > 1)} for {_days(days)}"))
    if measure.sheet:
        # A sheet is bought once: where nobody hires one out, laying it costs nothing.
        cost = prices.get("sheet_day", 0.0) * days
        found.append((cost, f"a sheet for {_days(days)}"))
    return found


def _heated(job: Job, measure: Measure, hours: float, days: int) -> list[Part]:
    """Hire and running; at least one way to pay for the heat has to be known."""
    if not measure.heated:
        return []
    prices, burns = job.protection.prices, job.protection.heater_l_h
    running = prices.get("heater_hour")
    if "fuel" in prices and burns is not None:
        unit_l = _GALLON_L if job.units == "us" else 1.0
        running = (running or 0.0) + prices["fuel"] * burns / unit_l
    cost = None if running is None else running * hours + prices.get("heater_day", 0.0) * days
    return [(cost, f"a heated enclosure for {hours:.0f} h")]


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
