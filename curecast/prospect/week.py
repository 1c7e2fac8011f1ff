"""Which day this week: job and forecast become judged starts, best first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from curecast.clock import from_unix_h, local_hour, starts_in_week, to_local
from curecast.core.heat.sun import cos_zenith
from curecast.core.openings import Strengths, count_on_h, member_draws
from curecast.core.protection import measures
from curecast.core.rules.finding import Finding
from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT, limits_of
from curecast.core.starts import HORIZON_H, Candidate, Judged, Week, judge_starts
from curecast.core.weather.own_doubt import OwnDoubt
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.case import case_of, rules_of
from curecast.prospect.changes import Change, change_of, is_near_frost, only_frost
from curecast.prospect.cover_stay import Stay, cover_stays, with_stay
from curecast.prospect.lap import lap_length
from curecast.prospect.week_weather import week_members, week_rain

#: Ensemble members besides the run without error.
MEMBERS = 100
WEEK_H = 168.0
#: A forecast that is older serves nobody (ASSUMED). [h]
OLDEST_H = 24.0
#: Order of verdicts, best first.
VERDICTS = ("pour", "pour-with-protection", "at-risk", "do-not-pour")


@dataclass(frozen=True)
class WeekAnswer:
    """Every start of the coming week, in order of time, and the order of preference.

    ``ranked`` indexes ``starts``, best first; ``best`` is None where no start works. ``stays``
    says by index of a start how long its cover lies; ``shared`` is what all starts share,
    ``beside`` the other forecasts that are followed. ``changes`` says for the best start, and
    for the first that frost alone keeps from working, what would turn its answer.
    """

    job: Job
    forecast: Forecast
    now_h: float
    starts: list[Judged]
    ranked: list[int]
    best: int | None
    stays: dict[int, Stay] = field(default_factory=dict)
    shared: Week | None = None
    beside: tuple[Forecast, ...] = ()
    changes: dict[int, Change] = field(default_factory=dict)
    doubt: OwnDoubt = field(default_factory=OwnDoubt)


def seed_of(job: Job, forecast: Forecast) -> int:
    """A seed that stays the same for the same job and forecast."""
    words = f"{job.name}|{forecast.source}|{forecast.issued_h:.2f}".encode()
    return int(np.frombuffer(words.ljust(-(-len(words) // 4) * 4, b"."), dtype=np.uint32).sum())


def _sunset_h(job: Job, start_h: float) -> float | None:
    """End of daylight after a start, hours since 1970; None where the place is unknown."""
    latitude, longitude = job.site.latitude, job.site.longitude
    if latitude is None or longitude is None:
        return None
    at = start_h + np.arange(0.0, 24.0, 1.0 / 12.0)
    up = cos_zenith(at, latitude, longitude) > -0.0145
    if not up.any() or up.all():
        return None
    risen = int(np.argmax(up))
    down = np.flatnonzero(~up[risen:])
    return float(at[risen + down[0]]) if len(down) else None


def candidates(job: Job, now_h: float, until_h: float) -> list[Candidate]:
    """Every start on the hour that the job's crew could make.

    Parameters
    ----------
    job : Job
        As read.
    now_h, until_h : float
        From when to when, hours since 1970. [h]
    """
    crew = job.crew
    starts = starts_in_week(
        now_h, until_h, job.site.zone, crew.days, crew.from_h, max(crew.from_h, crew.to_h - 1.0)
    )
    return [_candidate(job, start) for start in starts]


def _candidate(job: Job, start_h: float) -> Candidate:
    clock = local_hour(from_unix_h(start_h), job.site.zone)
    return Candidate(start_h, start_h + job.crew.to_h - clock, _sunset_h(job, start_h))


def assess_week(
    job: Job,
    forecast: Forecast,
    now_h: float,
    told: Callable[[float], None] = lambda _: None,
    *,
    only_h: Sequence[float] | float | None = None,
    beside: Sequence[Forecast] = (),
    doubt: OwnDoubt | None = None,
) -> WeekAnswer:
    """Judge every start of the coming week.

    Parameters
    ----------
    job : Job
        As read.
    forecast : Forecast
        Newest known.
    now_h : float
        Now, hours since 1970. [h]
    told : callable
        Called with the share that is done, 0..1.
    only_h : float, sequence of float or None
        Starts to judge alone, hours since 1970. [h]
    beside : sequence of Forecast
        Other sources of the same place: all are followed, none for being the milder one.
    doubt : OwnDoubt or None
        What the place's own record says of its forecasts; None: as measured elsewhere.

    Returns
    -------
    WeekAnswer
        Empty ``starts`` where the crew works no hour of the week.
    """
    wanted = candidates(job, now_h, now_h + WEEK_H)
    if only_h is not None:
        alone = [float(only_h)] if isinstance(only_h, int | float) else sorted(only_h)
        wanted = [_candidate(job, start) for start in alone]
    if not wanted:
        return WeekAnswer(job, forecast, now_h, [], [], None)
    own = OwnDoubt() if doubt is None else doubt
    week = _week(job, forecast, beside, wanted[-1].start_h, own)
    bare = judge_starts(week, wanted, told)
    stays = cover_stays(week, bare, job.site.zone)
    judged = [
        _by_forecast(with_stay(one, stays.get(i)), forecast, now_h) for i, one in enumerate(bare)
    ]
    ranked = sorted(range(len(judged)), key=lambda i: preference(judged[i]))
    works = [i for i in ranked if judged[i].verdict != "do-not-pour"]
    best = works[0] if works else None
    turns = {} if only_h is not None else _changes(week, judged, ranked, best, job.site.zone)
    others = tuple(beside)
    return WeekAnswer(job, forecast, now_h, judged, ranked, best, stays, week, others, turns, own)


def _changes(
    week: Week, judged: list[Judged], ranked: list[int], best: int | None, zone: str | None
) -> dict[int, Change]:
    """For the best start, and the first day whose best start frost alone keeps from working."""
    tops: dict[object, int] = {}
    for i in ranked:
        tops.setdefault(to_local(from_unix_h(judged[i].candidate.start_h), zone).date(), i)
    frozen = sorted(i for i in tops.values() if only_frost(judged[i]))[:1]
    asked = [*([best] if best is not None and is_near_frost(judged[best]) else []), *frozen]
    return {i: change_of(week, judged[i]) for i in dict.fromkeys(asked)}


def _week(
    job: Job,
    forecast: Forecast,
    beside: Sequence[Forecast],
    last_start_h: float,
    doubt: OwnDoubt,
) -> Week:
    case = case_of(job)
    until = int(np.ceil(last_start_h + HORIZON_H + 48.0))
    seed = seed_of(job, forecast)
    draws = np.concatenate([[0.0], member_draws(MEMBERS, seed)])
    hours, chance = week_rain(forecast, beside)
    return Week(
        case=case,
        weather=week_members(job, forecast, beside, until, MEMBERS, seed, doubt),
        strengths=Strengths(
            case.curve, draws, case.top_factor, case.anchor_at_edge, case.moist_cure_h
        ),
        rules=rules_of(job),
        measures=measures(
            case.covers,
            cover_from_h=case.covered_from_h(10.0 if case.placed_c is None else case.placed_c),
            sheet=job.protection.sheet,
            blankets=job.protection.blankets,
            blanket_r_m2k_w=job.protection.blanket_r_m2k_w,
            heater=job.protection.heater,
            lap_text=lap_length(job),
        ),
        limits=limits_of(
            job.rules.set, case.thickness_m, strict=job.rules.strict, own=job.rules.thresholds
        ),
        rained_on=job.site.exposure == "open",
        sheet=job.protection.sheet,
        rain_from=hours,
        rain_chance=chance,
    )


def _by_forecast(judged: Judged, forecast: Forecast, now_h: float) -> Judged:
    """What the forecast itself lets be said: a start whose first night it does not reach, or
    that rests on one of more than a day ago, is at risk, whatever else is found."""
    end, needed = float(forecast.weather.end_h), judged.origin_h + 24.0
    age_h = max(now_h - forecast.issued_h, 0.0)
    reach = Finding(
        "forecast reach", KEPT if needed <= end else AT_RISK, None, end, end, needed, True,
        "a first night without a forecast is a guess",
    )  # fmt: skip
    age = Finding(
        "forecast age", KEPT if age_h <= OLDEST_H else AT_RISK, None, forecast.issued_h, age_h,
        OLDEST_H, True, "the error of a forecast grows with its age",
    )  # fmt: skip
    verdict = judged.verdict
    if AT_RISK in (reach.verdict, age.verdict) and verdict in ("pour", "pour-with-protection"):
        verdict = "at-risk"
    findings = [*judged.findings, reach, age]
    under = judged.under_frost_h
    known = under if under is not None and under <= end else None
    return replace(judged, findings=findings, verdict=verdict, under_frost_h=known)


def preference(judged: Judged) -> tuple[float, ...]:
    """Best first: verdict, what breaks, effort, frost, then the earliest full torque."""
    weight = {KEPT: 0, AT_RISK: 1, BROKEN: 2}
    deciding = sum(weight[f.verdict] for f in judged.findings if not f.advice)
    advice = sum(f.verdict != KEPT for f in judged.findings if f.advice)
    torque = count_on_h(judged.openings["full-torque"].at_h[1:])
    return (
        float(VERDICTS.index(judged.verdict)),
        float(deciding),
        float(advice),
        float(judged.measure.level),
        round(judged.frost.chance_freeze, 2),
        judged.origin_h + min(torque, 1e6),
    )
