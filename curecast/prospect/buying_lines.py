"""What to buy and fetch, in sentences: one line for each thing."""

from __future__ import annotations

from curecast.core.build.materials import BLANKET_LAP_M, BLANKET_M, BOARD_STOCK_M
from curecast.core.build.steel import BAR_M, BAR_SPACING_M, BAR_STOCK_M
from curecast.job.layout import Job
from curecast.prospect.buying import Shopping
from curecast.prospect.case import placing_of
from curecast.prospect.cost import Bill, bill_of, unused_prices
from curecast.prospect.told import bag_water, measured, nominal, said, share, volume

Line = tuple[str, str]


def buying_lines(job: Job, shop: Shopping) -> list[Line]:
    """Name and sentence of each thing to buy; costs last."""
    parts = (_slab, _concrete, _water, _fetch, _instead, _base, _steel, _form, _covers)
    return [line for part in parts for line in part(job, shop)] + cost_lines(job, shop)


def _slab(job: Job, shop: Shopping) -> list[Line]:
    order, slab = shop.order, job.slab
    size = " x ".join(measured(job, v) for v in (slab.length_m, slab.width_m, order.thickness_m))
    mean = " (mean of the corners)" if slab.corner_depths_m else ""
    extra = f", {volume(job, order.extra_m3)} of it thickened" if order.extra_m3 else ""
    return [
        (
            "slab",
            f"{size}{mean} = {volume(job, order.volume_m3)}{extra}; "
            f"{volume(job, order.order_m3)} with {share(shop.waste)} waste",
        )
    ]


def _concrete(job: Job, shop: Shopping) -> list[Line]:
    order = shop.order
    people = f"about {placing_of(job):.1f} h with {job.crew.people} people"
    if order.bags is None or order.bag_kg is None or order.bags_exact is None:
        return [("ready-mix", f"{_truck(job, shop)}; {people}")]
    others = ", or ".join(f"{n} of {said(job, kg, 'mass')}" for kg, n in shop.by_bag.items())
    return [
        (
            "bags",
            f"{order.bags} of {said(job, order.bag_kg, 'mass')} ({order.bags_exact:.1f} fill the "
            f"form, the rest is spare), {said(job, order.bags_kg, 'mass')} in all; or {others}",
        ),
        ("placing", f"{people}, mixed {_mixed(job)}"),
    ]


def _mixed(job: Job) -> str:
    return "in a drum" if job.crew.mix == "drum" else job.crew.mix


def _water(job: Job, shop: Shopping) -> list[Line]:
    water, bags = shop.water, shop.order.bags
    if water is None or bags is None:
        return []
    planned = ""
    if abs(water.water_l - water.basic_l) > 0.05:
        planned = f", {bag_water(job, water.water_l)} as the job has it"
    return [
        (
            "water",
            f"{bag_water(job, water.basic_l)} a bag to begin with{planned}; never over "
            f"{bag_water(job, water.most_l)}: a tenth more costs {share(shop.lost)} of the "
            f"strength; {said(job, bags * water.water_l, 'liquid')} in all",
        )
    ]


def _fetch(job: Job, shop: Shopping) -> list[Line]:
    order = shop.order
    if order.bags is None or order.bags_kg is None:
        return []
    vehicle = "your vehicle's" if job.buying.payload_kg is not None else "a light pick-up's"
    pallets = f"{order.pallets} pallet{'s' if order.pallets != 1 else ''}"
    load = f"{vehicle} {said(job, shop.payload_kg, 'mass')}"
    if not shop.overloaded:
        return [("fetch", f"{pallets}, one trip within {load}")]
    return [
        (
            "fetch",
            f"{pallets}, {_trips(order.trips or 1)}; all at once is "
            f"{order.bags_kg / shop.payload_kg:.1f} times {load}: do not overload it",
        )
    ]


def _trips(count: int) -> str:
    return "1 trip" if count == 1 else f"{count} trips"


def _truck(job: Job, shop: Shopping) -> str:
    truck = shop.truck
    text = f"{volume(job, truck.order_m3)} by truck"
    if truck.least_m3 is None:
        text += " (ask for the plant's least load and its wait)"
    elif truck.order_m3 - truck.least_m3 < 1e-9 and truck.spare_m3 > 0.01:
        text += f" (the plant's least load; {volume(job, truck.spare_m3)} is spare)"
    text += f", it stands about {said(job, truck.stands_h, 'time')}"
    if truck.over_h > 0.0:
        text += f", {said(job, truck.over_h, 'time')} beyond its free wait"
    return text


def _instead(job: Job, shop: Shopping) -> list[Line]:
    if shop.order.bags is not None:
        return [("instead", _truck(job, shop))]
    others = ", or ".join(f"{n} bags of {said(job, kg, 'mass')}" for kg, n in shop.by_bag.items())
    return [("instead", others)]


def _base(job: Job, shop: Shopping) -> list[Line]:
    lines: list[Line] = []
    if shop.gravel is not None:
        lines.append(
            (
                "gravel",
                f"{volume(job, shop.gravel.loose_m3)} loose for "
                f"{measured(job, job.ground.gravel_m or 0.0)} tamped, "
                f"{said(job, shop.gravel.mass_kg, 'mass')}, {_trips(shop.gravel_trips)}",
            )
        )
    if shop.vapour_m2:
        lines.append(("sheet", f"vapour sheet {said(job, shop.vapour_m2, 'area')}, laps besides"))
    return lines


def _steel(job: Job, shop: Shopping) -> list[Line]:
    kind = job.slab.reinforcement
    if kind == "none":
        return []
    if kind == "unknown":
        return [("steel", "not said: reinforcement after the maker's sheet")]
    if kind == "fibre":
        return [("fibre", "by the dose on its own bag, for " + volume(job, shop.order.order_m3))]
    if shop.bars is None:
        return [
            ("steel", f"{shop.mesh} sheets of mesh 1.5 x 3 m (5 x 10 ft), {shop.chairs} chairs")
        ]
    bars = shop.bars
    own, apart = job.slab.bar_m, job.slab.bar_spacing_m
    size = measured(job, BAR_M if own is None else own)
    spacing = nominal(job, BAR_SPACING_M) if apart is None else measured(job, apart)
    return [
        (
            "steel",
            f"{bars.along} bars along and {bars.across} across, {size} at "
            f"{spacing}: {bars.stock} of {nominal(job, BAR_STOCK_M)}, "
            f"{said(job, bars.mass_kg, 'mass')}; {shop.chairs} chairs",
        )
    ]


def _form(job: Job, shop: Shopping) -> list[Line]:
    above = job.slab.above_grade_m
    deep = shop.order.thickness_m if above is None or above <= 0.0 else above
    return [
        (
            "forms",
            f"{shop.boards} boards of {nominal(job, BOARD_STOCK_M)}, at least "
            f"{measured(job, deep)} deep, {shop.stakes} stakes",
        )
    ]


def _covers(job: Job, shop: Shopping) -> list[Line]:
    if not shop.blankets:
        return []
    own = job.protection.blanket_size_m
    size = " x ".join(
        [nominal(job, side) for side in BLANKET_M]
        if own is None
        else [measured(job, v) for v in own]
    )
    layers = "one layer" if shop.layers == 1 else f"{shop.layers} layers"
    return [
        (
            "blankets",
            f"{shop.blankets} of {size} for {layers}, lapped and hung over by "
            f"{nominal(job, BLANKET_LAP_M)}, at hand or bought",
        )
    ]


def cost_lines(job: Job, shop: Shopping) -> list[Line]:
    """The bill in the owner's money, where any price is given."""
    own = bill_of(job, shop)
    by_bag = shop.order.bags is not None
    other = bill_of(job, shop, by_truck=by_bag)
    lines: list[Line] = []
    if own.priced:
        lines.append(("cost", _bill(own)))
    if by_bag and any(item.name == "ready_mix" for item in other.priced):
        lines.append(("by truck", f"{other.total:.2f} in all"))
    unused = unused_prices(job, own, other)
    if unused:
        lines.append(("prices", "not used: " + ", ".join(unused)))
    return lines


def _bill(bill: Bill) -> str:
    parts = [
        f"{item.name} {item.count:g}{item.unit and ' ' + item.unit} at {item.price:g} = "
        f"{item.cost:.2f}"
        for item in bill.priced
    ]
    without = f"; without a price: {', '.join(bill.unpriced)}" if bill.unpriced else ""
    return f"{', '.join(parts)}; in all {bill.total:.2f}{without}"
