"""One part of an answer: what is said, what falls short, and the figures behind both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from curecast.core.concrete.water import LITRE_PER_US_PINT
from curecast.errors import Problem
from curecast.job.layout import Job
from curecast.quantities import show_quantity


@dataclass(frozen=True)
class Told:
    """Sentences, shortfalls, what nobody said yet, and figures by name with their unit."""

    lines: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    missing: tuple[str, ...] = ()
    figures: dict[str, Any] = field(default_factory=dict)


def together(parts: Iterable[Told]) -> Told:
    """Several parts as one; figures of one name come from the last."""
    lines: list[str] = []
    problems: list[Problem] = []
    missing: list[str] = []
    figures: dict[str, Any] = {}
    for part in parts:
        lines += part.lines
        problems += part.problems
        missing += part.missing
        figures |= part.figures
    return Told(tuple(lines), tuple(problems), tuple(missing), figures)


def said(job: Job, value: float | None, kind: str) -> str:
    """A quantity in the job's units."""
    return show_quantity(value, kind, job.units)


def bag_water(job: Job, litres: float) -> str:
    """Water for one bag, fine enough to measure it by."""
    if job.units == "us":
        return f"{round(litres / LITRE_PER_US_PINT, 1):g} pt"
    return said(job, litres, "liquid")


def nominal(job: Job, metres: float) -> str:
    """A length that nobody measured, in round inches or centimetres."""
    step = 0.0254 if job.units == "us" else 0.01
    return said(job, round(metres / step) * step, "length")


def share(part: float) -> str:
    """A share in per cent."""
    return f"{100.0 * part:.0f} %"


def volume(job: Job, m3: float) -> str:
    """A volume, a small one to the litre."""
    return show_quantity(m3, "volume", job.units, 3 if m3 < 0.1 else None)


def measured(job: Job, metres: float) -> str:
    """A length in the job's units."""
    return said(job, metres, "length")
