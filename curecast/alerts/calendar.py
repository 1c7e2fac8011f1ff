"""The holds of a slab as a calendar (RFC 5545), for any phone: it works without this computer.

Times are UTC, so that no zone table is needed. An entry's UID never changes; its SEQUENCE
rises when its date, its words or its status change, and a withdrawn hold is CANCELLED.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

from curecast import __version__
from curecast.alerts.findings.holds import last_changes
from curecast.clock import from_unix_h, unix_h
from curecast.job.layout import Job
from curecast.prospect.standing import HoldAnswer, SlabAnswer
from curecast.store.calendar import CalendarEntry, keep_entry, last_entries
from curecast.store.connection import Store
from curecast.store.holds import hold_changes
from curecast.store.rows import HoldChange, Placement

__all__ = ["calendar_entries", "cancel_entries", "render_calendar", "render_entries"]

_REMIND_BEFORE = timedelta(minutes=30)
_LASTS = timedelta(hours=1)
#: How often a subscriber looks again (RFC 7986 5.7).
_ASK_AGAIN = timedelta(hours=1)
_ADVICE = (
    "Advice from a calculation; the makers' manuals, local code and licensed practice decide. "
    "Only a hold that says so here is released, and only as of the last update of this calendar."
)


def calendar_entries(
    store: Store, placement: Placement, job: Job, answer: SlabAnswer | None, now: datetime
) -> list[CalendarEntry]:
    """Every entry of a placement as it stands now, kept with its number.

    Parameters
    ----------
    store : Store
    placement : Placement
        Chosen or poured.
    job : Job
    answer : SlabAnswer or None
        The slab; None before the pour: then only the chosen start is an entry.
    now : datetime
        [aware]

    Returns
    -------
    list of CalendarEntry
        An entry that is gone is among them, CANCELLED.
    """
    before = last_entries(store, placement)
    if answer is None:
        poured = placement.state == "poured"
        words = f"{job.name}: {'poured' if poured else 'chosen start of the pour'}"
        said = [("pour", (words, placement.start_at, "CONFIRMED" if poured else "TENTATIVE"))]
    else:
        last = last_changes(hold_changes(store, placement), answer.now_h)
        said = [("pour", (f"{job.name}: poured", placement.start_at, "CONFIRMED"))]
        for name, hold in answer.holds.items():
            entry = _entry(job.name, hold, last.get(name), before.get(name))
            said += [(name, entry)] if entry is not None else []
    return _kept(store, placement, said, before, now)


def cancel_entries(store: Store, placement: Placement, job: str, now: datetime) -> None:
    """Strike out every date ahead of a job that is closed."""
    before = last_entries(store, placement)
    open_ones = {name: e for name, e in before.items() if e.status == "TENTATIVE"}
    said = [
        (name, (f"{job}: {name} (the job is closed)", e.starts_at, "CANCELLED"))
        for name, e in open_ones.items()
    ]
    _kept(store, placement, said, before, now)


def _kept(
    store: Store,
    placement: Placement,
    said: list[tuple[str, tuple[str, datetime, str]]],
    before: dict[str, CalendarEntry],
    now: datetime,
) -> list[CalendarEntry]:
    """Entries with their numbers; the store is only written where one has changed."""
    same = {name: (e.words, e.starts_at, e.status) for name, e in before.items()}
    if all(same.get(name) == entry for name, entry in said):
        return [before[name] for name, _ in said]
    with store.write():
        return [keep_entry(store, placement, name, *entry, now) for name, entry in said]


def _entry(
    job: str, hold: HoldAnswer, change: HoldChange | None, before: CalendarEntry | None
) -> tuple[str, datetime, str] | None:
    """Words, start and status of one hold; None where there is nothing to say."""
    name = hold.rule.name
    was = None if before is None else before.starts_at
    since = from_unix_h(hold.count_on_h) if change is None and was is None else None
    moved_at = was or (change.at if change is not None else since)
    if hold.state in ("released", "signed-off") and change is not None:
        by = "released" if hold.state == "released" else "signed off by a person"
        return f"{job}: {name} is {by}", _whole(change.at), "CONFIRMED"
    if hold.state in ("withdrawn", "barred") and moved_at is not None:
        return f"STOP, {job}: {name} is {hold.state}", _whole(moved_at), "CANCELLED"
    if hold.state in ("projected", "unproven") and math.isfinite(hold.count_on_h):
        ahead = "by the model, not a go-ahead"
        words = ahead if hold.state == "projected" else "date has passed, evidence is lacking"
        return f"{job}: {name} ({words})", _hour_after(hold.count_on_h), "TENTATIVE"
    if before is None:
        return None
    gone = "is over" if hold.state == "over" else "has no date in sight"
    return f"{job}: {name} {gone}", before.starts_at, "CANCELLED"


def _hour_after(at_h: float) -> datetime:
    """The next whole hour: a date that wavers by minutes is no other date."""
    return from_unix_h(math.ceil(at_h - 1e-6))


def _whole(at: datetime) -> datetime:
    return at.replace(microsecond=0)


def render_calendar(
    job: Job, placement: Placement, entries: Sequence[CalendarEntry], now: datetime
) -> str:
    """The calendar's text.

    Parameters
    ----------
    job : Job
    placement : Placement
    entries : sequence of CalendarEntry
        From ``calendar_entries``.
    now : datetime
        [aware]

    Returns
    -------
    str
        RFC 5545, lines folded and ended by CR LF.
    """
    name = f"{job.name}: holds"
    return render_entries(name, [(job.name, placement.id, e) for e in entries], now)


def render_entries(
    name: str, entries: Sequence[tuple[str, str, CalendarEntry]], now: datetime
) -> str:
    """The text of a calendar of one job or of many.

    Parameters
    ----------
    name : str
        Of the calendar.
    entries : sequence of (str, str, CalendarEntry)
        Each with its job's name and its placement's id.
    now : datetime
        [aware]

    Returns
    -------
    str
        RFC 5545, lines folded and ended by CR LF; the same for the same entries within an
        hour.
    """
    from icalendar import Calendar

    looked = f"{now:%Y-%m-%d %H}:00Z"
    about = f"Where the holds stood when they were last looked at, {looked}. {_ADVICE}"
    calendar = Calendar()
    calendar.add("prodid", f"-//curecast//curecast {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    calendar.add("description", about)
    calendar.add("refresh-interval", _ASK_AGAIN, {"VALUE": "DURATION"})
    calendar.add("x-wr-calname", name)
    calendar.add("x-wr-caldesc", about)
    calendar.add("x-published-ttl", "PT1H")
    for job, placement_id, entry in entries:
        calendar.add_component(_event(job, placement_id, entry, now))
    text: bytes = calendar.to_ical()
    return text.decode()


def _event(job: str, placement_id: str, entry: CalendarEntry, now: datetime):  # type: ignore[no-untyped-def]
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", f"{placement_id}-{entry.name}@curecast")
    # Without a METHOD this is when the entry was last revised, not when it was written out.
    event.add("dtstamp", _whole(entry.recorded_at))
    event.add("last-modified", _whole(entry.recorded_at))
    event.add("sequence", entry.sequence)
    event.add("dtstart", _whole(entry.starts_at))
    event.add("dtend", _whole(entry.starts_at) + _LASTS)
    event.add("summary", entry.words)
    event.add("description", f"{_ADVICE}\nTo see where it stands: curecast holds {job}")
    event.add("status", entry.status)
    event.add("transp", "TRANSPARENT")
    if entry.status != "CANCELLED" and unix_h(entry.starts_at) > unix_h(now):
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", entry.words)
        alarm.add("trigger", -_REMIND_BEFORE)
        event.add_component(alarm)
    return event
