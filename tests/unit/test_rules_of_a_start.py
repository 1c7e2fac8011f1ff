"""The rules that judge a start, each on a start made for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from curecast.core.concrete.strength import StrengthCurve
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import Histories
from curecast.core.openings import Strengths, member_draws
from curecast.core.rules.cold import judge_frost, judge_ground, judge_uncovering, judge_warmth
from curecast.core.rules.day import judge_drying, judge_heat, judge_hours, judge_rain
from curecast.core.rules.finding import Finding, Start, overall
from curecast.core.rules.limits import AT_RISK, BROKEN, KEPT, limits_of

MEMBERS = 100
ORIGIN_H = 500_000.0
ACI = limits_of("ACI", 0.15)


def past(
    concrete_c: float = 10.0,
    *,
    hours: int = 240,
    night_c: float | None = None,
    spread_k: float = 0.0,
    finishing_h: float = 5.0,
    dries: float = 0.1,
) -> Histories:
    """Steady concrete, one cold night at 18 h, members spread evenly about it."""
    t = np.arange(hours + 1.0)
    offsets = np.concatenate([[0.0], spread_k * np.linspace(-1.0, 1.0, MEMBERS)])
    temp = np.full((len(t), 4, 1 + MEMBERS), concrete_c) + offsets
    if night_c is not None:
        temp[18] = night_c + offsets
    rate = np.clip(0.05 * temp, 0.0, None)
    te = np.concatenate([np.zeros((1, *temp.shape[1:])), np.cumsum(rate[1:], axis=0)])
    ttf = np.concatenate(
        [np.zeros((1, *temp.shape[1:])), np.cumsum(np.clip(temp[1:], 0.0, None), axis=0)]
    )
    each = np.ones(1 + MEMBERS)
    return Histories(
        t_h=t,
        temp_c=temp,
        te20_h=te,
        ttf_c_h=ttf,
        coldest_c=temp.min(axis=1),
        air_c=temp[:, 0],
        final_set_h=10.0 * each,
        finishing_h=finishing_h * each,
        evaporation_kg_m2_h=dries * each,
    )


def start(history: Histories, **other: object) -> Start:
    """A start at eight, two hours of placing, the crew's day ending ten hours later."""
    made = Start(
        start_h=ORIGIN_H - 1.0,
        origin_h=ORIGIN_H,
        placed_h=1.0,
        past=history,
        limits=ACI,
        ground_c=np.full(1 + MEMBERS, 6.0),
        placed_c=14.0,
        outside_c=np.full((300, 1 + MEMBERS), 8.0),
        outside_from_h=ORIGIN_H - 13.0,
        crew_until_h=ORIGIN_H + 9.0,
        dark_h=ORIGIN_H + 10.0,
        rain_from=ORIGIN_H + np.arange(-5.0, 48.0),
        rain_chance=np.zeros(53),
        rained_on=True,
        sheet=True,
        spells=(),
    )
    return replace(made, **other)  # type: ignore[arg-type]


def strengths() -> Strengths:
    """A bag's curve with a member's draw each."""
    return Strengths(StrengthCurve(27.6), np.concatenate([[0.0], member_draws(MEMBERS, 1)]))


@pytest.mark.parametrize(
    ("night_c", "verdict"),
    [(3.0, KEPT), (1.3, KEPT), (1.2, AT_RISK), (0.9, BROKEN), (0.0, BROKEN), (-3.0, BROKEN)],
)
def test_frost_counts_members_below_half_a_degree(night_c: float, verdict: str) -> None:
    frost = judge_frost(start(past(night_c=night_c, spread_k=0.85)), strengths())
    assert frost.finding.verdict == verdict
    assert frost.finding.at_h == ORIGIN_H + 18.0
    assert frost.likely_coldest_c == pytest.approx(night_c)
    assert frost.chance_freeze <= (frost.finding.chance or 0.0)


def test_frost_after_the_concrete_can_bear_it_is_no_frost() -> None:
    history = past(15.0, hours=239)
    late = history.temp_c.copy()
    late[200] = -5.0
    bent = replace(history, temp_c=late, coldest_c=late.min(axis=1))
    assert judge_frost(start(bent), strengths()).finding.verdict == KEPT


def test_frost_in_weak_concrete_counts_after_the_first_day() -> None:
    history = past(2.0)
    late = history.temp_c.copy()
    late[60] = -1.0
    bent = replace(history, temp_c=late, coldest_c=late.min(axis=1))
    assert judge_frost(start(bent), strengths()).finding.verdict == BROKEN


def test_the_first_day_counts_from_the_last_batch() -> None:
    """No freezing in the first 24 h is common practice: 32 °F."""
    history = past(25.0, hours=100)
    late = history.temp_c.copy()
    late[24] = -1.0
    bent = replace(history, temp_c=late, coldest_c=late.min(axis=1))
    assert judge_frost(start(bent, placed_h=1.0), strengths()).finding.verdict == BROKEN


def test_nan_is_broken_never_kept() -> None:
    history = past(10.0)
    nothing = np.full_like(history.coldest_c, np.nan)
    frost = judge_frost(start(replace(history, coldest_c=nothing)), strengths())
    assert frost.finding.verdict == BROKEN
    assert judge_ground(start(past(), ground_c=np.full(101, np.nan))).verdict == BROKEN
    assert judge_heat(start(past(), placed_c=float("nan"))).verdict == BROKEN


def test_warmth_is_advice_in_cold_air_only() -> None:
    cold = start(past(8.0), outside_c=np.full((300, 101), 3.0))
    found = judge_warmth(cold, safe_h=60.0)
    assert (found.verdict, found.advice) == (AT_RISK, True)
    assert judge_warmth(start(past(8.0)), safe_h=60.0).verdict == KEPT
    warm = start(past(13.5), outside_c=np.full((300, 101), 3.0))
    assert judge_warmth(warm, safe_h=60.0).verdict == KEPT


def test_strict_makes_warmth_decide() -> None:
    strict = limits_of("ACI", 0.15, strict=True)
    cold = start(past(8.0), outside_c=np.full((300, 101), 3.0), limits=strict)
    found = judge_warmth(cold, safe_h=60.0)
    assert (found.verdict, found.advice) == (BROKEN, False)


@pytest.mark.parametrize(("ground_c", "verdict"), [(1.5, KEPT), (1.0, BROKEN), (-2.0, BROKEN)])
def test_frozen_ground_is_refused(ground_c: float, verdict: str) -> None:
    assert judge_ground(start(past(), ground_c=np.full(101, ground_c))).verdict == verdict


def test_hours_end_with_the_crew_or_the_daylight() -> None:
    assert judge_hours(start(past(finishing_h=7.9))).verdict == KEPT
    assert judge_hours(start(past(finishing_h=8.1))).verdict == BROKEN
    dark = start(past(finishing_h=7.0), dark_h=ORIGIN_H + 7.5)
    assert judge_hours(dark).verdict == BROKEN
    never = judge_hours(start(past(finishing_h=float("nan"))))
    assert (never.verdict, never.value) == (BROKEN, None)


def test_rain_before_set_matters_in_the_open_only() -> None:
    wet = np.zeros(53)
    wet[8] = 0.6
    open_air = judge_rain(start(past(), rain_chance=wet, sheet=False))
    assert (open_air.verdict, open_air.at_h) == (BROKEN, ORIGIN_H + 3.0)
    assert judge_rain(start(past(), rain_chance=wet)).verdict == AT_RISK
    assert judge_rain(start(past(), rain_chance=wet, rained_on=False)).verdict == KEPT
    after_set = np.zeros(53)
    after_set[20] = 0.9
    assert judge_rain(start(past(), rain_chance=after_set)).verdict == KEPT


def test_drying_is_a_guide() -> None:
    assert judge_drying(start(past(dries=0.4))).verdict == KEPT
    fast = judge_drying(start(past(dries=1.2)))
    assert (fast.verdict, fast.advice) == (AT_RISK, True)


@pytest.mark.parametrize(("placed_c", "verdict"), [(20.0, KEPT), (32.0, AT_RISK), (35.0, BROKEN)])
def test_heat_as_placed(placed_c: float, verdict: str) -> None:
    assert judge_heat(start(past(), placed_c=placed_c)).verdict == verdict


def test_uncovering_warns_of_a_warm_face_in_cold_air() -> None:
    spells = (CoverSpell(0.35, 5.0, 72.0),)
    cold = np.full((300, 101), 0.0)
    found = judge_uncovering(start(past(12.0), spells=spells, outside_c=cold))
    assert (found.verdict, found.advice, found.at_h) == (AT_RISK, True, ORIGIN_H + 72.0)
    assert judge_uncovering(start(past(12.0), spells=spells)).verdict == KEPT
    assert judge_uncovering(start(past(12.0), outside_c=cold)).verdict == KEPT


def finding(verdict: str, *, advice: bool = False) -> Finding:
    return Finding("a rule", verdict, None, None, None, None, advice, "")


@pytest.mark.parametrize(
    ("findings", "protected", "verdict"),
    [
        ([finding(KEPT)], False, "pour"),
        ([finding(KEPT)], True, "pour-with-protection"),
        ([finding(KEPT), finding(AT_RISK)], False, "at-risk"),
        ([finding(KEPT), finding(BROKEN, advice=True)], True, "at-risk"),
        ([finding(BROKEN), finding(KEPT)], True, "do-not-pour"),
    ],
)
def test_a_start_is_its_worst_deciding_rule(
    findings: list[Finding], protected: bool, verdict: str
) -> None:
    assert overall(findings, protected=protected) == verdict


def test_a_job_can_only_be_judged_more_strictly() -> None:
    own = limits_of("ACI", 0.15, own={"freeze_limit_c": 3.0, "chance_kept": 0.01})
    cautious = start(past(night_c=2.5), limits=own)
    assert judge_frost(cautious, strengths()).finding.verdict == BROKEN
    assert judge_frost(start(past(night_c=2.5)), strengths()).finding.verdict == KEPT


def test_rule_sets_differ_in_frost_strength() -> None:
    found = [limits_of(name, 0.15).freeze_strength_mpa for name in ("ACI", "EN", "CSA")]
    assert found == [3.5, 5.0, 7.0]


def test_every_threshold_of_a_job_file_is_one_that_judges() -> None:
    from curecast.job.thresholds import THRESHOLDS

    own = {t.attr: t.usual("ACI", 0.15) for t in THRESHOLDS}
    assert limits_of("ACI", 0.15, own=own) == limits_of("ACI", 0.15)
