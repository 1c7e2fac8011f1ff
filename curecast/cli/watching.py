"""``watch``: once, on and on, its state, and how to have it started."""

from __future__ import annotations

import signal
import sys
from collections import deque
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.core.weather.series import Forecast
    from curecast.job.layout import Job
    from curecast.store.connection import Store
    from curecast.watch import WatchReport

_AT_FIRST = (
    "First the calendar, which works without this computer: curecast calendar --keep FILE.ics",
    "A computer that is shut watches nothing; what it missed is done once it wakes. To have this "
    "started by itself: curecast watch --install-help",
)
#: So many messages are named in the answer of a watch that ran long.
_NAMED = 1000


@command("watch", example="curecast watch --once")
def watch(
    ctx: Context,
    once: Annotated[bool, typer.Option("--once", help="One pass, then end: for cron.")] = False,
    status: Annotated[bool, typer.Option("--status", help="Does anybody watch?")] = False,
    install_help: Annotated[
        bool, typer.Option("--install-help", help="How to have it started by itself.")
    ] = False,
    forecast: ForecastOption = None,
) -> int | None:
    """Refresh the weather, recompute every open job, send what is due; again and again."""
    if sum((once, status, install_help)) > 1:
        wrong_usage("say one of --once, --status and --install-help", "or none, to watch on")
    if install_help:
        from curecast.cli.install_help import install_lines

        lines = install_lines()
        ctx.emit({"lines": lines}, lines)
        return 0
    if status:
        return _status(ctx)
    return _once(ctx, forecast) if once else _on_and_on(ctx, forecast)


def _once(ctx: Context, forecast: Path | None) -> int:
    from curecast.cli.watch_lines import watch_json, watch_lines
    from curecast.store.identity import new_id
    from curecast.store.watching import last_span, sign_of_life

    with ctx.writing_store() as store:
        first, owner, who = last_span(store) is None, new_id(), "one pass at a time"
        gap = sign_of_life(store, owner, who, ctx.now())[1]
        done = _one_pass(ctx, store, forecast)(ctx.now())
        sign_of_life(store, owner, who, ctx.now(), passed=True)
    ctx.emit(watch_json(done, gap), watch_lines(done, gap))
    for line in _AT_FIRST if first else ():
        ctx.aside(line)
    return 75 if done.failed else 0


def _on_and_on(ctx: Context, forecast: Path | None) -> int:
    from curecast.cli.watch_lines import watch_json, watch_lines
    from curecast.clock import utc_now
    from curecast.watch import WatchReport
    from curecast.watch.clockwork import Clockwork, sign_file
    from curecast.watch.sending import send_all

    if ctx.said_now is not None:
        wrong_usage("a watch that goes on needs the clock to go on", "leave --now, or say --once")
    sent: deque[Any] = deque(maxlen=_NAMED)
    failed: deque[Any] = deque(maxlen=_NAMED)
    last = WatchReport((), (), (), ())

    def say(done: WatchReport) -> None:
        nonlocal last
        sent.extend(done.sent)
        failed.extend(done.failed)
        fresh = WatchReport(done.sent, (), done.failed, done.notes)
        if fresh != WatchReport((), (), (), ()) and (fresh != last or done.sent or done.failed):
            for line in watch_lines(fresh, done.gap):
                ctx.aside(f"{ctx_time(utc_now())} {line}")
            last = fresh

    def send(now: datetime) -> WatchReport:
        done = send_all(work.store, now)
        return WatchReport(done.sent, done.queued, done.failed, ())

    with ctx.writing_store() as store:
        work = Clockwork(store, utc_now, lambda now: pass_(now), send, say)
        pass_ = _one_pass(ctx, store, forecast, lambda: not work.stop.is_set())
        for line in _first_words(sign_file(store)):
            ctx.aside(line)
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: work.stop.set())
        work.run()
    done = WatchReport(tuple(sent), (), tuple(failed), ())
    ctx.emit(watch_json(done, None), ["the watch has ended"])
    return 0


def ctx_time(now: datetime) -> str:
    """An instant at the head of a line that the watch says: UTC, to the second."""
    return f"{now:%Y-%m-%d %H:%M:%SZ}"


def _first_words(sign: Path | None) -> list[str]:
    shown = "" if sign is None else f" An outside monitor can read {sign}."
    return [
        "First the calendar, which works without this computer: curecast calendar --keep FILE.ics",
        "Watching until stopped. A computer that is shut watches nothing; what it missed is done "
        "once it wakes.",
        f"Is it alive: curecast watch --status.{shown}",
    ]


def _one_pass(
    ctx: Context, store: Store, file: Path | None, go_on: Callable[[], bool] = lambda: True
) -> Callable[[datetime], WatchReport]:
    """One pass over every open job at a given time."""
    from dataclasses import replace

    from curecast.clock import unix_h
    from curecast.outlook import get_outlook
    from curecast.watch import watch_once

    def run(now: datetime) -> WatchReport:
        notes: list[str] = []

        def get_weather(job: Job, at: datetime) -> Forecast | None:
            found, note = get_outlook(job, unix_h(at), file=file, store=store)
            notes.extend([f"{job.name}: {note}"] if note else [])
            return found

        done = watch_once(
            store, now, get_weather=get_weather, told=lambda name: _told(ctx, name), go_on=go_on
        )
        return replace(done, notes=tuple(dict.fromkeys((*done.notes, *notes))))

    return run


def _told(ctx: Context, name: str) -> None:
    if sys.stderr.isatty() and not ctx.json:
        ctx.aside(f"{name} ...")


def _status(ctx: Context) -> int:
    """Whether somebody watches, since when nobody did, and what waits."""
    from curecast.alerts.outbox import messages
    from curecast.cli.watch_lines import gap_words
    from curecast.store.watching import GAP, LEASE, gaps, last_span
    from curecast.watch.clockwork import sign_file

    now = ctx.now()
    if not ctx.has_store():
        ctx.emit({"watching": False}, ["Nobody has ever watched here."])
        return 1
    with ctx.store() as store:
        span, waiting = last_span(store), messages(store, waiting=True)
        lately = gaps(store, now - timedelta(days=14))
        given_up = messages(store, failed_since=now - timedelta(days=7))
        sign = sign_file(store)
    good_for = GAP if span is None or span.lease_until is None else LEASE
    alive = span is not None and span.ended_at is None and now - span.seen_at <= good_for
    told: dict[str, Any] = {
        "watching": alive,
        "who": None if span is None else span.who,
        "since": None if span is None else span.at,
        "seen_at": None if span is None else span.seen_at,
        "passed_at": None if span is None else span.passed_at,
        "waiting": len(waiting),
        "failed": len(given_up),
        "not_watched": [{"from": g.since, "to": g.until} for g in lately],
        "sign_of_life": sign,
    }
    lines = ["Nobody has ever watched here."]
    if span is not None:
        word = "Watched" if alive else "NOT watched: the last sign is from"
        lines = [
            f"{word} by {span.who}: since {ctx_time(span.at)}, last sign {ctx_time(span.seen_at)}."
            if alive
            else f"{word} {ctx_time(span.seen_at)}, by {span.who}."
        ]
    lines += [gap_words(g) for g in lately]
    lines.append(f"{len(waiting)} messages wait; {len(given_up)} were given up in the last 7 days.")
    ctx.emit(told, lines)
    return 0 if alive else 1
