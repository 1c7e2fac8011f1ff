"""The smallest words of every answer: chances, instants, temperatures, and the cautions."""

from __future__ import annotations

import math

from curecast.clock import from_unix_h, show_instant
from curecast.job.layout import Job
from curecast.quantities import show_quantity

#: Beside every date that someone could be hurt by.
CAUTIONS = (
    "The equipment and anchor makers' manuals, local code and licensed practice govern; "
    "this tool advises, and a strength test settles doubt.",
    "Wet concrete burns skin and eyes: gloves, boots, goggles, clean water at hand.",
    "Silica dust: drill wet or with a vacuum, and wear a respirator.",
    "Heaters and burners need ventilation: carbon monoxide kills, and exhaust dusts fresh faces.",
)
#: Said where a slab lies outdoors, or is covered, or gets steel.
TRADE_NOTES = (
    "Covers dry and weighted down, lapped at least 300 mm (12 in) over the edges.",
    "A slab that will freeze wet wants air-entrained mix, 24 MPa (3500 psi), and no de-icer "
    "the first winter.",
    "No calcium chloride with galvanised anchors or steel in the slab.",
    "Before full torque no wheel or jack within twice the slab's thickness of an edge.",
)


def percent(chance: float | None) -> str:
    """A chance in words: ``3 %``, ``under 1 %``, ``unknown``."""
    if chance is None or math.isnan(chance):
        return "unknown"
    return "under 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"


def when(job: Job, unix_h: float | None) -> str:
    """An instant in the job's local time."""
    if unix_h is None or not math.isfinite(unix_h):
        return "an unknown hour"
    return show_instant(from_unix_h(unix_h), job.site.zone)


def degrees(job: Job, temp_c: float | None) -> str:
    """A temperature in the job's units."""
    if temp_c is None or math.isnan(temp_c):
        return "unknown"
    return show_quantity(temp_c, "temperature", job.units, 0 if job.units == "us" else 1)


def difference(job: Job, kelvin: float | None) -> str:
    """A difference of temperature in the job's units."""
    if kelvin is None or math.isnan(kelvin):
        return "unknown"
    return show_quantity(kelvin, "temperature difference", job.units, 0)
