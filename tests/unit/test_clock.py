"""Instants as people say them, and the two nights a year when a local time goes wrong."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from curecast.clock import (
    from_unix_h,
    iso,
    local_hour,
    local_hour_of_day,
    near_zones,
    parse_days,
    parse_instant,
    parse_span,
    parse_time_of_day,
    show_day,
    show_instant,
    show_time_of_day,
    starts_in_week,
    to_local,
    unix_h,
    within_span,
    zone_is_known,
)
from curecast.errors import InputError

NEW_YORK = "America/New_York"
KOLKATA = "Asia/Kolkata"  # half an hour, no summer time
ADELAIDE = "Australia/Adelaide"  # half an hour, southern summer time
LORD_HOWE = "Australia/Lord_Howe"  # its summer time is half an hour
SAO_PAULO = "America/Sao_Paulo"  # no short name

NOW = datetime(2027, 3, 10, 15, tzinfo=UTC)  # Wednesday 10:00 in New York


def said(text: str, zone: str | None = NEW_YORK, **options: str) -> str:
    return iso(parse_instant(text, zone, NOW, **options), zone)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "instant"),
    [
        ("2027-03-12T09:00-05:00", "2027-03-12T09:00:00-05:00"),
        ("2027-03-12T14:00Z", "2027-03-12T09:00:00-05:00"),
        ("2027-03-12T14:00:30+00:00", "2027-03-12T09:00:30-05:00"),
        ("2027-03-12 09:00", "2027-03-12T09:00:00-05:00"),
        ("2027-03-12T09:00", "2027-03-12T09:00:00-05:00"),
        ("2027-03-12 09:00:15", "2027-03-12T09:00:15-05:00"),
        ("2027-03-12 9am", "2027-03-12T09:00:00-05:00"),
        ("2027-03-16 09:00", "2027-03-16T09:00:00-04:00"),
        ("fri 9:00", "2027-03-12T09:00:00-05:00"),
        ("Friday at 9:00", "2027-03-12T09:00:00-05:00"),
        ("fri, 9", "2027-03-12T09:00:00-05:00"),
        ("wed 11:00", "2027-03-10T11:00:00-05:00"),
        ("wed 9:00", "2027-03-17T09:00:00-04:00"),
        ("next fri 9", "2027-03-12T09:00:00-05:00"),
        ("last fri 9", "2027-03-05T09:00:00-05:00"),
        ("7:30", "2027-03-10T07:30:00-05:00"),
        ("7.30", "2027-03-10T07:30:00-05:00"),
        ("today 9", "2027-03-10T09:00:00-05:00"),
        ("yesterday 18:00", "2027-03-09T18:00:00-05:00"),
        ("tomorrow 8:30", "2027-03-11T08:30:00-05:00"),
        ("9am", "2027-03-10T09:00:00-05:00"),
        ("12 am", "2027-03-10T00:00:00-05:00"),
        ("12:15 p.m.", "2027-03-10T12:15:00-05:00"),
        ("noon", "2027-03-10T12:00:00-05:00"),
        ("tomorrow noon", "2027-03-11T12:00:00-05:00"),
        ("12 mar 9:00", "2027-03-12T09:00:00-05:00"),
        ("March 12, 2027 9am", "2027-03-12T09:00:00-05:00"),
        ("Fri 12 Mar 09:00 EST", "2027-03-12T09:00:00-05:00"),
        ("28 dec 9:00", "2026-12-28T09:00:00-05:00"),
        ("now", "2027-03-10T10:00:00-05:00"),
        ("2 h ago", "2027-03-10T08:00:00-05:00"),
        ("in 90 min", "2027-03-10T11:30:00-05:00"),
    ],
)
def test_as_people_say_it(text: str, instant: str) -> None:
    assert said(text) == instant


@pytest.mark.parametrize(
    ("text", "instant"),
    [
        ("fri 9:00", "2027-03-05T09:00:00-05:00"),
        ("wed 9:00", "2027-03-10T09:00:00-05:00"),
        ("wed 11:00", "2027-03-03T11:00:00-05:00"),
        ("7:30", "2027-03-10T07:30:00-05:00"),
        ("18:00", "2027-03-09T18:00:00-05:00"),
        ("10:04", "2027-03-10T10:04:00-05:00"),  # a clock that runs ahead a little
        ("today 18:00", "2027-03-10T18:00:00-05:00"),  # said outright: the caller refuses it
    ],
)
def test_in_the_past_sense(text: str, instant: str) -> None:
    assert said(text, prefer="past") == instant


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "needs a time"),
        ("fri", "needs a time"),
        ("tomorrow", "needs a time"),
        ("25:00", "not a time of day"),
        ("9:60", "not a time of day"),
        ("13 pm", "not a time of day"),
        ("soon", "not a time of day"),
        ("2027-02-30 09:00", "not a time"),
        ("feb 30 9:00", "no day 30"),
        ("3/12 9:00", "two dates"),
        ("3/12/2027 9:00", "two dates"),
        ("Thu 12 Mar 09:00", "no Thu"),
        ("midnight", "start or the end"),
        ("2027-07-12 09:00 EST", "does not show EST then, but EDT"),
        ("1492-10-12 09:00", "year"),
        ("9999-12-31 23:59", "not a time"),
    ],
)
def test_refuses_and_says_why(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        said(text)


@pytest.mark.parametrize(
    ("zone", "text", "readings"),
    [
        (NEW_YORK, "2027-11-07 01:30", ["2027-11-07T01:30-04:00", "2027-11-07T01:30-05:00"]),
        (ADELAIDE, "2027-04-04 02:30", ["2027-04-04T02:30+10:30", "2027-04-04T02:30+09:30"]),
        (LORD_HOWE, "2027-04-04 01:45", ["2027-04-04T01:45+11:00", "2027-04-04T01:45+10:30"]),
    ],
)
def test_a_time_that_occurs_twice(zone: str, text: str, readings: list[str]) -> None:
    with pytest.raises(InputError, match="occurs twice") as error:
        said(text, zone)
    for reading in readings:
        assert reading in error.value.hint
        assert said(reading, zone).startswith(text[:10])


@pytest.mark.parametrize(
    ("zone", "text", "readings"),
    [
        (NEW_YORK, "2027-03-14 02:30", ["2027-03-14T01:30-05:00", "2027-03-14T03:30-04:00"]),
        (ADELAIDE, "2027-10-03 02:30", ["2027-10-03T01:30+09:30", "2027-10-03T03:30+10:30"]),
        (LORD_HOWE, "2027-10-03 02:15", ["2027-10-03T01:45+10:30", "2027-10-03T02:45+11:00"]),
    ],
)
def test_a_time_that_never_occurs(zone: str, text: str, readings: list[str]) -> None:
    with pytest.raises(InputError, match="does not occur") as error:
        said(text, zone)
    for reading in readings:
        assert reading in error.value.hint


def test_the_zone_s_short_name_settles_a_repeated_hour() -> None:
    assert said("2027-11-07 01:30 EDT") == "2027-11-07T01:30:00-04:00"
    assert said("2027-11-07 01:30 EST") == "2027-11-07T01:30:00-05:00"


def test_around_the_repeated_hour_nothing_is_refused() -> None:
    assert said("2027-11-07 00:59") == "2027-11-07T00:59:00-04:00"
    assert said("2027-11-07 02:00") == "2027-11-07T02:00:00-05:00"
    assert said("2027-03-14 01:59") == "2027-03-14T01:59:00-05:00"
    assert said("2027-03-14 03:00") == "2027-03-14T03:00:00-04:00"


@pytest.mark.parametrize("text", ["8:10", "fri 9:00", "yesterday 18:00", "2027-03-12 09:00"])
def test_without_a_zone_a_local_time_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="names no time zone") as fault:
        said(text, None)
    assert "zone =" in fault.value.hint


def test_without_a_zone_it_is_utc_and_says_so() -> None:
    assert said("fri 9:00 UTC", None) == "2027-03-12T09:00:00+00:00"
    assert said("2 h ago", None) == "2027-03-10T13:00:00+00:00"
    assert show_instant(NOW, None) == "Wed 10 Mar 15:00 UTC"


@pytest.mark.parametrize(
    ("zone", "text"),
    [
        (NEW_YORK, "Wed 10 Mar 10:00 EST"),
        (KOLKATA, "Wed 10 Mar 20:30 IST"),
        (ADELAIDE, "Thu 11 Mar 01:30 ACDT"),
        (SAO_PAULO, "Wed 10 Mar 12:00 UTC-03"),
    ],
)
def test_what_is_shown_can_be_said(zone: str, text: str) -> None:
    assert show_instant(NOW, zone) == text
    assert parse_instant(text, zone, NOW) == NOW


def test_shown_to_the_nearest_minute() -> None:
    almost = NOW - timedelta(seconds=0.2)
    assert show_instant(almost, NEW_YORK) == "Wed 10 Mar 10:00 EST"
    eve = datetime(2027, 3, 11, 4, 59, 59, tzinfo=UTC)
    assert show_instant(eve, NEW_YORK, year=True) == "Thu 11 Mar 2027 00:00 EST"
    assert show_day(eve, NEW_YORK) == "Thu 11 Mar"
    assert show_time_of_day(7.5) == "07:30"


def test_hours_and_instants() -> None:
    assert from_unix_h(unix_h(NOW)) == NOW
    assert unix_h(NOW + timedelta(minutes=30)) - unix_h(NOW) == 0.5
    with pytest.raises(ValueError, match="without a zone"):
        unix_h(datetime(2027, 3, 10))
    with pytest.raises(ValueError, match="without a zone"):
        to_local(datetime(2027, 3, 10), NEW_YORK)
    for h in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="finite"):
            from_unix_h(h)


def test_local_hours() -> None:
    assert local_hour(NOW, NEW_YORK) == 10.0
    assert local_hour(NOW, KOLKATA) == 20.5
    night = unix_h(datetime(2027, 3, 14, 5, tzinfo=UTC))
    assert local_hour_of_day([night + k for k in range(4)], NEW_YORK) == [0.0, 1.0, 3.0, 4.0]


def test_zones_are_known_by_their_full_names() -> None:
    assert zone_is_known(NEW_YORK)
    assert zone_is_known("UTC")
    for name in ("EST", "EST5EDT", "america/new_york", "", "../etc/passwd", "Mars/Base"):
        assert not zone_is_known(name)
    assert near_zones("America/New York")[0] == NEW_YORK
    assert near_zones("halifax") == ["America/Halifax"]
    with pytest.raises(InputError, match="unknown time zone"):
        to_local(NOW, "America/New_Yrok")


@pytest.mark.parametrize(
    ("text", "hour"),
    [("8:00", 8.0), ("08:00", 8.0), ("17", 17.0), ("5 pm", 17.0), ("7h30", 7.5), ("00:00", 0.0)],
)
def test_times_of_day(text: str, hour: float) -> None:
    assert parse_time_of_day(text) == hour


@pytest.mark.parametrize("text", ["", "24:00", "8:0", "eight", "-3", "8:00:61", "1e3"])
def test_what_is_no_time_of_day(text: str) -> None:
    with pytest.raises(InputError, match="not a time of day"):
        parse_time_of_day(text)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("mon-sat", (0, 1, 2, 3, 4, 5)),
        ("Monday to Friday", (0, 1, 2, 3, 4)),
        ("mon, wed, fri", (0, 2, 4)),
        ("mon wed fri", (0, 2, 4)),
        ("fri-mon", (0, 4, 5, 6)),
        ("tue and thu", (1, 3)),
        ("mon - fri, sun", (0, 1, 2, 3, 4, 6)),
        ("weekdays", (0, 1, 2, 3, 4)),
        ("every day", (0, 1, 2, 3, 4, 5, 6)),
        ("sat", (5,)),
    ],
)
def test_days(text: str, days: tuple[int, ...]) -> None:
    assert parse_days(text) == days


@pytest.mark.parametrize("text", ["", "monn", "mon-", "mon-wed-fri", "8:00"])
def test_what_is_no_day(text: str) -> None:
    with pytest.raises(InputError, match="days of the week"):
        parse_days(text)


def test_spans_over_midnight() -> None:
    quiet = parse_span("21:00-06:00")
    assert quiet == (21.0, 6.0)
    assert parse_span("8 to 17") == (8.0, 17.0)
    nine_pm = datetime(2027, 3, 11, 2, tzinfo=UTC)
    assert within_span(nine_pm, NEW_YORK, quiet)
    assert within_span(nine_pm + timedelta(hours=8), NEW_YORK, quiet)
    assert not within_span(nine_pm + timedelta(hours=9), NEW_YORK, quiet)
    assert not within_span(NOW, NEW_YORK, quiet)
    assert within_span(NOW, NEW_YORK, (8.0, 17.0))
    with pytest.raises(InputError, match="two times of day"):
        parse_span("21:00")


def local(starts: list[float], zone: str) -> list[str]:
    return [f"{to_local(from_unix_h(h), zone):%a %H:%M %z}" for h in starts]


def test_starts_are_on_the_hour_of_the_local_clock() -> None:
    week = unix_h(datetime(2027, 3, 10, 15, 20, tzinfo=UTC))
    starts = starts_in_week(week, week + 24, KOLKATA, range(7), 8, 10)
    assert local(starts, KOLKATA) == ["Thu 08:00 +0530", "Thu 09:00 +0530", "Thu 10:00 +0530"]
    assert all((h * 2) % 2 == 1 for h in starts)


def test_starts_keep_the_crew_s_hours_through_a_clock_change() -> None:
    saturday = unix_h(datetime(2027, 3, 13, 5, tzinfo=UTC))
    starts = starts_in_week(saturday, saturday + 72, NEW_YORK, [5, 6, 0], 7.5, 9)
    assert local(starts, NEW_YORK) == [
        "Sat 08:00 -0500",
        "Sat 09:00 -0500",
        "Sun 08:00 -0400",
        "Sun 09:00 -0400",
        "Mon 08:00 -0400",
        "Mon 09:00 -0400",
    ]
    assert starts[2] - starts[0] == 23.0


def test_starts_in_hours_that_a_clock_skips_or_repeats() -> None:
    spring = unix_h(datetime(2027, 3, 14, 5, tzinfo=UTC))
    starts = starts_in_week(spring, spring + 10, NEW_YORK, [6], 1, 3)
    assert local(starts, NEW_YORK) == ["Sun 01:00 -0500", "Sun 03:00 -0400"]
    autumn = unix_h(datetime(2027, 11, 7, 4, tzinfo=UTC))
    starts = starts_in_week(autumn, autumn + 10, NEW_YORK, [6], 1, 2)
    assert local(starts, NEW_YORK) == ["Sun 01:00 -0400", "Sun 01:00 -0500", "Sun 02:00 -0500"]


def test_starts_south_of_the_equator_and_off_the_hour() -> None:
    october = unix_h(datetime(2027, 10, 1, 14, tzinfo=UTC))
    starts = starts_in_week(october, october + 48, ADELAIDE, [5, 6], 8, 8)
    assert local(starts, ADELAIDE) == ["Sat 08:00 +0930", "Sun 08:00 +1030"]
    assert starts[1] - starts[0] == 23.0
    starts = starts_in_week(october, october + 48, LORD_HOWE, [5, 6], 8, 8)
    assert starts[1] - starts[0] == 23.5


def test_starts_only_on_working_days_within_the_span() -> None:
    start = unix_h(NOW)
    assert starts_in_week(start, start, NEW_YORK, [2], 8, 17) == [start]
    assert starts_in_week(start, start + 168, NEW_YORK, [], 8, 17) == []
    assert starts_in_week(start, start - 1, NEW_YORK, range(7), 8, 17) == []
    week = starts_in_week(start, start + 168, NEW_YORK, range(5), 8, 17, 0.5)
    assert week == sorted(set(week))
    assert all(8 <= hour <= 17 for hour in local_hour_of_day(week, NEW_YORK))
    with pytest.raises(ValueError, match="step"):
        starts_in_week(start, start + 1, NEW_YORK, range(7), 8, 17, 0)
