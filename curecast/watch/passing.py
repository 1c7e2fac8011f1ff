"""One pass of the watch: weather, every open job, what is to be said, and sending it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial

from curecast.alerts.calendar import calendar_entries
from curecast.alerts.channels.registry import Channel, find_channel
from curecast.alerts.feeds import write_kept
from curecast.alerts.findings import Finding, Said, day_findings, slab_findings
from curecast.alerts.messages import Message
from curecast.alerts.outbox import messages, queue
from curecast.alerts.routing import due_at, keeps_quiet, wants
from curecast.alerts.stops import Stop, stops
from curecast.alerts.wording import word
from curecast.clock import from_unix_h, show_instant, unix_h
from curecast.core.weather.series import Forecast
from curecast.errors import CurecastError
from curecast.job.layout import Job
from curecast.prospect.standing import SlabAnswer
from curecast.prospect.week import VERDICTS, assess_week
from curecast.sources.freshness import check_fresh
from curecast.store.connection import Store
from curecast.store.holds import hold_changes
from curecast.store.hushes import hushed
from curecast.store.jobs import latest_version, open_jobs
from curecast.store.placements import find_placement
from curecast.store.rows import JobRow, Placement
from curecast.store.watching import Gap, waking_gap
from curecast.tracking import (
    assess_and_record,
    keep_forecast,
    known_forecasts,
    place_of,
    stored_job,
    with_climate,
    with_zone,
)
from curecast.watch.ahead import batches, judged_ahead
from curecast.watch.notes import address_notes, found_late
from curecast.watch.sending import send_all

__all__ = ["WatchReport", "watch_once"]

#: Gives the newest forecast for a job, None or a ``CurecastError`` where there is none.
GetWeather = Callable[[Job, datetime], Forecast | None]


@dataclass(frozen=True)
class WatchReport:
    """One pass: what went out, what waits, what was given up, and what else is to be known."""

    sent: tuple[Message, ...]
    queued: tuple[Message, ...]
    failed: tuple[Message, ...]
    notes: tuple[str, ...]
    gap: Gap | None = None


@dataclass
class _Pass:
    """What one pass shares: weather is asked once for each place."""

    store: Store
    now: datetime
    get_weather: GetWeather
    notes: list[str] = field(default_factory=list)
    fetched: dict[str, str] = field(default_factory=dict)
    stopped: dict[str, Stop] = field(default_factory=dict)
    ahead: dict[str, SlabAnswer] = field(default_factory=dict)

    def in_turn(self) -> Iterator[JobRow]:
        """The open jobs; of those whose turn comes next the slabs are judged side by side."""
        for some in batches(open_jobs(self.store)):
            self.ahead = {}  # the last ones' histories are large
            self.ahead = judged_ahead(self.store, some, self.now, partial(_known, self))
            yield from some
    gap: Gap | None = None


def watch_once(
    store: Store,
    now: datetime,
    *,
    get_weather: GetWeather,
    told: Callable[[str], None] = lambda _: None,
    channels: Callable[[str], Channel] = find_channel,
    go_on: Callable[[], bool] = lambda: True,
) -> WatchReport:
    """Refresh and judge every open job, queue what is to be said, send what is due.

    Parameters
    ----------
    store : Store
    now : datetime
        The clock at the start of the pass. [aware]
    get_weather : callable
        Asked once for each place; where it gives nothing, a kept forecast up to a day old
        serves.
    told : callable
        Called with the name of each job as its turn comes.
    channels : callable
        Gives the channel of an address.
    go_on : callable
        Asked before each job; False ends the pass early, and what is due is still sent.

    Returns
    -------
    WatchReport
        A job that cannot be judged is a note; it stops no other, nor the sending.
    """
    one = _Pass(store, now, get_weather, stopped=stops(store), gap=waking_gap(store, now))
    for row in one.in_turn():
        if not go_on():
            break
        told(row.name)
        try:
            _watch_job(one, row)
        except CurecastError as error:
            one.notes.append(f"{row.name}: {error.message}")
        except Exception as fault:
            # The others' alerts must not hang on a fault in one job.
            one.notes.append(f"{row.name}: a fault in curecast ({type(fault).__name__}: {fault})")
    one.notes += _write_calendars(store, now)
    sending = send_all(store, now, channels)
    return WatchReport(sending.sent, sending.queued, sending.failed, tuple(one.notes))


def _write_calendars(store: Store, now: datetime) -> list[str]:
    """Bring the kept calendars up to date; what goes wrong there holds no alert up."""
    try:
        return write_kept(store, now)
    except CurecastError as error:
        return [error.message]


def _watch_job(one: _Pass, row: JobRow) -> None:
    placement = find_placement(one.store, row)
    if placement is None:
        return
    poured = placement.state == "poured"
    job = stored_job(placement.version if poured else latest_version(one.store, row))
    one.notes += address_notes(job, one.stopped)
    note = _refresh(one, job)
    if note:
        one.notes.append(f"{job.name}: {note}")
    known = known_forecasts(one.store, job, one.now)
    if not known:
        return
    job = with_climate(one.store, with_zone(job, known), one.now)
    said = messages(one.store, job.name)
    judge = _slab if poured else _day
    findings = judge(one, job, placement, known, [Said(m.key, unix_h(m.at)) for m in said])
    quiet = hushed(one.store, row)
    findings = [f for f in findings if not keeps_quiet(quiet, f)]
    _queue(one, job, findings, {(m.key, m.to) for m in said})


def _known(one: _Pass, job: Job) -> Sequence[Forecast]:
    """The weather of a job's place, refreshed."""
    _refresh(one, job)
    return known_forecasts(one.store, job, one.now)


def _refresh(one: _Pass, job: Job) -> str:
    """Fetch and keep the forecast of a job's place; the words for what went wrong."""
    place = place_of(job)
    if place not in one.fetched:
        one.fetched[place] = _fetch(one, job, place)
    return one.fetched[place]


def _fetch(one: _Pass, job: Job, place: str) -> str:
    why, now_h = "no forecast was given", unix_h(one.now)
    try:
        forecast = one.get_weather(job, one.now)
    except CurecastError as error:
        forecast, why = None, error.message
    if forecast is not None:
        keep_forecast(one.store, place, forecast)
        return check_fresh(forecast, now_h)[1]
    known = known_forecasts(one.store, job, one.now)
    if not known or check_fresh(known[-1], now_h)[0]:
        return f"no forecast: {why}"
    return f"{why}; the forecast kept from {now_h - known[-1].issued_h:.0f} h ago is used"


def _slab(
    one: _Pass, job: Job, placement: Placement, known: Sequence[Forecast], said: Sequence[Said]
) -> list[Finding]:
    """News about a poured slab. An old forecast is more doubt, not a reason to look away."""
    answer = assess_and_record(
        one.store, job, placement, known, one.now, write=True, ahead=one.ahead.get(placement.id)
    )
    calendar_entries(one.store, placement, job, answer, one.now)
    changes = hold_changes(one.store, placement)
    return slab_findings(answer, placement.id, changes, said, newest=known[-1])


def _day(
    one: _Pass, job: Job, placement: Placement, known: Sequence[Forecast], said: Sequence[Said]
) -> list[Finding]:
    """News about a chosen start; the whole week is judged only where it could do better."""
    calendar_entries(one.store, placement, job, None, one.now)
    now_h, start_h = unix_h(one.now), unix_h(placement.start_at)
    if start_h < now_h:
        shown = show_instant(placement.start_at, job.site.zone)
        one.notes.append(
            f"{job.name}: the chosen start {shown} has passed; if it is poured, say so: "
            f"curecast pour {job.name} --start TIME"
        )
        return []
    newest = known[-1]
    if check_fresh(newest, now_h)[0]:
        return []
    week = assess_week(job, newest, now_h, only_h=start_h)
    chosen = week.starts[0]
    then = known_forecasts(one.store, job, placement.at)
    was = chosen.verdict
    if then and then[-1].issued_h != newest.issued_h:
        chosen_h = unix_h(placement.at)
        was = assess_week(job, then[-1], chosen_h, only_h=start_h).starts[0].verdict
    if chosen.verdict != VERDICTS[0]:
        week = assess_week(job, newest, now_h)
    return day_findings(week, chosen, was, placement.id, said)


def _queue(one: _Pass, job: Job, findings: Sequence[Finding], known: set[tuple[str, str]]) -> None:
    """Queue each finding for each address that wants it; all of a job's news, or none."""
    with one.store.write():
        for finding in findings:
            for alert in job.alerts:
                if (finding.key, alert.to) in known or not wants(alert, finding):
                    continue
                words = word(job, finding)
                queue(
                    one.store,
                    finding.key,
                    finding.kind,
                    job.name,
                    finding.hold,
                    words.title,
                    words.body + found_late(one.gap, job),
                    alert.to,
                    due_at(alert, finding, one.now, job.site.zone),
                    at=from_unix_h(finding.at_h),
                )
