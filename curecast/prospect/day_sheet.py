"""The sheet for the day: everything that two people need on paper, in the words of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from curecast.clock import from_unix_h, show_instant
from curecast.core.case import HOTTEST_WATER_C
from curecast.core.rules.limits import limits_of
from curecast.core.starts import Judged
from curecast.job.layout import Job
from curecast.prospect.buying import shopping_of
from curecast.prospect.case import takeoff_of
from curecast.prospect.crew_day import CrewDay
from curecast.prospect.day_limits import PACE, Limit, turning_batch
from curecast.prospect.day_words import (
    Row,
    batch_words,
    clock_of,
    finish_words,
    limit_words,
    load_words,
)
from curecast.prospect.lap import beyond_form, lapped
from curecast.prospect.sentences import CAUTIONS, deciding, finding_sentence
from curecast.prospect.start_words import start_words
from curecast.prospect.told import bag_water, measured, said, volume

#: Fresh concrete below this is not placed: EN 206, 5 °C (from memory). [°C]
COLDEST_MIX_C = 5.0
#: So many findings of a start are put on the sheet, the worst first.
_WATCHED = 3
#: What wet concrete and bags do to people (common practice).
LIFTING = (
    "Lift with a straight back, two to a bag of 36 kg (80 lb); never twist; take turns.",
    "Dry cement dust: a mask when bags are opened; then gloves, boots, goggles.",
)


@dataclass(frozen=True)
class DaySheet:
    """The sheet; every text is ready to print.

    ``batches`` are number, bags, water, mix, placed; ``loads`` number, volume, loaded, chute,
    placed, empty by.
    """

    job: Job
    title: str
    facts: tuple[tuple[str, str], ...]
    evening: tuple[str, ...]
    go: tuple[str, ...]
    batches: tuple[Row, ...]
    loads: tuple[Row, ...]
    finish: tuple[Row, ...]
    limits: tuple[Row, ...]
    protection: tuple[str, ...]
    cautions: tuple[str, ...]
    decides: tuple[str, ...]


def sheet_of(day: CrewDay, limits: Sequence[Limit], judged: Judged) -> DaySheet:
    """The sheet of one start.

    Parameters
    ----------
    day : CrewDay
        As worked through.
    limits : sequence of Limit
        Its bounds.
    judged : Judged
        The same start, for its verdict and the least protection that keeps it.
    """
    job, zone = day.job, day.job.site.zone
    steps = judged.measure.steps or (_no_step(judged),)
    return DaySheet(
        job=job,
        title=f"the day: {show_instant(from_unix_h(day.start_h), zone, year=True)}",
        facts=(*_facts(day, judged), *_pace(day, limits)),
        evening=tuple(_evening(day)),
        go=tuple(_go(day, judged)),
        batches=tuple(batch_words(day)),
        loads=tuple(load_words(day)),
        finish=tuple(finish_words(day)),
        limits=tuple(limit_words(day, [x for x in limits if x.why != PACE])),
        protection=(
            *steps,
            f"Covers dry, weighted down, {lapped(job)}.",
            "First reading under the cover at once, then as curecast holds asks for it.",
        ),
        cautions=(*CAUTIONS, *LIFTING),
        decides=(
            "Who decides (go, stop, carry on): ______________ If not there: ______________",
            f"Afterwards: curecast pour {job.name} --start .. --end .. "
            + ("--bags .. --water-per-bag .. " if day.table is not None else "")
            + '--temperature .. --gap "11:20-12:05"',
        ),
    )


def _no_step(judged: Judged) -> str:
    """What is said where no step of protection is planned."""
    if judged.verdict == "pour":
        return "none needed by the forecast; covers stay at hand"
    if judged.verdict != "do-not-pour":
        return "none by the plan; covers stay at hand"
    if judged.would_work is not None:
        return f"what is at hand does not keep this start; {judged.would_work.name} would"
    return "nothing at hand keeps this start: another day"


def _facts(day: CrewDay, judged: Judged) -> list[tuple[str, str]]:
    job, order, crew = day.job, takeoff_of(day.job), day.job.crew
    slab = job.slab
    size = " x ".join(measured(job, v) for v in (slab.length_m, slab.width_m, order.thickness_m))
    facts = [("Slab", size), ("Verdict", start_words(judged))]
    if day.crew is not None and order.bag_kg is not None and day.water_l is not None:
        mix = "in a drum" if day.crew.drum else "by hand"
        each = f"{day.crew.per_batch} bag{'s' if day.crew.per_batch > 1 else ''} a batch"
        facts += [
            ("Crew", f"{crew.people}, mixing {mix}, {each}; each rests 15 min every 2 h, in turn"),
            ("Bags", f"{day.crew.bags} of {said(job, order.bag_kg, 'mass')}; "
             f"{order.bags_exact or 0:.1f} fill the form, stop when it is full"),
            ("Water", f"{bag_water(job, day.water_l)} a bag, measured; never over "
             f"{bag_water(job, order.water_l_max_per_bag or 0.0)}"),
        ]  # fmt: skip
    else:
        ordered = volume(job, shopping_of(job).truck.order_m3)
        facts += [
            ("Crew", f"{crew.people}, concrete by truck"),
            ("Order", f"{ordered}; {volume(job, order.volume_m3)} fill the form. No water is added "
             "at the chute unless the ticket allows it"),
        ]  # fmt: skip
    chance = f"{100.0 * day.chance:.0f} %"
    facts.append(("Finished", f"{clock_of(job, day.start_h + day.finished_h, day.start_h)}; chance "
                  f"of finishing in time {chance}"))  # fmt: skip
    return facts


def _pace(day: CrewDay, limits: Sequence[Limit]) -> list[tuple[str, str]]:
    paced = [x for x in limits if x.why == PACE]
    said_ = ", ".join(
        f"{x.what.removesuffix(' placed')} by {clock_of(day.job, x.at_h, day.start_h)}"
        for x in paced
    )
    return [("Pace", said_)] if paced else []


def _evening(day: CrewDay) -> list[str]:
    job, order = day.job, takeoff_of(day.job)
    lines = ["Read the new forecast: curecast best-day; a verdict that fell stops the day."]
    if day.crew is not None and day.water_l is not None and order.bags is not None:
        litres = said(job, order.bags * day.water_l, "liquid")
        lines += [
            f"{order.bags} bags counted, dry, off the ground; water {litres} at hand.",
            "Barrow, hoe or drum, shovels, a marked water measure, spares of what breaks.",
        ]
    else:
        lines.append("Truck confirmed, its way to the form clear, chute or barrow planks laid.")
    return [
        *lines,
        "Form square, level, staked, oiled; gravel tamped, no frost; steel on chairs.",
        f"{'Blankets' if job.protection.blankets else 'Sheet'} over the ground overnight, "
        f"{beyond_form(job)}; keep {'them' if job.protection.blankets else 'it'} dry.",
        "Screed, float, edger, trowel or broom; sheet, covers, weights by the form.",
        "Thermometer, pencil, clock, lamp; gloves, boots, goggles, clean eye water.",
    ]


def _go(day: CrewDay, judged: Judged) -> list[str]:
    job = day.job
    limits = limits_of(
        job.rules.set, job.slab.thickness_m, strict=job.rules.strict, own=job.rules.thresholds
    )
    lines = [
        "GO only on unfrozen ground: ice, frost, "
        f"{said(job, limits.ground_limit_c, 'temperature')} or below in it is NO GO.",
        f"GO only with the whole crew ({job.crew.people}), water, cover, thermometer at the slab.",
        f"Mix about {said(job, day.placed_c, 'temperature')}; under "
        f"{said(job, COLDEST_MIX_C, 'temperature')} is NO GO: warm the water, never past "
        f"{said(job, HOTTEST_WATER_C, 'temperature')}.",
        "NO GO after the latest start below."
        if day.latest_h is None
        else f"NO GO after {clock_of(job, day.latest_h, day.start_h)}, the latest start.",
    ]
    n = turning_batch(day)
    if n is not None:
        lines.append(f"Rain or trouble: stop before batch {n}; from batch {n} on carry through.")
    broken = deciding(judged)[:_WATCHED]
    if judged.verdict == "do-not-pour":
        lines.insert(0, "NO GO as the forecast stands; the reasons are below.")
    return [*lines, *(f"Watch {f.rule}: {finding_sentence(job, judged, f)}" for f in broken)]
