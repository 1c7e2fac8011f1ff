"""Every message, word for word."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from curecast.alerts.findings.kinds import (
    BarredTogether,
    BetterDay,
    DateMoved,
    DayChanged,
    Finding,
    FreezeAhead,
    HoldChanged,
    ProtectionFailing,
    ReadingWanted,
    Source,
)
from curecast.alerts.findings.kinds_ahead import (
    BarLifted,
    CoverMayGo,
    RainAhead,
    TestDue,
    WeatherLost,
)
from curecast.alerts.wording import Words, word
from curecast.clock import unix_h
from curecast.core.holdpoints import hold_rules
from curecast.job.reader import parse_job
from curecast.prospect.record import Seen
from curecast.prospect.standing import HoldAnswer

JOB = parse_job(
    """
curecast = 1
name = "crane-base"
units = "si"
[site]
zone = "America/New_York"
[slab]
length = "2.4 m"
width = "2.4 m"
thickness = "200 mm"
"""
)
US = replace(JOB, units="us")
NOW_H = unix_h(datetime(2027, 4, 6, 18, tzinfo=UTC))
DAY_H = 24.0
SEEN = Seen(NOW_H - 6.0, 9.5, "surface")
RULES = hold_rules(maker_strength_mpa=24.0)
SOURCE = Source("a service", NOW_H - 3.0)

WHO = (
    "Who decides: the makers' manuals, local code and licensed practice. "
    "This is advice from a calculation."
)
LAST = "Last reading: 9.5 °C at the surface, Tue 6 Apr 08:00 EDT."
SEE = "To see where it stands: curecast holds crane-base full-torque"
LOG = "To answer: curecast log crane-base READING (as the thermometer shows it, with its unit)"
TORQUE = (
    "Basis: 24 MPa at the anchors by nine of ten and an age of 28 days (the makers' figures, "
    "else 3000 psi (common practice) and 28 days (ASSUMED))."
)


def stands(name: str = "full-torque", state: str = "released", **other: object) -> HoldAnswer:
    given: dict[str, object] = {
        "rule": RULES[name],
        "state": state,
        "likely_h": NOW_H + 20 * DAY_H,
        "count_on_h": NOW_H + 30 * DAY_H,
        "closes_h": None,
        "met": state == "released",
        "due": True,
        "share": 0.93,
        "needed_d": 35.5,
        "reached_d": 41.2,
        "age_met": True,
        "lags": "",
        "why": "",
        **other,
    }
    return HoldAnswer(**given)  # type: ignore[arg-type]


def hold(state: str, name: str = "full-torque", why: str = "", **other: object) -> HoldChanged:
    given: dict[str, object] = {"stands": stands(name, state), **other}
    return HoldChanged(
        key="k",
        kind=state,
        job="crane-base",
        hold=name,
        at_h=NOW_H,
        now_h=NOW_H,
        last=SEEN,
        why=why,
        evidence="slab reading",
        **given,  # type: ignore[arg-type]
    )


def freeze(**other: object) -> FreezeAhead:
    given: dict[str, object] = {
        "of": "concrete",
        "when_h": NOW_H + 13.0,
        "chance": 0.35,
        "chance_concrete": 0.35,
        "coldest_c": -2.1,
        "safe_h": NOW_H + 60.0,
        "cover_by_h": NOW_H + 7.0,
        "covered": False,
        "source": SOURCE,
        **other,
    }
    return FreezeAhead(
        key="k", kind="freeze", job="crane-base", at_h=NOW_H, now_h=NOW_H, last=SEEN,
        **given,  # type: ignore[arg-type]
    )  # fmt: skip


def failing(value_c: float) -> ProtectionFailing:
    seen = Seen(NOW_H - 1.0, value_c, "under-cover")
    return ProtectionFailing(
        key="k", kind="failing", job="crane-base", at_h=seen.at_h, now_h=NOW_H, last=seen,
        seen=seen, least_c=13.0, rule="ACI 306R", near_frost=value_c <= 2.0,
    )  # fmt: skip


def wanted(by_h: float, last: Seen | None = SEEN) -> ReadingWanted:
    return ReadingWanted(
        key="k", kind="reading", job="crane-base", at_h=NOW_H, now_h=NOW_H, last=last,
        by_h=by_h, holds=("drill", "full-torque"),
    )  # fmt: skip


def day(kind: str, verdict: str, was: str) -> DayChanged:
    return DayChanged(
        key="k", kind=kind, job="crane-base", at_h=NOW_H, now_h=NOW_H, start_h=NOW_H + 43.0,
        verdict=verdict, was=was, reasons=("freeze: a cold night",), chance_freeze=0.4,
        coldest_c=-1.5, source=SOURCE,
    )  # fmt: skip


def moved(was_h: float, on_h: float) -> DateMoved:
    projected = stands("full-torque", "projected", count_on_h=on_h, reached_d=9.5)
    return DateMoved(
        key="k", kind="moved", job="crane-base", hold="full-torque", at_h=NOW_H, now_h=NOW_H,
        last=SEEN, stands=projected, was_h=was_h, evidence="slab reading",
    )  # fmt: skip


BETTER = BetterDay(
    key="k", kind="day-better", job="crane-base", at_h=NOW_H, now_h=NOW_H, start_h=NOW_H + 43.0,
    verdict="at-risk", better_h=NOW_H + 67.0, better="pour", reasons=("freeze: stays above",),
    chance_freeze=0.0, coldest_c=3.0, source=SOURCE,
)  # fmt: skip
BARRED = BarredTogether(
    key="k", kind="barred", job="crane-base", at_h=NOW_H, now_h=NOW_H, last=SEEN,
    holds=("walk", "drill", "full-torque"),
    why="the concrete froze before it had 3.5 MPa: only a strength test lifts this",
)  # fmt: skip


def said(found: Finding, title: str, *lines: str, job: object = JOB) -> None:
    words = word(job, found)  # type: ignore[arg-type]
    assert words.title == title
    assert words.body.split("\n") == list(lines)


def test_released() -> None:
    said(
        hold("released"),
        "crane-base: full-torque is released",
        "full-torque at crane-base is released on evidence (slab reading), since "
        "Tue 6 Apr 14:00 EDT.",
        TORQUE,
        "Margin: 41.2 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
        "that, 80 % is asked.",
        LAST,
        "Should something speak against it later, a message will say so.",
        WHO,
        SEE,
    )


def test_released_in_us_units_on_a_test() -> None:
    said(
        hold("released", stands=stands(by_test=True), tested_mpa=27.0),
        "crane-base: full-torque is released",
        "full-torque at crane-base is released on a strength test, since Tue 6 Apr 14:00 EDT.",
        "Basis: 3480 psi at the anchors by nine of ten and an age of 28 days (the makers' figures, "
        "else 3000 psi (common practice) and 28 days (ASSUMED)).",
        "Margin: a strength test showed 3920 psi.",
        "Last reading: 49 °F at the surface, Tue 6 Apr 08:00 EDT.",
        "Should something speak against it later, a message will say so.",
        WHO,
        SEE,
        job=US,
    )


def test_released_where_no_reading_is_asked() -> None:
    window = stands("saw-cut", closes_h=NOW_H + 5.0, needed_d=float("nan"))
    said(
        hold("released", "saw-cut", stands=window),
        "crane-base: saw-cut is released",
        "saw-cut at crane-base is released by its rule, which asks for no reading, since "
        "Tue 6 Apr 14:00 EDT.",
        "Its window closes at Tue 6 Apr 19:00 EDT.",
        "Basis: final set (ACI 302.1R: 4 to 12 h).",
        "Margin: its least age has passed.",
        LAST,
        "Should something speak against it later, a message will say so.",
        WHO,
        "To see where it stands: curecast holds crane-base saw-cut",
    )


def test_signed_off() -> None:
    said(
        hold("signed-off", why="signed off by Ida: rebound hammer: 31", by="Ida"),
        "crane-base: full-torque is signed off by Ida",
        "Ida has signed off full-torque at crane-base, Tue 6 Apr 14:00 EDT.",
        "Reason given: rebound hammer: 31.",
        "This rests on a person's word; the evidence alone does not carry it.",
        TORQUE,
        "Margin: 41.2 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
        "that, 80 % is asked.",
        LAST,
        WHO,
        SEE,
    )


def test_withdrawn() -> None:
    said(
        hold("withdrawn", why="its criteria no longer hold on the evidence"),
        "STOP, crane-base: full-torque is withdrawn",
        "Do not start full-torque at crane-base. If it has begun, stop and make it safe.",
        "The go-ahead is withdrawn, Tue 6 Apr 14:00 EDT: its criteria no longer hold on the "
        "evidence.",
        TORQUE,
        "Margin: 41.2 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
        "that, 80 % is asked.",
        LAST,
        WHO,
        SEE,
        LOG,
    )


def test_withdrawn_by_a_person() -> None:
    words = word(JOB, hold("withdrawn", why="withdrawn by Bo: a crack at anchor 2", by="Bo"))
    assert words.body.split("\n")[1] == (
        "Bo has withdrawn it, Tue 6 Apr 14:00 EDT: a crack at anchor 2."
    )


def test_barred() -> None:
    said(
        hold("barred", why=BARRED.why),
        "STOP, crane-base: full-torque is barred",
        "Do not start full-torque at crane-base. If it has begun, stop and make it safe.",
        "It is barred since Tue 6 Apr 14:00 EDT: the concrete froze before it had 3.5 MPa: only a "
        "strength test lifts this.",
        TORQUE,
        "Margin: 41.2 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
        "that, 80 % is asked.",
        LAST,
        WHO,
        SEE,
        "To answer: curecast test crane-base --strength STRENGTH --by NAME (only a strength test "
        "lifts a bar)",
    )


def test_barred_together() -> None:
    said(
        BARRED,
        "STOP, crane-base: holds are barred",
        "Barred at crane-base since Tue 6 Apr 14:00 EDT: walk, drill and full-torque.",
        "Why: the concrete froze before it had 3.5 MPa: only a strength test lifts this.",
        "Basis: concrete that froze before 3.5 MPa (500 psi) can have lost strength for good.",
        "Margin: none until a strength test.",
        LAST,
        WHO,
        "To see where it stands: curecast holds crane-base",
        "To answer: curecast test crane-base --strength STRENGTH --by NAME (only a strength test "
        "lifts a bar)",
        "If a reading was wrong, log it again as it should be.",
    )


MOVED_TAIL = (
    "Likely from Mon 26 Apr 14:00 EDT.",
    "This is a date by the model, not a go-ahead.",
    TORQUE,
    "Margin: 9.5 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
    "that, 80 % is asked.",
    LAST,
    WHO,
    "What would bring it forward: curecast holds crane-base full-torque",
)


def test_a_date_moved() -> None:
    said(
        moved(NOW_H + 27 * DAY_H, NOW_H + 30 * DAY_H),
        "crane-base: full-torque moves to Thu 6 May 14:00 EDT",
        "Count on full-torque at crane-base from Thu 6 May 14:00 EDT (3 days later: it was "
        "Mon 3 May 14:00 EDT).",
        *MOVED_TAIL,
    )


def test_a_date_went_out_of_sight_and_came_back() -> None:
    far = float("inf")
    said(
        moved(NOW_H + 27 * DAY_H, far),
        "crane-base: full-torque has no date within the horizon",
        "full-torque at crane-base has no date within the horizon any more; it was "
        "Mon 3 May 14:00 EDT.",
        *MOVED_TAIL,
    )
    said(
        moved(far, NOW_H + 30 * DAY_H),
        "crane-base: full-torque moves to Thu 6 May 14:00 EDT",
        "Count on full-torque at crane-base from Thu 6 May 14:00 EDT (it was no date within the "
        "horizon).",
        *MOVED_TAIL,
    )


def test_a_reading_is_wanted_soon() -> None:
    said(
        wanted(NOW_H + 10.0),
        "crane-base: a reading is wanted before Wed 7 Apr 00:00 EDT",
        "Take a reading of the slab at crane-base before Wed 7 Apr 00:00 EDT.",
        "These holds wait for it: drill and full-torque. Without it they open later, or not.",
        "Basis: a reading vouches 12 h either side until 3.5 MPa (500 psi), 36 h until 7 days, "
        "96 h after (ASSUMED).",
        "Margin: the evidence lapses in about 10 h.",
        LAST,
        WHO,
        LOG,
    )


def test_a_reading_is_overdue() -> None:
    said(
        wanted(NOW_H - 2.0, last=None),
        "crane-base: a reading is wanted now",
        "Take a reading of the slab at crane-base now: nothing vouches for it since "
        "Tue 6 Apr 12:00 EDT.",
        "These holds wait for it: drill and full-torque. Without it they open later, or not.",
        "Basis: a reading vouches 12 h either side until 3.5 MPa (500 psi), 36 h until 7 days, "
        "96 h after (ASSUMED).",
        "Margin: none left; the hours since then do not count as vouched for.",
        "Last reading: none yet.",
        WHO,
        LOG,
    )


def test_the_concrete_may_freeze() -> None:
    said(
        freeze(),
        "crane-base: cover it by Tue 21:00, edges lapped 300 mm: it may freeze from Wed 03:00",
        "35 % chance that the concrete at crane-base reaches 0 °C before it can bear frost; from "
        "Wed 7 Apr 03:00 EDT, in about 13 h.",
        "What to do: cover it by Tue 6 Apr 21:00 EDT (in about 7 h) with a blanket, dry and "
        "weighted down, lapped 300 mm over the edges and down.",
        "Basis: ACI 306R, not below freezing in the first 24 h nor before 3.5 MPa (500 psi); "
        "a service, issued Tue 6 Apr 11:00 EDT.",
        "Margin: one in ten that the concrete goes below -2.1 °C. It can bear frost from "
        "Fri 9 Apr 02:00 EDT.",
        LAST,
        WHO,
        "To answer: curecast log crane-base blanket on",
        "To see where it stands: curecast holds crane-base",
    )


def test_frost_over_a_covered_slab_in_us_units() -> None:
    said(
        freeze(of="air", chance=0.8, chance_concrete=0.0, covered=True, safe_h=float("inf")),
        "crane-base: look to its cover, edges lapped 12 in: frost from Wed 03:00",
        "80 % chance that the air at crane-base reaches 32 °F; from Wed 7 Apr 03:00 EDT, "
        "in about 13 h. The concrete itself: under 1 %.",
        "What to do: a cover is on it then, by the log or the plan. See that it lies dry and "
        "weighted down, lapped 12 in over the edges and down; add a layer, or heat under it with "
        "the fumes led outside.",
        "Basis: ACI 306R, not below freezing in the first 24 h nor before 3.5 MPa (500 psi); "
        "a service, issued Tue 6 Apr 11:00 EDT.",
        "Margin: one in ten that the concrete goes below 28 °F. When it can bear frost is not in "
        "sight.",
        "Last reading: 49 °F at the surface, Tue 6 Apr 08:00 EDT.",
        WHO,
        "To answer: curecast log crane-base blanket on",
        "To see where it stands: curecast holds crane-base",
        job=US,
    )


@pytest.mark.parametrize(
    ("blankets", "sheet", "with_what"),
    [
        (2, True, "2 layers of blanket"),
        (0, True, "a sheet, and anything dry that keeps warm under it"),
        (0, False, "dry blankets or straw under a sheet"),
    ],
)
def test_a_cover_that_is_at_hand_and_already_late(
    blankets: int, sheet: bool, with_what: str
) -> None:
    protection = replace(JOB.protection, blankets=blankets, sheet=sheet)
    words = word(replace(JOB, protection=protection), freeze(cover_by_h=NOW_H - 1.0))
    assert words.title == (
        "crane-base: cover it now, edges lapped 300 mm: it may freeze from Wed 03:00"
    )
    assert words.body.split("\n")[1] == (
        f"What to do: cover it now with {with_what}, dry and weighted down, lapped 300 mm over the "
        "edges and down."
    )


def test_protection_is_not_enough() -> None:
    said(
        failing(7.0),
        "crane-base: 7 °C under the cover: add cover, edges lapped 300 mm",
        "The concrete at crane-base read 7 °C under the cover, Tue 6 Apr 13:00 EDT, while it "
        "cannot bear frost yet.",
        "What to do: cover it, lapped 300 mm over the edges and down, or add a layer. Cold is "
        "slow, not unsafe, as long as it stays above freezing.",
        "Basis: 13 °C is asked in cold weather (ACI 306R).",
        "Margin: 6 K below the rule, 7 K above freezing.",
        "Last reading: 7 °C under the cover, Tue 6 Apr 13:00 EDT.",
        WHO,
        LOG,
        "To see where it stands: curecast holds crane-base",
    )


def test_protection_fails_close_to_freezing() -> None:
    said(
        failing(0.0),
        "crane-base: 0 °C under the cover, close to freezing: cover or heat it now",
        "The concrete at crane-base read 0 °C under the cover, Tue 6 Apr 13:00 EDT, while it "
        "cannot bear frost yet.",
        "What to do: cover it now, dry and weighted down, lapped 300 mm over the edges and down, "
        "or heat under the cover with the fumes led outside.",
        "Basis: 13 °C is asked in cold weather (ACI 306R).",
        "Margin: 13 K below the rule, and at or below freezing.",
        "Last reading: 0 °C under the cover, Tue 6 Apr 13:00 EDT.",
        WHO,
        LOG,
        "To see where it stands: curecast holds crane-base",
    )


DAY_TAIL = (
    "  - freeze: a cold night",
    "Basis: a service, issued Tue 6 Apr 11:00 EDT.",
    "Margin: 40 % chance that the concrete freezes; one in ten that it goes below -1.5 °C.",
    "Last reading: none, it is not poured.",
    WHO,
    "Other starts: curecast best-day crane-base",
)


def test_the_chosen_day_no_longer_works() -> None:
    said(
        day("day-worse", "do-not-pour", "pour"),
        "crane-base: do not pour Thu 8 Apr 09:00 EDT",
        "The chosen start no longer works: Thu 8 Apr 09:00 EDT was “pour”.",
        *DAY_TAIL,
    )


def test_the_chosen_day_got_worse() -> None:
    said(
        day("day-worse", "at-risk", "pour"),
        "crane-base: Thu 8 Apr 09:00 EDT got worse: at risk",
        "The chosen start got worse: Thu 8 Apr 09:00 EDT is “at risk” now, it was “pour”.",
        *DAY_TAIL,
    )


def test_the_chosen_day_is_better_again() -> None:
    said(
        day("day-restored", "pour-with-protection", "do-not-pour"),
        "crane-base: Thu 8 Apr 09:00 EDT is better again: pour, protected",
        "The chosen start is better again: Thu 8 Apr 09:00 EDT is “pour, protected” now, it was "
        "“do not pour”.",
        *DAY_TAIL,
    )


def test_a_better_day() -> None:
    said(
        BETTER,
        "crane-base: a better day, Fri 9 Apr 09:00 EDT",
        "A better start than Thu 8 Apr 09:00 EDT (“at risk”): Fri 9 Apr 09:00 EDT (“pour”).",
        "  - freeze: stays above",
        "Basis: a service, issued Tue 6 Apr 11:00 EDT.",
        "Margin: under 1 % chance that the concrete freezes; one in ten that it goes below 3 °C.",
        "Last reading: none, it is not poured.",
        WHO,
        'To take it: curecast choose crane-base --start "2027-04-09T09:00-04:00"',
        "All starts: curecast best-day crane-base",
    )


# -- the sky, and what ends a wait -------------------------------------------------------------

RAIN = RainAhead(
    key="k", kind="rain", job="crane-base", at_h=NOW_H, now_h=NOW_H, can_wait=False,
    when_h=NOW_H + 3.0, set_h=NOW_H + 7.0, chance=0.4, source=SOURCE,
)  # fmt: skip
LOST = WeatherLost(
    key="k", kind="weather-lost", job="crane-base", at_h=NOW_H, now_h=NOW_H, last=SEEN,
    source=Source("a service", NOW_H - 30.0), ends_h=NOW_H + 90.0, waiting=("walk", "drill"),
)  # fmt: skip
UNCOVER = CoverMayGo(
    key="k", kind="uncover", job="crane-base", hold="end-protection", at_h=NOW_H, now_h=NOW_H,
    last=SEEN, stands=stands("end-protection"), drop_k=28.0, rule="ACI 306R", slab_c=14.0,
    air_c=-6.0,
)  # fmt: skip
DUE = TestDue(
    key="k", kind="test-due", job="crane-base", at_h=NOW_H, now_h=NOW_H, last=SEEN,
    holds=("drill", "full-torque"), stands=stands("full-torque", "projected", reached_d=20.0),
)  # fmt: skip
LIFTED = BarLifted(
    key="k", kind="lifted", job="crane-base", hold="full-torque", at_h=NOW_H, now_h=NOW_H,
    last=SEEN, stands=stands("full-torque", "projected", reached_d=20.0),
    why="its date lies ahead",
)  # fmt: skip
FAR = (
    "Margin: 20 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of that, "
    "80 % is asked."
)


def test_rain_before_it_has_set() -> None:
    said(
        RAIN,
        "crane-base: sheet over it by Tue 17:00, edges lapped 300 mm: rain before it sets",
        "40 % chance of rain at crane-base before it has set; from Tue 6 Apr 17:00 EDT, in about "
        "3 h.",
        "What to do: have a sheet ready, held clear of the face; cover it by Tue 6 Apr 17:00 EDT, "
        "lapped 300 mm over the edges and down. "
        "Rain that fell is let off, never worked in.",
        "Basis: common practice, no rain on the face before final set; a service, issued Tue "
        "6 Apr 11:00 EDT.",
        "Margin: it sets about Tue 6 Apr 21:00 EDT.",
        "Last reading: none yet.",
        WHO,
        "To see where it stands: curecast holds crane-base",
    )


def test_no_forecast_comes_any_more() -> None:
    said(
        LOST,
        "crane-base: no new forecast for 1.2 days",
        "No new forecast has come for crane-base; the newest is 1.2 days old.",
        "Dates are less sure: walk and drill. A freeze may come without warning.",
        "What to do: look at another forecast, cover it, lapped 300 mm over the edges and down, "
        "rather than hope, and read the slab more "
        "often.",
        "Basis: a service, issued Mon 5 Apr 08:00 EDT.",
        "Margin: the old one reaches to Sat 10 Apr 08:00 EDT, then the climate.",
        LAST,
        WHO,
        LOG,
    )
    ended = word(JOB, replace(LOST, ends_h=NOW_H - 1.0)).body
    assert "Margin: none, the old one has ended; what lies ahead rests on the climate." in ended


def test_the_blanket_may_come_off() -> None:
    said(
        UNCOVER,
        "crane-base: the blanket may come off, slowly",
        "The blanket at crane-base may come off. Lift an edge first, in the warm of the day, and "
        "the rest some hours later.",
        "The slab is about 14 °C, the coldest air of the next day -6 °C.",
        "Basis: protection may end (ACI 306R; EN 13670; CSA A23.1); cool it by no more than 28 K "
        "in 24 h (ACI 306R).",
        "Margin: 41.2 days at 20 °C (68 °F) reached, 35.5 days needed; readings vouch for 93 % of "
        "that, 80 % is asked.",
        LAST,
        WHO,
        "To answer: curecast log crane-base blanket off",
        "To see where it stands: curecast holds crane-base end-protection",
    )
    cold = word(JOB, replace(UNCOVER, air_c=-15.0)).body
    assert "Not at once: lift an edge, then half, then all, over two days or more" in cold


def test_a_strength_test_is_due() -> None:
    said(
        DUE,
        "crane-base: a strength test is due",
        "A strength test at crane-base would tell now: 24 MPa is likely there, but nine of ten "
        "cannot be counted on.",
        "These holds wait for it: drill and full-torque. Until then none of them is a go-ahead.",
        TORQUE,
        FAR,
        LAST,
        WHO,
        "To answer: curecast test crane-base --strength VALUE --by NAME (cylinders or pull-out)",
    )


def test_a_bar_is_lifted() -> None:
    said(
        LIFTED,
        "crane-base: full-torque is not barred any more, and not open",
        "full-torque at crane-base is not barred any more. That is no go-ahead: its date lies "
        "ahead.",
        TORQUE,
        FAR,
        LAST,
        WHO,
        SEE,
    )


ALL = (
    RAIN,
    LOST,
    UNCOVER,
    DUE,
    LIFTED,
    hold("released"),
    hold("signed-off", why="signed off by Ida: looked", by="Ida"),
    hold("withdrawn", why="it may have frozen"),
    hold("barred", why=BARRED.why),
    BARRED,
    moved(NOW_H, NOW_H + 30 * DAY_H),
    moved(NOW_H, float("inf")),
    wanted(NOW_H + 10.0),
    wanted(NOW_H - 1.0, last=None),
    freeze(),
    freeze(of="air", covered=True),
    failing(7.0),
    failing(0.0),
    day("day-worse", "do-not-pour", "pour"),
    day("day-restored", "pour", "at-risk"),
    BETTER,
)


@pytest.mark.parametrize("found", ALL, ids=[f"{n} {f.kind}" for n, f in enumerate(ALL)])
def test_only_a_release_by_evidence_is_called_released(found: Finding) -> None:
    words = word(JOB, found)
    whole = f"{words.title}\n{words.body}".lower()
    assert ("released" in whole) == (found.kind == "released")
    assert ("signed off" in whole) == (found.kind == "signed-off")
    assert words.title.startswith("STOP") == (found.kind in ("withdrawn", "barred"))


@pytest.mark.parametrize("found", ALL, ids=[f"{n} {f.kind}" for n, f in enumerate(ALL)])
def test_every_message_says_basis_margin_reading_who_and_how(found: Finding) -> None:
    words: Words = word(JOB, found)
    lines = words.body.split("\n")
    for start in ("Basis: ", "Margin: ", "Last reading: ", "Who decides: "):
        assert sum(line.startswith(start) for line in lines) == 1, start
    assert any("curecast " in line and "crane-base" in line for line in lines)
    assert "\n" not in words.title
    assert len(words.title) <= 90
    assert "nan" not in words.body.lower()
