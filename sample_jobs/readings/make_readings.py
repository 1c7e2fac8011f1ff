"""Writes the invented readings of the sample pour: the model's own slab, a little colder.

Run from the checkout: ``python sample_jobs/readings/make_readings.py``.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from curecast.clock import from_unix_h, parse_instant, to_local, unix_h, utc_now
from curecast.job.layout import Cover, Placing
from curecast.job.reader import read_job
from curecast.prospect.trace import trace_start
from curecast.sources.forecast_file import read_forecast
from curecast.sources.merge import merge

FOLDER = Path(__file__).parent
SAMPLES = FOLDER.parent
START = "2027-03-12 09:20"
#: Hours after the start at which somebody went to the slab.
VISITS = [4, 9, *range(22, 240, 12), *range(240, 1000, 24)]
SITE_K, THERMOMETER_K = -0.8, 0.4
PLACED_C = 12.0
#: The blanket of the story, from 15:15 on Friday to 12:30 on Monday. [h after the start]
BLANKET = Cover(0.35, 5.9, 74.2)


def main() -> None:
    """Write ``crane-base.csv``."""
    planned = read_job(SAMPLES / "crane-base.toml")
    job = replace(planned, covers=(BLANKET,), placing=Placing(temperature_c=PLACED_C))
    weather = merge(
        read_forecast(SAMPLES / "weather" / "crane-base-hourly.json"),
        read_forecast(SAMPLES / "weather" / "crane-base-grid.json"),
    )
    start = parse_instant(START, job.site.zone, utc_now())
    slab = trace_start(job, weather, unix_h(start), 1000)["hours"]
    noise = np.random.default_rng(12).normal(0.0, THERMOMETER_K, len(VISITS))
    lines = ["time,surface temp_c"]
    for hours, error in zip(VISITS, noise, strict=True):
        fading = SITE_K * (1.0 - np.exp(-hours / 24.0))
        value = slab[hours]["temperature_c"]["surface"] + fading + error
        at = to_local(from_unix_h(unix_h(start) + hours), job.site.zone)
        lines.append(f"{at.isoformat(timespec='minutes')},{value:.1f}")
    (FOLDER / "crane-base.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
