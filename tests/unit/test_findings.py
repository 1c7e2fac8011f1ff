"""What is news about a slab or a chosen day, and what is not; keys that stay."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from curecast.alerts.findings import KINDS, Finding, Said, day_findings, slab_findings
from curecast.alerts.findings.cold import frost_safe_h
from curecast.alerts.findings.kinds import BarredTogether, DateMoved, FreezeAhead, ReadingWanted
from curecast.alerts.findings.kinds_ahead import CoverMayGo, RainAhead
from curecast.alerts.routing import due_at, keeps_quiet, unknown_words, wants
from curecast.clock import from_unix_h, iso, to_local, unix_h
from curecast.core.heat.covers import CoverSpell
from curecast.core.protection import Measure
from curecast.core.rules.cold import Frost
from curecast.core.rules.finding import Finding as RuleFinding
from curecast.core.starts import Candidate, Judged
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.job.layout import AlertTo, Job
from curecast.job.reader import parse_job
from curecast.prospect.record import Record, Seen, Signed
from curecast.prospect.slab import assess_slab
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.prospect.week import WeekAnswer
from curecast.store.rows import HoldChange

TEXT = """
curecast = 1
name = "crane-base"
units = "si"
[site]
place = "44.10, -69.11"
zone = "America/New_York"
[slab]
length = "2.4 m"
width = "2.4 m"
thickness = "200 mm"
"""
START = datetime(2027, 4, 6, 13, tzinfo=UTC)  # 09:00 EDT
START_H = unix_h(START)
AGE_H = 10.0


def forecast(air_c: float) -> Forecast:
    hours = 156
    unknown = np.full(hours, np.nan)
    span = np.ones(hours, dtype=np.int8)
    air = np.full(hours, air_c)
    dew, wind, cloud = air - 4.0, np.full(hours, 3.0), np.full(hours, 0.8)
    weather = HourlyWeather(int(START_H) - 2, air, dew, wind, cloud, unknown, unknown, span)
    return Forecast("a service", START_H - 2.0, START_H - 2.0, weather)


@pytest.fixture(scope="module")
def job() -> Job:
    return parse_job(TEXT)


@pytest.fixture(scope="module")
def slab(job: Job) -> SlabAnswer:
    """A slab of 10 h in steady 10 °C, read twice, and slowed: frost-safe after two nights."""
    seen = tuple(Seen(START_H + h, 15.0, "surface") for h in (4.0, 9.0))
    record = Record(start_h=START_H, seen=seen)
    answer = assess_slab(job, record, (forecast(10.0),), START_H + AGE_H)
    past = answer.past
    slow = replace(past, te20_h=0.6 * past.te20_h, ttf_c_h=0.6 * past.ttf_c_h)
    answer = replace(answer, past=slow)
    assert 40.0 < frost_safe_h(answer) < AGE_H + 72.0
    return answer


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def change(
    hold: str, old: str, new: str, hours: float = AGE_H, id: str = "c1", **inputs: object
) -> HoldChange:
    return HoldChange(id, "p1", hold, old, new, dict(inputs), "0", "a reason", at(hours), at(hours))


def with_hold(slab: SlabAnswer, name: str, **fields: object) -> SlabAnswer:
    stands: HoldAnswer = replace(slab.holds[name], **fields)  # type: ignore[arg-type]
    return replace(slab, holds={**slab.holds, name: stands})


def found(
    slab: SlabAnswer, *changes: HoldChange, said: tuple[Said, ...] = (), kind: str | None = None
) -> list[Finding]:
    every = slab_findings(slab, "p1", changes, said)
    return [one for one in every if kind is None or one.kind == kind]


# -- states ------------------------------------------------------------------------------------


@pytest.mark.parametrize("state", ["released", "signed-off", "withdrawn", "barred"])
def test_a_change_is_told_under_its_own_key(slab: SlabAnswer, state: str) -> None:
    now = with_hold(slab, "drill", state=state)
    old = "released" if state != "released" else "unproven"
    (one,) = found(now, change("drill", old, state, id="c7"), kind=state)
    assert one.key == f"crane-base/p1/{state}/drill/c7"
    assert one.hold == "drill"
    assert one.can_wait == (state in ("released", "signed-off"))
    assert one.at_h == START_H + AGE_H
    assert one.last == slab.record.seen[-1]


def test_only_the_last_change_counts_and_only_while_it_stands(slab: SlabAnswer) -> None:
    changes = (
        change("drill", "unproven", "released", 3.0, "c1"),
        change("drill", "released", "withdrawn", 6.0, "c2"),
    )
    withdrawn = with_hold(slab, "drill", state="withdrawn")
    assert [one.key for one in found(withdrawn, *changes) if one.hold == "drill"] == [
        "crane-base/p1/withdrawn/drill/c2"
    ]
    assert found(with_hold(slab, "drill", state="released"), *changes, kind="withdrawn") == []
    assert found(with_hold(slab, "drill", state="released"), *changes, kind="released") == []


def test_a_change_from_a_clock_that_ran_ahead_is_not_told(slab: SlabAnswer) -> None:
    now = with_hold(slab, "drill", state="released")
    later = change("drill", "unproven", "released", AGE_H + 1.0)
    assert found(now, later, kind="released") == []


def test_a_person_is_named_only_for_what_the_person_did(slab: SlabAnswer) -> None:
    signed = Signed(START_H + 5.0, "drill", "Bo", "a crack", withdrawn=True)
    by_hand = replace(
        with_hold(slab, "drill", state="withdrawn"), record=replace(slab.record, signed=(signed,))
    )
    (one,) = found(by_hand, change("drill", "released", "withdrawn"), kind="withdrawn")
    assert one.by == "Bo"  # type: ignore[attr-defined]
    still_signed = replace(signed, withdrawn=False)
    by_evidence = replace(by_hand, record=replace(slab.record, signed=(still_signed,)))
    (one,) = found(by_evidence, change("drill", "released", "withdrawn"), kind="withdrawn")
    assert one.by == ""  # type: ignore[attr-defined]


def test_bars_on_holds_that_were_not_open_come_together(slab: SlabAnswer) -> None:
    now = slab
    for name in ("walk", "drill", "full-torque"):
        now = with_hold(now, name, state="barred")
    changes = (
        change("full-torque", "projected", "barred", id="c3"),
        change("drill", "projected", "barred", id="c2"),
        change("walk", "released", "barred", id="c4"),
    )
    one, both = sorted(found(now, *changes, kind="barred"), key=lambda f: f.hold or "~")
    assert one.key == "crane-base/p1/barred/walk/c4"
    assert isinstance(both, BarredTogether)
    assert both.key == "crane-base/p1/barred/-/c2"
    assert both.holds == ("drill", "full-torque")


def test_a_withdrawal_comes_first(slab: SlabAnswer) -> None:
    now = with_hold(with_hold(slab, "walk", state="released"), "drill", state="withdrawn")
    kinds = [
        one.kind
        for one in found(
            freezing(now, 60),
            change("walk", "unproven", "released"),
            change("drill", "released", "withdrawn"),
        )
    ]
    assert kinds[0] == "withdrawn"
    assert kinds == sorted(kinds, key=KINDS.index)
    assert {"freeze", "released"} <= set(kinds)


# -- dates -------------------------------------------------------------------------------------


def projected(slab: SlabAnswer, on_h: float) -> SlabAnswer:
    return with_hold(slab, "drill", state="projected", count_on_h=on_h)


def recorded(on_h: float) -> HoldChange:
    when = None if math.isinf(on_h) else iso(from_unix_h(on_h))
    return change("drill", "not-poured", "projected", 1.0, count_on=when)


@pytest.mark.parametrize("to_go_h", [100.0, 240.0, 390.0])
@pytest.mark.parametrize("by", [-1.02, -0.98, 0.98, 1.02])
def test_a_date_that_moved_by_a_day_and_a_tenth_of_the_way_is_told(
    slab: SlabAnswer, by: float, to_go_h: float
) -> None:
    on_h = START_H + AGE_H + to_go_h
    by_h = by * max(24.0, 0.1 * to_go_h)
    moves = found(projected(slab, on_h + by_h), recorded(on_h), kind="moved")
    assert len(moves) == (abs(by) > 1.0)


def test_a_move_is_said_once_and_the_way_back_again(slab: SlabAnswer) -> None:
    first_h = START_H + 400.0
    there = projected(slab, first_h + 48.0)
    (move,) = found(there, recorded(first_h), kind="moved")
    assert move.key == "crane-base/p1/moved/drill/1.2027-04-25T05Z"
    said = (Said(move.key, START_H + AGE_H),)
    assert found(there, recorded(first_h), said=said, kind="moved") == []
    (back,) = found(projected(slab, first_h), recorded(first_h), said=said, kind="moved")
    assert back.key == "crane-base/p1/moved/drill/2.2027-04-23T05Z"
    assert isinstance(back, DateMoved)
    assert back.was_h == pytest.approx(first_h + 48.0, abs=1.0)


@pytest.mark.parametrize(("was", "now"), [(math.inf, 400.0), (400.0, math.inf)])
def test_a_date_that_comes_or_goes_is_told(slab: SlabAnswer, was: float, now: float) -> None:
    here = projected(slab, START_H + now)
    (move,) = found(here, recorded(START_H + was), kind="moved")
    assert move.key.endswith("/1.beyond" if math.isinf(now) else "/1.2027-04-23T05Z")
    said = (Said(move.key, START_H + AGE_H),)
    assert found(here, recorded(START_H + was), said=said, kind="moved") == []


def test_a_hold_that_is_open_has_no_date_to_move(slab: SlabAnswer) -> None:
    here = with_hold(slab, "drill", state="released", count_on_h=START_H + 500.0)
    assert found(here, recorded(START_H + 400.0), kind="moved") == []
    here = with_hold(slab, "snug", state="projected", count_on_h=START_H + 500.0)
    snug = replace(recorded(START_H + 400.0), hold="snug")
    assert found(here, snug, kind="moved") == []


# -- readings ----------------------------------------------------------------------------------


def at_age(slab: SlabAnswer, age_h: float, **evidence: object) -> SlabAnswer:
    known = replace(slab.evidence, **evidence)  # type: ignore[arg-type]
    return replace(slab, now_h=slab.origin_h + age_h, evidence=known)


def test_a_reading_is_asked_for_before_the_last_one_lapses(slab: SlabAnswer) -> None:
    last_h, by_h = 20.0, 32.0
    early = at_age(slab, by_h - 12.1, last_reading_h=last_h, next_by_h=by_h)
    assert found(early, kind="reading") == []
    soon = at_age(slab, by_h - 11.9, last_reading_h=last_h, next_by_h=by_h)
    (ask,) = found(soon, kind="reading")
    assert isinstance(ask, ReadingWanted)
    assert ask.by_h == pytest.approx(slab.origin_h + by_h)
    assert "full-torque" in ask.holds
    assert "strip" not in ask.holds
    later = at_age(slab, by_h - 1.0, last_reading_h=last_h, next_by_h=by_h)
    assert [one.key for one in found(later, kind="reading")] == [ask.key]


def test_a_lapse_is_told_once_more(slab: SlabAnswer) -> None:
    unvouched = np.zeros_like(slab.evidence.vouched)
    for age_h in (33.0, 50.0):
        lapsed = at_age(slab, age_h, last_reading_h=20.0, next_by_h=32.0, vouched=unvouched)
        (ask,) = found(lapsed, kind="reading")
        hour = from_unix_h(slab.origin_h + 20.0)
        assert ask.key == f"crane-base/p1/reading/-/lapsed-after-{hour:%Y-%m-%dT%H:%MZ}"


def test_hours_of_a_corrected_station_need_no_reading(slab: SlabAnswer) -> None:
    vouched = np.ones_like(slab.evidence.vouched)
    by_station = at_age(slab, 40.0, last_reading_h=20.0, next_by_h=32.0, vouched=vouched)
    assert found(by_station, kind="reading") == []


def test_the_first_reading_is_asked_for_after_the_last_batch(slab: SlabAnswer) -> None:
    nothing = {"last_reading_h": None, "next_by_h": None, "vouched": slab.evidence.vouched & False}
    assert found(at_age(slab, slab.placed_h - 0.1, **nothing), kind="reading") == []
    (ask,) = found(at_age(slab, slab.placed_h + 0.1, **nothing), kind="reading")
    assert ask.key == "crane-base/p1/reading/-/soon-after-none"
    (ask,) = found(at_age(slab, slab.placed_h + 12.1, **nothing), kind="reading")
    assert ask.key == "crane-base/p1/reading/-/lapsed-after-none"


def test_no_reading_is_asked_for_when_no_hold_waits(slab: SlabAnswer) -> None:
    done = replace(slab, holds={n: replace(h, state="released") for n, h in slab.holds.items()})
    lapsed = at_age(done, 50.0, last_reading_h=20.0, next_by_h=32.0)
    assert found(lapsed, kind="reading") == []


# -- cold --------------------------------------------------------------------------------------


def freezing(
    slab: SlabAnswer, members: int, *, after_h: float = 8.0, air_only: bool = False
) -> SlabAnswer:
    """The slab with so many of its hundred members at 0 °C from some hours ahead on."""
    late = slab.past.t_h >= slab.age_h + after_h
    coldest, air = slab.past.coldest_c.copy(), slab.past.air_c.copy()
    columns = slice(1, 1 + members)
    air[late, columns] = 0.0
    if not air_only:
        coldest[late, columns] = 0.0
    return replace(slab, past=replace(slab.past, coldest_c=coldest, air_c=air))


def test_nothing_is_said_while_no_frost_is_likely(slab: SlabAnswer) -> None:
    assert found(slab, kind="freeze") == []
    assert found(freezing(slab, 9), kind="freeze") == []


def test_a_freeze_is_told_from_one_chance_in_ten(slab: SlabAnswer) -> None:
    (one,) = found(freezing(slab, 10), kind="freeze")
    assert isinstance(one, FreezeAhead)
    assert one.of == "concrete"
    assert one.chance == pytest.approx(0.10)
    assert not one.can_wait
    assert not one.covered
    first = slab.past.t_h[slab.past.t_h >= slab.age_h + 8.0][0]
    assert one.when_h == math.floor(slab.origin_h + first)
    assert one.cover_by_h == math.floor(slab.origin_h + first - 2.0)
    assert one.key == "crane-base/p1/freeze/-/concrete-2027-04-06"


def test_midnight_does_not_make_two_nights(slab: SlabAnswer) -> None:
    keys = {found(freezing(slab, 20, after_h=h), kind="freeze")[0].key for h in (2.0, 8.0, 14.0)}
    assert len(keys) == 1
    later = found(freezing(slab, 20, after_h=27.0), kind="freeze")[0].key
    assert later not in keys


def test_a_freeze_that_got_likely_is_told_again(slab: SlabAnswer) -> None:
    keys = [found(freezing(slab, n), kind="freeze")[0].key for n in (20, 40, 60)]
    assert keys[0] == keys[1] != keys[2]


def test_frosty_air_over_young_concrete_is_told(slab: SlabAnswer) -> None:
    (one,) = found(freezing(slab, 30, air_only=True), kind="freeze")
    assert isinstance(one, FreezeAhead)
    assert (one.of, one.chance, one.chance_concrete) == ("air", pytest.approx(0.3), 0.0)
    assert one.key == "crane-base/p1/freeze/-/air-2027-04-06"


def test_a_cover_that_lies_by_then_is_known(slab: SlabAnswer) -> None:
    spell = CoverSpell(0.35, slab.age_h + 2.0, slab.age_h + 40.0)
    (one,) = found(replace(freezing(slab, 30), spells=(spell,)), kind="freeze")
    assert isinstance(one, FreezeAhead)
    assert one.covered


def test_frost_on_ripe_concrete_is_no_news(slab: SlabAnswer) -> None:
    ripe = replace(slab, now_h=slab.origin_h + frost_safe_h(slab) + 1.0)
    assert found(freezing(ripe, 100, after_h=0.5), kind="freeze") == []


def read(slab: SlabAnswer, value_c: float, where: str = "inside", ago_h: float = 1.0) -> SlabAnswer:
    seen = (Seen(slab.now_h - ago_h, value_c, where),)
    return replace(slab, record=replace(slab.record, seen=seen))


def in_cold_air(slab: SlabAnswer) -> SlabAnswer:
    return replace(slab, weather=replace(slab.weather, air_c=slab.weather.air_c - 7.0))


def test_a_reading_below_the_rule_in_cold_weather_is_told(slab: SlabAnswer) -> None:
    cold = in_cold_air(slab)
    (one,) = found(read(cold, 12.9), kind="failing")
    assert one.key == "crane-base/p1/failing/-/low-2027-04-06"
    assert one.can_wait
    (one,) = found(read(cold, 0.0), kind="failing")
    assert one.key == "crane-base/p1/failing/-/near-frost-2027-04-06"
    assert not one.can_wait


def test_a_reading_that_is_no_failing_is_not_told(slab: SlabAnswer) -> None:
    cold = in_cold_air(slab)
    assert found(read(cold, 13.0), kind="failing") == []
    assert found(read(slab, 9.0), kind="failing") == []  # the air stays mild
    assert found(read(cold, 9.0, where="air"), kind="failing") == []
    older = replace(cold, now_h=cold.origin_h + 30.0)
    assert len(found(read(older, 9.0, ago_h=23.0), kind="failing")) == 1
    assert found(read(older, 9.0, ago_h=25.0), kind="failing") == []
    ripe = replace(cold, now_h=cold.origin_h + frost_safe_h(cold) + 5.0)
    assert found(read(ripe, 9.0), kind="failing") == []


# -- before the pour ---------------------------------------------------------------------------


def judged(start_h: float, verdict: str) -> Judged:
    freeze = RuleFinding("freeze", "kept", 0.0, start_h + 20.0, 4.0, 0.5, False, "ACI 306R")
    frost = Frost(freeze, 0.02, 3.0, start_h + 20.0, 4.0, start_h + 60.0)
    return Judged(
        candidate=Candidate(start_h, start_h + 8.0, None),
        origin_h=start_h + 1.0,
        measure=Measure("none", 0, (), ()),
        verdict=verdict,
        frost=frost,
        findings=[freeze],
        placed_c=12.0,
        final_set_h=9.0,
        finishing_h=5.0,
        openings={},
        would_work=None,
    )


def week(job: Job, *starts: Judged, best: int | None = None) -> WeekAnswer:
    return WeekAnswer(job, forecast(8.0), START_H - 40.0, list(starts), [], best)


def keys(news: list[Finding]) -> list[str]:
    return [one.key for one in news]


def test_a_chosen_day_that_keeps_its_verdict_is_no_news(job: Job) -> None:
    chosen = judged(START_H, "at-risk")
    assert day_findings(week(job, chosen, best=0), chosen, "at-risk", "p1") == []
    # Better than when it was chosen, and nobody was told worse: no news either.
    assert day_findings(week(job, chosen, best=0), chosen, "do-not-pour", "p1") == []


def test_a_chosen_day_that_got_worse_is_told_once_and_then_taken_back(job: Job) -> None:
    bad, good = judged(START_H, "do-not-pour"), judged(START_H, "pour")
    (worse,) = day_findings(week(job, bad), bad, "pour", "p1")
    assert worse.key == "crane-base/p1/day-worse/-/2027-04-06T13Z.1.do-not-pour"
    assert worse.can_wait  # the pour is more than a day ahead
    said = [Said(worse.key, 0.0)]
    assert day_findings(week(job, bad), bad, "pour", "p1", said) == []
    (again,) = day_findings(week(job, good, best=0), good, "pour", "p1", said)
    assert again.key == "crane-base/p1/day-restored/-/2027-04-06T13Z.2.pour"
    said.append(Said(again.key, 1.0))
    (third,) = day_findings(week(job, bad), bad, "pour", "p1", said)
    assert third.key == "crane-base/p1/day-worse/-/2027-04-06T13Z.3.do-not-pour"


def test_news_of_another_chosen_start_does_not_count(job: Job) -> None:
    bad = judged(START_H, "do-not-pour")
    said = [Said("crane-base/p1/day-worse/-/2027-04-07T13Z.1.do-not-pour", 0.0)]
    assert len(day_findings(week(job, bad), bad, "pour", "p1", said)) == 1


def test_a_worse_verdict_shortly_before_the_pour_does_not_wait(job: Job) -> None:
    bad = judged(START_H, "at-risk")
    soon = replace(week(job, bad), now_h=START_H - 11.0)
    assert not day_findings(soon, bad, "pour", "p1")[0].can_wait


def test_a_better_day_is_told_by_its_day(job: Job) -> None:
    chosen = judged(START_H, "at-risk")
    same, morning, noon = (
        judged(START_H + h, v) for h, v in ((24.0, "at-risk"), (48.0, "pour"), (51.0, "pour"))
    )
    assert day_findings(week(job, chosen, same, best=1), chosen, "at-risk", "p1") == []
    first = day_findings(week(job, chosen, morning, best=1), chosen, "at-risk", "p1")
    assert keys(first) == ["crane-base/p1/day-better/-/2027-04-06T13Z.2027-04-08.pour"]
    second = day_findings(week(job, chosen, noon, best=1), chosen, "at-risk", "p1")
    assert keys(second) == keys(first)


# -- who is told, and when ---------------------------------------------------------------------


def a_finding(kind: str, hold: str | None = None, *, can_wait: bool = True) -> Finding:
    return Finding(key="k", kind=kind, job="j", hold=hold, at_h=0.0, now_h=0.0, can_wait=can_wait)


def test_an_address_gets_what_it_asked_for() -> None:
    torque = AlertTo("desktop:", what=("full-torque", "frost"))
    assert wants(torque, a_finding("released", "full-torque"))
    assert wants(torque, a_finding("freeze"))
    assert not wants(torque, a_finding("released", "walk"))
    assert not wants(torque, a_finding("reading"))
    assert wants(AlertTo("desktop:", what=("day",)), a_finding("day-worse"))
    assert wants(AlertTo("desktop:"), a_finding("moved", "walk"))


@pytest.mark.parametrize("kind", ["withdrawn", "barred"])
def test_what_takes_a_permission_back_goes_to_everyone(kind: str) -> None:
    assert wants(AlertTo("desktop:", what=("reading",)), a_finding(kind, "walk"))


def test_a_word_that_is_no_kind_does_not_silence_an_address() -> None:
    slip = AlertTo("desktop:", what=("relaesed",))
    assert unknown_words(slip) == ["relaesed"]
    assert wants(slip, a_finding("released", "walk"))
    assert unknown_words(AlertTo("desktop:", what=(*KINDS, "frost", "drill"))) == []


def test_quiet_hours_hold_back_what_can_wait() -> None:
    quiet = AlertTo("desktop:", quiet="21:00-06:00")
    zone = "America/New_York"
    night, noon = datetime(2027, 4, 7, 3, tzinfo=UTC), datetime(2027, 4, 7, 16, tzinfo=UTC)
    morning = datetime(2027, 4, 7, 10, tzinfo=UTC)  # 06:00 EDT
    assert due_at(quiet, a_finding("released"), night, zone) == morning
    assert due_at(quiet, a_finding("freeze", can_wait=False), night, zone) == night
    assert due_at(quiet, a_finding("released"), noon, zone) == noon
    assert due_at(AlertTo("desktop:"), a_finding("released"), night, zone) == night


def test_quiet_hours_end_after_a_clock_change() -> None:
    quiet = AlertTo("desktop:", quiet="21:00-06:00")
    zone = "America/New_York"
    for evening in (datetime(2027, 3, 14, 3, tzinfo=UTC), datetime(2027, 11, 7, 2, tzinfo=UTC)):
        due = due_at(quiet, a_finding("released"), evening, zone)
        assert 6 <= due.astimezone(UTC).hour - (4 if evening.month == 3 else 5) <= 7


@pytest.mark.parametrize("night", [datetime(2027, 3, 14, 3, tzinfo=UTC),
                                   datetime(2027, 11, 7, 3, tzinfo=UTC)])  # fmt: skip
def test_quiet_hours_end_by_the_clock_on_nights_that_change_it(night: datetime) -> None:
    zone = "America/New_York"
    quiet = AlertTo("desktop:", quiet="21:00-06:00")
    due = to_local(due_at(quiet, a_finding("released", "walk"), night, zone), zone)
    assert due.date() == night.date()
    assert 6 <= due.hour <= 7
    daily = AlertTo("desktop:", daily=7.0)
    due = to_local(due_at(daily, a_finding("moved", "walk"), night, zone), zone)
    assert 6 <= due.hour <= 8
    assert due_at(daily, a_finding("released", "walk"), night, zone) == night


def test_what_was_told_to_keep_quiet_does_and_danger_does_not() -> None:
    walk, whole = frozenset({"walk"}), frozenset({None})
    assert keeps_quiet(walk, a_finding("moved", "walk"))
    assert not keeps_quiet(walk, a_finding("moved", "drill"))
    assert keeps_quiet(whole, a_finding("moved", "drill"))
    assert not keeps_quiet(whole, a_finding("withdrawn", "drill"))
    assert not keeps_quiet(whole, a_finding("freeze", can_wait=False))


# -- sky and next steps ------------------------------------------------------------------------


def wet(slab: SlabAnswer, chance: float, at_h: float, exposure: str = "open") -> SlabAnswer:
    weather = slab.weather
    chances = np.zeros(len(weather))
    chances[int(slab.now_h + at_h) - weather.start_h] = chance
    site = replace(slab.job.site, exposure=exposure)
    return replace(
        slab, job=replace(slab.job, site=site), weather=replace(weather, chance_rain=chances)
    )


def soft(slab: SlabAnswer) -> SlabAnswer:
    past = slab.past
    return replace(slab, past=replace(past, final_set_h=np.full_like(past.final_set_h, 20.0)))


def test_rain_before_final_set_is_told_and_no_other(slab: SlabAnswer) -> None:
    (rain,) = found(wet(soft(slab), 0.4, 3.0), kind="rain")
    assert isinstance(rain, RainAhead)
    assert not rain.can_wait
    assert rain.set_h == pytest.approx(slab.origin_h + 20.0)
    assert found(wet(soft(slab), 0.2, 3.0), kind="rain") == []
    assert found(wet(soft(slab), 0.9, 30.0), kind="rain") == []
    assert found(wet(soft(slab), 0.9, 3.0, "shed"), kind="rain") == []
    assert found(wet(slab, 0.9, 3.0), kind="rain") == []  # it has set


def test_weather_that_is_lost_is_told_once_for_each_last_forecast(slab: SlabAnswer) -> None:
    def lost(newest: Forecast) -> list[Finding]:
        news = slab_findings(slab, "p1", (), newest=newest)
        return [f for f in news if f.kind == "weather-lost"]

    newest = forecast(10.0)
    assert lost(newest) == []
    old = replace(newest, issued_h=slab.now_h - 24.5)
    (first,), (again,) = lost(old), lost(old)
    assert first.key == again.key
    assert "full-torque" in first.waiting  # type: ignore[attr-defined]


def test_a_cover_that_lies_may_come_off_once_protection_may_end(slab: SlabAnswer) -> None:
    ended = change("end-protection", "projected", "released")
    open_now = with_hold(slab, "end-protection", state="released")
    assert found(open_now, ended, kind="uncover") == []
    covered = replace(open_now, spells=(CoverSpell(0.5, 1.0, 90.0),))
    (news,) = found(covered, ended, kind="uncover")
    assert isinstance(news, CoverMayGo)
    assert news.drop_k == pytest.approx(28.0)  # ACI 306R, up to 300 mm: 50 °F in 24 h
    waiting = with_hold(covered, "end-protection", state="projected")
    assert found(waiting, ended, kind="uncover") == []


def test_a_test_is_due_where_half_have_it_and_nine_of_ten_are_far_off(slab: SlabAnswer) -> None:
    now_h = slab.now_h
    due = with_hold(slab, "drill", state="projected", likely_h=now_h - 1.0, age_met=True,
                    count_on_h=now_h + 100.0)  # fmt: skip
    (news,) = found(due, kind="test-due")
    assert news.holds == ("drill",)  # type: ignore[attr-defined]
    near = with_hold(due, "drill", count_on_h=now_h + 50.0)
    assert found(near, kind="test-due") == []
    assert found(with_hold(due, "drill", likely_h=now_h + 1.0), kind="test-due") == []
    assert found(with_hold(due, "drill", state="released"), kind="test-due") == []


def test_a_bar_that_is_lifted_is_told_and_is_no_permission(slab: SlabAnswer) -> None:
    lifted = change("walk", "barred", "projected")
    (news,) = found(with_hold(slab, "walk", state="projected"), lifted, kind="lifted")
    assert news.hold == "walk"
    freed = change("walk", "barred", "released")
    assert found(with_hold(slab, "walk", state="released"), freed, kind="lifted") == []
