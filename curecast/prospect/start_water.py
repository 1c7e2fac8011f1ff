"""How hot the mixing water must be for one start, its bags as cold as the day before makes them."""

from __future__ import annotations

import numpy as np

from curecast.core.starts import Judged
from curecast.prospect.warm_water import mix_water, target_of
from curecast.prospect.water_lines import heater_lines, water_sentence
from curecast.prospect.week import WeekAnswer


def best_water_lines(answer: WeekAnswer) -> list[str]:
    """Water for the best start of a week; nothing where none works or none has to be warm."""
    return start_water_lines(answer, None if answer.best is None else answer.starts[answer.best])


def start_water_lines(answer: WeekAnswer, judged: Judged | None) -> list[str]:
    """Water for one start, bags and tools as cold as the day before makes them."""
    if judged is None or not judged.measure.warm_mix:
        return []
    job, weather = answer.job, answer.forecast.weather
    first = int(judged.candidate.start_h) - weather.start_h
    day = np.asarray(weather.air_c)[max(0, first - 24) : max(1, first)]
    if not len(day) or not np.isfinite(day).any():
        return []
    air = float(np.nanmean(day)) + job.site.air_offset_k
    bags = job.placing.material_temperature_c
    target = max(target_of(job), judged.placed_c)  # what the start was judged with
    found = mix_water(job, air if bags is None else bags, air, target)
    if found is None or found.wanted.cold_c >= found.wanted.target_c:
        return []
    return [water_sentence(job, found), *heater_lines(job, found)]
