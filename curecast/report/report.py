"""The report: one self-contained page, for paper, a desk and a phone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from curecast.core.states import PERMISSION
from curecast.core.weather.series import Forecast
from curecast.job.layout import Job
from curecast.prospect.anchorage import embedment_of
from curecast.prospect.day_sheet import DaySheet
from curecast.prospect.edge_picture import SectionFields
from curecast.prospect.needs import next_reading
from curecast.prospect.sound_sections import Section
from curecast.prospect.standing import SlabAnswer
from curecast.prospect.week import WeekAnswer
from curecast.quantities import show_quantity
from curecast.report.ahead import days_ahead
from curecast.report.lines import HoldLine
from curecast.report.pictures.dates import dates_picture
from curecast.report.pictures.history import history_picture
from curecast.report.pictures.marks import STATE_MEANS, STATE_WORDS, in_line, state_mark
from curecast.report.pictures.maturity import maturity_picture
from curecast.report.pictures.section import section_picture
from curecast.report.pictures.sheet import NARROW, WIDE, Shape
from curecast.report.pictures.starts import week_picture
from curecast.report.pictures.strength import STOPPED, growth_of, strength_picture
from curecast.report.pictures.temperature import is_followed, is_long, temperature_picture
from curecast.report.readings import LISTED, reading_rows
from curecast.report.record_rows import PageRecord
from curecast.report.slab_facts import log_rows, next_step, slab_facts, standing_lists
from curecast.report.week_facts import (
    batch_columns,
    best_dates,
    chosen_words,
    day_rows,
    week_facts,
    week_words,
    would_work,
)
from curecast.report.words import assumed_rows, weather_facts, zone_words

__all__ = ["HoldLine", "render_page", "render_slab", "render_week"]


def _pages() -> Environment:
    return Environment(
        loader=PackageLoader("curecast.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _both(draw: Callable[[Shape], Markup]) -> Markup:
    """A picture for a screen or paper and one for a phone; the page shows one of them."""
    return draw(WIDE) + draw(NARROW)


def render_slab(
    answer: SlabAnswer,
    *,
    holds: Sequence[HoldLine],
    cautions: Sequence[str],
    notes: Sequence[str],
    version: str,
    forecast: Forecast | None = None,
    units: str | None = None,
    soundness: Sequence[Section] = (),
    section: SectionFields | None = None,
    record: PageRecord | None = None,
) -> str:
    """The page of a poured slab.

    Parameters
    ----------
    answer : SlabAnswer
        Where it stands.
    holds : sequence of HoldLine
        Its holds in words, in the order in which people meet them.
    cautions : sequence of str
        What to mind, one sentence each.
    notes : sequence of str
        What else to know: changes of the job, time not watched.
    version : str
        Of curecast.
    forecast : Forecast or None
        The newest forecast, for its source and age.
    units : {"us", "si"} or None
        Whose units; None for the job's.
    soundness : sequence of Section, optional
        What holds, what falls short, what to buy: headings with their sentences.
    section : SectionFields or None
        The edge cut through at some hours; None for no such picture.
    record : PageRecord or None
        What is on record, for an inspector; None lists only what was done.

    Returns
    -------
    str
        HTML that needs nothing else.
    """
    system = units or answer.job.units
    growth = growth_of(answer)
    zone = answer.job.site.zone
    lists = standing_lists(answer, holds)
    return _render(
        "slab.html",
        answer.job,
        version,
        zone,
        facts=slab_facts(answer, growth, system),
        lists=lists,
        warm=show_quantity(20.0, "temperature", system),
        next=next_step(answer, holds),
        frozen=answer.frozen_early,
        pictures={
            "temperature": _both(lambda s: temperature_picture(answer, s, system))
            if is_followed(answer)
            else None,
            "history": _both(lambda s: history_picture(answer, s, system))
            if is_long(answer)
            else None,
            "strength": _both(lambda s: strength_picture(answer, growth, s, system)),
            "maturity": _both(lambda s: maturity_picture(answer, s)),
            "section": None
            if section is None
            else _both(
                lambda s: section_picture(section, s, system, zone, embedment_of(answer.job))
            ),
            "dates": _both(lambda s: dates_picture(answer, s)),
        },
        section_said=None if section is None else section.said,
        holds=[_row(answer, h) for h in holds],
        states=[
            (in_line(state_mark(s, 7, 7)), STATE_WORDS[s], STATE_MEANS[s])
            for s in STATE_WORDS
            if any(_state(answer, h) == s for h in holds)
        ],
        readings=reading_rows(answer, system),
        more_readings=max(0, len(answer.record.seen) - LISTED),
        log=log_rows(answer, system),
        ahead=days_ahead(answer.weather, answer.now_h, zone, system),
        record=record,
        weather=weather_facts(forecast, answer.now_h, zone),
        observed=len(answer.record.observed),
        cautions=list(cautions),
        soundness=list(soundness),
        notes=list(notes),
    )


def _state(answer: SlabAnswer, hold: HoldLine) -> str:
    found = answer.holds.get(hold.name)
    return hold.state if found is None else found.state


def _row(answer: SlabAnswer, hold: HoldLine) -> tuple[HoldLine, Markup, str, str]:
    """A hold with the mark and the words of its state, and what to say where nothing is lacking."""
    state = _state(answer, hold)
    empty = "nothing" if state in (*PERMISSION, "over") else "time"
    due = next_reading(answer)
    needs = ["the next reading" if need == due else need for need in hold.needs]
    hold = replace(hold, needs=needs)
    if state in STOPPED:  # the model's dates say nothing of a hold that is stopped
        hold = replace(hold, likely="no date", count_on="no date")
    return hold, in_line(state_mark(state, 7, 7)), STATE_WORDS.get(hold.state, hold.state), empty


def render_week(
    answer: WeekAnswer,
    *,
    cautions: Sequence[str],
    notes: Sequence[str],
    version: str,
    why: Mapping[int, Sequence[str]] | None = None,
    units: str | None = None,
    soundness: Sequence[Section] = (),
    chosen: WeekAnswer | None = None,
    sheet: DaySheet | None = None,
) -> str:
    """The page of a week, for a slab that is not poured yet.

    Parameters
    ----------
    answer : WeekAnswer
        Every start with its verdict.
    cautions : sequence of str
        What to mind, one sentence each.
    notes : sequence of str
        Why the best start won, or what would make one work.
    version : str
        Of curecast.
    why : mapping of int to sentences, optional
        By index of the start: what speaks against it.
    units : {"us", "si"} or None
        Whose units; None for the job's.
    soundness : sequence of Section, optional
        What holds, what falls short, what to buy: headings with their sentences.
    chosen : WeekAnswer or None
        The start that was chosen, judged alone.
    sheet : DaySheet or None
        The crew's day of that start, or of the best one.

    Returns
    -------
    str
        HTML that needs nothing else.
    """
    system = units or answer.job.units
    zone = answer.job.site.zone
    return _render(
        "week.html",
        answer.job,
        version,
        zone,
        facts=week_facts(answer, system),
        answer=week_words(answer, chosen),
        chosen=None if chosen is None else chosen_words(chosen),
        sheet=sheet,
        columns=batch_columns(sheet),
        ahead=days_ahead(answer.forecast.weather, answer.now_h, zone, system),
        works=answer.best is not None,
        any_start=bool(answer.starts),
        would_work=would_work(answer),
        picture=_both(lambda s: week_picture(answer, s, system)),
        days=day_rows(answer, why or {}, system),
        dates=best_dates(answer),
        weather=weather_facts(answer.forecast, answer.now_h, zone),
        cautions=list(cautions),
        soundness=list(soundness),
        notes=[n.strip().removeprefix("- ") for n in notes if not n.endswith(":")],
    )


def _render(template: str, job: Job, version: str, zone: str | None, **told: Any) -> str:
    return render_page(template, job, version, zone, assumed=assumed_rows(job), **told)


def render_page(template: str, job: Job, version: str, zone: str | None, **told: Any) -> str:
    """One page by its template; ``told`` is all that the template asks besides its frame."""
    page = _pages().get_template(template)
    return page.render(job=job, version=version, clock=zone_words(zone), **told)
