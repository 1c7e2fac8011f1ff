"""What ``trace`` says to people: a row every six hours."""

from __future__ import annotations

from typing import Any

from curecast.cli.context import Context
from curecast.cli.tables import table_lines
from curecast.job.layout import Job
from curecast.prospect.sentences import degrees
from curecast.prospect.soundness import strength


def trace_lines(ctx: Context, job: Job, answer: dict[str, Any]) -> list[str]:
    """The history in steps that fit a page; all hours and numbers are in ``--json``."""
    rows = []
    for hour in answer["hours"]:
        t = hour["t_h"]
        if (t % 6 and t > 48) or (t % 24 and t > 168) or t % 2:
            continue
        temps = hour["temperature_c"]
        rows.append(
            [
                f"{t} h",
                degrees(job, hour["air_c"]),
                *(degrees(job, temps[p]) for p in ("surface", "middle", "bottom")),
                f"{hour['strength_age_h']['surface']:.1f} h",
                strength(job, hour["strength_mpa"]["surface"]),
            ]
        )
    heads = ["after", "air", "surface", "middle", "bottom", "age at 20 °C", "strength (median)"]
    return [*table_lines(ctx, heads, rows), "Every hour and every number used: --json"]
