"""Answers as JSON: what the core found, with instants, units in the keys, and no NaN."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Any

from curecast.clock import from_unix_h, to_local
from curecast.core.openings import count_on_h, likely_h
from curecast.core.starts import Judged
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.cover_cost import cover_cost
from curecast.prospect.cover_stay import Stay
from curecast.prospect.moved import Moved
from curecast.prospect.sentences import finding_sentence
from curecast.prospect.start_words import start_words
from curecast.prospect.week import WeekAnswer
from curecast.prospect.week_weather import spreads

#: What stands instead of a date beyond the horizon.
BEYOND = "not within 180 days"


def instant(job: Job, unix_h: float | None) -> datetime | None:
    """An instant with the job's own offset; None where it is unknown."""
    if unix_h is None or not math.isfinite(unix_h):
        return None
    return to_local(from_unix_h(unix_h), job.site.zone)


def date(job: Job, unix_h: float) -> datetime | str:
    """A date, or the words for one beyond the horizon."""
    found = instant(job, unix_h)
    return BEYOND if found is None else found


def forecast_answer(job: Job, forecast: Forecast, now_h: float, note: str) -> dict[str, Any]:
    """Where the weather comes from, how old it is and how far it reaches."""
    from curecast.sources.freshness import check_fresh

    stale, age = check_fresh(forecast, now_h)
    return {
        "source": forecast.source,
        "issued": instant(job, forecast.issued_h),
        "until": instant(job, float(forecast.weather.end_h)),
        "stale": stale,
        "note": "; ".join(part for part in (note, age) if part),
        "flags": list(forecast.flags),
        "attribution": list(forecast.credits),
    }


def beside_answer(week: WeekAnswer) -> list[dict[str, Any]]:
    """Every other forecast that is followed, and how far it lies from the first."""
    job = week.job
    return [
        {
            "source": other.source,
            "issued": instant(job, other.issued_h),
            "until": instant(job, float(other.weather.end_h)),
            "largest_difference_k": spread.largest_k,
            "largest_difference_at": instant(job, float(spread.at_h)),
            "mean_difference_k": spread.mean_k,
        }
        for other, spread in spreads(week.forecast, week.beside, week.now_h)
    ]


def moved_answer(job: Job, moved: Moved) -> dict[str, Any]:
    """What the forecast before said of the best start of each day."""
    best = moved.best_was
    return {
        "since": instant(job, moved.issued_h),
        "best_was": None if best is None else instant(job, best.candidate.start_h),
        "starts": [
            {
                "start": instant(job, now.candidate.start_h),
                "verdict_was": was.verdict,
                "verdict": now.verdict,
                "chance_freeze_was": was.frost.chance_freeze,
                "likely_coldest_was_c": was.frost.likely_coldest_c,
            }
            for was, now in moved.pairs
        ],
    }


def start_answer(job: Job, judged: Judged, stay: Stay | None = None) -> dict[str, Any]:
    """One start of ``best-day``; ``stay``: how long its cover lies."""
    frost = judged.frost
    cost = cover_cost(job, judged, stay)
    finished = judged.origin_h + judged.finishing_h + 1.0
    return {
        "start": instant(job, judged.candidate.start_h),
        "finished": instant(job, finished),
        "verdict": judged.verdict,
        "protection": list(judged.measure.steps),
        "chance_freeze": frost.chance_freeze,
        "coldest_c": frost.coldest_c,
        "likely_coldest_c": frost.likely_coldest_c,
        "coldest_at": instant(job, frost.coldest_at_h),
        "placed_c": judged.placed_c,
        "rules": [
            {
                "rule": f.rule,
                "verdict": f.verdict,
                "chance": f.chance,
                "at": instant(job, f.at_h),
                "why": finding_sentence(job, judged, f),
                "source": f.source,
            }
            for f in judged.findings
        ],
        "holds": {
            name: {
                "likely": date(job, judged.origin_h + likely_h(opening.at_h[1:])),
                "count_on": date(job, judged.origin_h + count_on_h(opening.at_h[1:])),
                "closes": None
                if opening.closes_h is None
                else instant(job, judged.origin_h + float(sorted(opening.closes_h[1:])[10])),
            }
            for name, opening in judged.openings.items()
        },
        "frost_under_slab_at": instant(job, judged.under_frost_h),
        "would_work": None if judged.would_work is None else judged.would_work.name,
        "verdict_words": start_words(judged),
        "cover_on_at": None if stay is None else instant(job, stay.on_h),
        "cover_off_at": None if stay is None else instant(job, stay.off_h),
        "fall_after_cover_k": None if stay is None else stay.fall_k,
        "cost": None if cost is None else cost.total,
        "currency": job.protection.currency or None,
    }
