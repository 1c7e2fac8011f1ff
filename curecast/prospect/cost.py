"""What the shopping costs, as far as the job gives prices: a list that adds up."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.build.ready_mix import CUBIC_YARD_M3
from curecast.job.layout import Job
from curecast.prospect.buying import Shopping
from curecast.prospect.cover_cost import HIRE

_SQUARE_FOOT_M2 = 0.3048**2


@dataclass(frozen=True)
class Item:
    """One thing to buy: by its name in ``prices``, how many, and its price or None."""

    name: str
    count: float
    unit: str
    price: float | None

    @property
    def cost(self) -> float | None:
        """To the cent; None without a price."""
        return None if self.price is None else round(self.count * self.price, 2)


@dataclass(frozen=True)
class Bill:
    """Everything to buy, one way: ``total`` is the sum of what has a price."""

    items: tuple[Item, ...]

    @property
    def priced(self) -> tuple[Item, ...]:
        return tuple(item for item in self.items if item.price is not None)

    @property
    def total(self) -> float:
        return round(sum(item.cost or 0.0 for item in self.items), 2)

    @property
    def unpriced(self) -> tuple[str, ...]:
        return tuple(item.name for item in self.items if item.price is None)


def prices_of(job: Job) -> dict[str, float]:
    """All prices that the job gives."""
    return {**job.protection.prices, **job.buying.prices}


def bill_of(job: Job, shop: Shopping, *, by_truck: bool | None = None) -> Bill:
    """The bill with the job's own concrete, or with bags or a truck in its place.

    Parameters
    ----------
    job : Job
        As read.
    shop : Shopping
        Its counts.
    by_truck : bool or None
        Ready-mix, bags, or the job's own.
    """
    prices, us = prices_of(job), job.units == "us"
    cubic, square = (CUBIC_YARD_M3, _SQUARE_FOOT_M2) if us else (1.0, 1.0)
    truck = shop.order.bags is None if by_truck is None else by_truck
    wanted: list[tuple[str, float, str]] = []
    if truck:
        wanted.append(("ready_mix", shop.truck.order_m3 / cubic, "yd3" if us else "m3"))
        wanted.append(("delivery", 1, ""))
    elif shop.order.bags is not None:
        wanted.append(("bag", shop.order.bags, ""))
        wanted.append(("trip", shop.order.trips or 0, ""))
    if shop.gravel is not None:
        wanted.append(("gravel", shop.gravel.loose_m3 / cubic, "yd3" if us else "m3"))
    if shop.bars is not None:
        wanted.append(("bar", shop.bars.stock, ""))
    wanted += [
        ("vapour_sheet", shop.vapour_m2 / square, "ft2" if us else "m2"),
        ("mesh", shop.mesh, ""),
        ("chair", shop.chairs, ""),
        ("board", shop.boards, ""),
        ("stake", shop.stakes, ""),
        ("blanket", shop.blankets, ""),
        ("sheet", 1 if job.protection.sheet else 0, ""),
    ]
    optional = {"delivery", "trip", "chair", "sheet"}  # named only where they have a price
    return Bill(
        tuple(
            Item(name, _sold(count, unit), unit, prices.get(name))
            for name, count, unit in wanted
            if count > 0 and not (name in optional and name not in prices)
        )
    )


def _sold(count: float, unit: str) -> float:
    """What is sold by volume or area is told to two decimals, and charged so."""
    return round(count, 2) if unit else count


def unused_prices(job: Job, *bills: Bill) -> tuple[str, ...]:
    """Prices of things that no bill has: a slip of the pen, or not needed."""
    known = {item.name for bill in bills for item in bill.items}
    return tuple(sorted(set(prices_of(job)) - known - set(HIRE)))
