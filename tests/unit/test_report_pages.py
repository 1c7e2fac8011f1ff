"""The pages: whole, harmless, honest about states, and complete at the ends of what can happen."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from html.parser import HTMLParser
from xml.etree import ElementTree

import numpy as np
import pytest

from curecast.prospect import record as records
from curecast.prospect.record import Seen
from curecast.prospect.standing import SlabAnswer
from curecast.prospect.week import WeekAnswer
from curecast.report.ahead import days_ahead
from curecast.report.record_rows import page_record
from curecast.report.report import HoldLine, render_slab, render_week
from curecast.tracking.history import Entry
from tests.fixtures.answers import (
    START_H,
    hold_lines,
    old,
    seen,
    weather,
    week,
    with_states,
    without_end,
    young,
)

HOLD_KEYS = [name.replace("-", "_") for name in young().holds]
AT = [datetime(2027, 3, 10, 12, tzinfo=UTC) + timedelta(hours=h) for h in range(3)]


def _moved(hold: str) -> Entry:
    said = f"{hold} projected -> released: criteria met"
    return Entry(hold, "hold", said, AT[0], AT[0], {"hold": hold})


HISTORY = [
    Entry("1", "reading", "surface 5.0 °C", AT[0], AT[0], {}, corrected_by="2"),
    Entry("2", "reading", "surface 6.0 °C", AT[0], AT[1], {}, corrects="1"),
    Entry("3", "cover", "cover layers 1", AT[0], AT[1], {"layers": 1.0}),
    Entry("4", "test", "", AT[1], AT[1], {"kind": "cylinder", "strength_mpa": 25.0, "note": "7 d"}),
    Entry("5", "signed-off", "drill signed-off: tried by hand", AT[1], AT[1], {}, "Ines Okafor"),
    Entry("6", "look", "look", AT[1], AT[1], {}, corrected_by="7"),
    _moved("walk"),
    _moved("strip"),
]
VOID = {"meta", "link", "br", "hr", "img", "input"}
BAD = '<script>alert("x")</script> & <b>'


class Page(HTMLParser):
    """Tags that are open, ids, references and texts of a page; fails on a tag out of order."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.refers: list[str] = []
        self.tags: set[str] = set()
        self.texts: list[str] = []
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for name, value in attrs:
            assert not name.startswith("on"), f"{tag} has {name}"
            assert name not in ("src", "href", "action"), f"{tag} reaches out by {name}"
            if name == "id":
                self.ids.append(value or "")
            if name == "aria-labelledby":
                self.refers += (value or "").split()
            self.refers += re.findall(r"url\(#([^)]+)\)", value or "")
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] != ["style"]:
            self.texts.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())


def slab_page(answer: SlabAnswer, **more: object) -> str:
    given: dict[str, object] = {"cautions": ["Mind the edge."], "notes": [], "version": "9.9"}
    return render_slab(answer, holds=hold_lines(answer), **(given | more))  # type: ignore[arg-type]


def week_page(answer: WeekAnswer, **more: object) -> str:
    given: dict[str, object] = {"cautions": ["Mind the edge."], "notes": [], "version": "9.9"}
    return render_week(answer, **(given | more))  # type: ignore[arg-type]


def frozen() -> SlabAnswer:
    states = dict.fromkeys(("walk", "strip", "full_torque"), "barred")
    return replace(with_states(young(), **states), frozen_early="yes", chance_frozen=1.0)


def released() -> SlabAnswer:
    holds = {name: replace(h, state="released", met=True) for name, h in old().holds.items()}
    return replace(old(), holds=holds)


def unread() -> SlabAnswer:
    return replace(young(), record=replace(young().record, seen=(), done=()), misfit_k=np.zeros(0))


def fresh() -> SlabAnswer:
    return replace(young(), now_h=START_H + 0.2)


def ahead() -> SlabAnswer:
    return replace(young(), now_h=START_H - 5.0)


def far_on() -> SlabAnswer:
    return replace(old(), now_h=old().origin_h + float(old().past.t_h[-1]) + 400.0)


def endless() -> SlabAnswer:
    return without_end(young(), "full-torque", "re-check", "service-load")


def zoneless() -> SlabAnswer:
    site = replace(young().job.site, zone=None)
    return replace(young(), job=replace(young().job, site=site, units="us"))


def crowded() -> SlabAnswer:
    """A logger's year of minutes."""
    hours = START_H + np.linspace(1.0, 48.0, 20_000)
    values = 8.0 + 3.0 * np.sin(hours)
    many = tuple(
        Seen(float(h), float(v), "inside", 0.09) for h, v in zip(hours, values, strict=True)
    )
    return replace(young(), record=replace(young().record, seen=many))


SLABS = {
    made.__name__: made
    for made in (
        young, old, frozen, released, unread, fresh, ahead, far_on, endless, zoneless, crowded
    )
}  # fmt: skip


@pytest.mark.parametrize("name", SLABS)
def test_a_slab_page_is_whole(name: str) -> None:
    html = slab_page(SLABS[name](), forecast=weather(7.0, 7))
    check_whole(html)
    assert Page(html).text.count("Mind the edge.") == 1


@pytest.mark.parametrize("mean_c", [12.0, -16.0])
def test_a_week_page_is_whole(mean_c: float) -> None:
    check_whole(week_page(week(mean_c)))


def test_a_week_without_hours_is_said() -> None:
    html = week_page(replace(week(12.0), starts=[], ranked=[], best=None))
    check_whole(html)
    assert "The crew works no hour of this week." in Page(html).text


def check_whole(html: str) -> None:
    page = Page(html)
    assert "script" not in page.tags
    assert not re.search(r"\b(nan|inf|None)\b", page.text), page.text
    assert not re.search(r"[\"' ](nan|inf|None)\b", html)
    assert not re.search(r"https?:|@import|//[a-z]", html)
    assert len(set(page.ids)) == len(page.ids)
    assert set(page.refers) <= set(page.ids)
    assert len(html) < 400_000
    for drawn in re.findall(r"<svg.*?</svg>", html, re.DOTALL):
        ElementTree.fromstring(drawn)


def test_hostile_words_are_shown_and_not_obeyed() -> None:
    job = replace(young().job, name=BAD, equipment=replace(young().job.equipment, name=BAD))
    answer = replace(old(), job=job)
    lines = [HoldLine("walk", BAD, BAD, BAD, BAD, [BAD], BAD)]
    source = replace(weather(7.0, 7), source=BAD, flags=(BAD,))
    html = render_slab(
        answer, holds=lines, cautions=[BAD], notes=[BAD], version=BAD, forecast=source
    )
    page = Page(html)
    assert "script" not in page.tags
    assert page.text.count('<script>alert("x")</script> & <b>') >= 12
    assert "tried <b>by hand</b> & held" in page.text
    html = week_page(replace(week(12.0), job=job), notes=[BAD], why={0: [BAD]})
    assert "script" not in Page(html).tags


def boxes(html: str) -> dict[str, list[str]]:
    """Names of the holds in each box at the head of the page."""
    head = html.split('<div class="standing">')[1].split("<dl")[0]
    found = {}
    for part in head.split("<div class=")[1:]:
        title = re.search(r"<h2>(.*?)</h2>", part)
        assert title
        found[title[1].split(" <")[0]] = re.findall(r"<b>(.*?)</b>", part)
    return found


def test_only_released_and_signed_off_read_as_permission_and_never_alike() -> None:
    answer = with_states(
        young(), walk="released", strip="signed-off", drill="unproven", snug="withdrawn",
        light_load="barred", full_torque="projected", saw_cut="over", end_protection="projected",
    )  # fmt: skip
    html = slab_page(answer)
    found = boxes(html)
    assert found["You may now"] == ["walk"]
    assert found["On a named person’s word"] == ["strip"]
    assert set(found["Stop"]) == {"snug", "light-load"}
    assert {"drill", "full-torque"} <= set(found["Not yet"])
    assert "saw-cut" not in found["Not yet"]
    rows = {
        name: (words, mark)
        for name, mark, words in re.findall(
            r'scope="row">([\w-]+)</th>\s*<td role="cell" class="state">(<svg.*?</svg>) ([\w ]+)',
            html,
        )
    }
    assert rows["walk"][0] == "released"
    assert rows["strip"][0] == "signed off"
    assert len({mark for _, mark in (rows[n] for n in ("walk", "strip", "drill", "snug"))}) == 4


def test_a_stopped_hold_has_no_date_in_the_picture() -> None:
    html = slab_page(frozen())
    assert "barred, no date" in Page(html).text
    assert html.count('data-name="Count on">no date<') == 3
    assert "This concrete froze early" in Page(html).text
    assert "froze early." not in Page(slab_page(young())).text


def test_beyond_the_horizon_is_said_in_words() -> None:
    assert Page(slab_page(endless())).text.count("not within 180 days") >= 6


def test_the_page_speaks_the_units_of_the_job_or_those_asked_for() -> None:
    si, us = Page(slab_page(young())).text, Page(slab_page(young(), units="us")).text
    assert "°C" in si
    assert "MPa" in si
    assert "°F" not in si
    assert "psi" not in si.replace("3000 psi (common practice)", "").replace("2000 psi", "")
    assert "freezing, 32 °F" in us
    assert "°C" not in us.replace("at 20 °C", "")
    assert "in days at 68 °F" in us


def test_what_is_next_stands_under_what_is_allowed() -> None:
    assert "Next: one reading before" in Page(slab_page(young())).text
    text = Page(slab_page(with_states(young(), **dict.fromkeys(HOLD_KEYS, "released")))).text
    assert "Next:" not in text


def test_the_record_shows_who_moved_what_and_strikes_out_what_was_corrected() -> None:
    html = slab_page(young(), record=page_record(HISTORY, "ab12", AT[2], None, "us"))
    text = Page(html).text
    assert "walk, strip: projected → released: criteria met" in text
    assert "drill signed-off: tried by hand" in text
    assert "Ines Okafor" in text
    assert "cylinder: 3630 psi; 7 d" in text
    assert "covered, 1 layer" in text
    assert "ab12" in text
    assert "2 readings, 1 of them corrected" in text
    assert html.count('class="gone"') == 1
    assert "Wed 10 Mar 2027 13:00" in text  # entered an hour after it was said
    assert "Done at the slab" not in text


def test_the_days_ahead_stop_where_the_forecast_does() -> None:
    rows = days_ahead(weather(0.0, 3).weather, START_H, "America/New_York", "si")
    assert [row.day for row in rows] == ["Tue 9 Mar", "Wed 10 Mar", "Thu 11 Mar"]
    assert all(row.freezes for row in rows[1:])
    assert {row.rain for row in rows} == {row.wind for row in rows} == {"–"}
    past = days_ahead(weather(0.0, 3).weather, START_H + 900.0, None, "si")
    assert past == []


def test_a_chosen_start_comes_before_the_best_one() -> None:
    best = week(12.0)
    assert best.best is not None
    other = next(i for i in best.ranked if i != best.best)
    chosen = replace(best, starts=(best.starts[other],), best=None, ranked=(0,))
    html = week_page(best, chosen=chosen)
    assert 0 < html.index("Chosen: ") < html.index("Best start: ")
    same = replace(best, starts=(best.starts[best.best],), best=0, ranked=(0,))
    assert "Best start:" not in week_page(best, chosen=same)


def test_readings_stand_beside_the_model_and_newest_first() -> None:
    html = slab_page(young())
    table = html.split('class="readings"')[1].split("</table>")[0]
    rows = [re.findall(r"<td>(.*?)</td>", row) for row in table.split("<tr>")[2:]]
    assert [row[0] for row in rows][:2] == ["Thu 11 Mar 00:00", "Wed 10 Mar 12:00"]
    assert all(row[2] == "8 °C" for row in rows)
    assert all(re.fullmatch(r"-?[\d.]+ °C", cell) for row in rows for cell in row[2:])


def test_what_is_left_out_is_said() -> None:
    answer = replace(old(), record=replace(old().record, seen=seen(36.0, 9.0)))
    count = len(answer.record.seen) - 40
    assert f"{count} older readings are in the record" in Page(slab_page(answer)).text


def test_a_test_of_strength_is_listed_and_drawn() -> None:
    record = replace(old().record, tested=(records.Tested(START_H + 500.0, 26.0, "cylinder"),))
    html = slab_page(replace(old(), record=record))
    assert "strength test, cylinder: 26 MPa" in Page(html).text
    assert 'class="test"' in html


def test_an_old_slab_gets_its_history_by_days() -> None:
    assert "Temperature since the pour, day by day" in Page(slab_page(old())).text
    assert "day by day" not in Page(slab_page(young())).text


def test_a_slab_that_is_no_longer_followed_says_so() -> None:
    html = slab_page(far_on())
    assert "not followed this far" in Page(html).text
    assert 'id="temperature-wide-title"' not in html
    assert 'id="temperature-wide-title"' in slab_page(old())


def test_sources_and_versions_are_named() -> None:
    text = Page(slab_page(young(), forecast=weather(7.0, 7))).text
    for wanted in ("a made-up source", "curecast 9.9", "America/New_York", "54 h ago"):
        assert wanted in text
    for key in (a.key for a in young().job.assumed):
        assert key in text


def test_a_week_has_one_best_start_a_row_a_day_and_dates() -> None:
    answer = week(12.0)
    html = week_page(answer)
    assert answer.best is not None
    table = html.split('class="stacked days"')[1].split("</table>")[0]
    assert table.count('scope="row"') == 2
    assert table.count(">best<") == 1
    assert "Dates of the best start" in html
    assert 'class="ring"' in html


def test_a_week_without_a_start_that_works_says_so() -> None:
    answer = week(-16.0)
    html = week_page(answer, notes=["Warmer nights would do."])
    text = Page(html).text
    assert answer.best is None
    assert "No start of this week works." in text
    assert "Warmer nights would do." in text
    assert ">best<" not in html
    assert "Dates of the best start" not in html
    assert text.count("do not pour") >= 3


def test_what_was_found_of_the_job_stands_in_groups() -> None:
    groups = [("First", ("Plan a test.",)), ("Will it hold", (BAD, "the cone holds 22 kN"))]
    page = Page(week_page(week(8.0), soundness=groups))
    at = page.text.index("What to buy, and will it hold")
    assert page.text.index("Plan a test.", at) < page.text.index("the cone holds 22 kN", at)
    assert BAD in page.texts
    assert "script" not in page.tags
    assert "What to buy" not in Page(week_page(week(8.0))).text
    slab = Page(slab_page(young(), soundness=groups[1:]))
    assert "the cone holds 22 kN" in slab.text
