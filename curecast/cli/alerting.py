"""``alerts`` and ``quiet``: what was said to whom, a trial of every address, and silence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import command, wrong_usage
from curecast.cli.context import Context

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.alerts.messages import Message
    from curecast.job.layout import Job
    from curecast.store.connection import Store

_Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[test] [JOB]",
        show_default=False,
        help='A job\'s name; "test" before it sends a trial to each of its addresses.',
    ),
]


@command("alerts", example="curecast alerts test")
def alerts(ctx: Context, words: _Words = None) -> int | None:
    """What was sent, to whom and when, and what waits; or a trial message."""
    said = list(words or [])
    trial = bool(said) and said[0] == "test"
    names = said[1:] if trial else said
    if len(names) > 1:
        wrong_usage("name one job, or none", "for instance: curecast alerts crane-base")
    if trial:
        return _try_out(ctx, names[0] if names else None)
    if not ctx.has_store():
        ctx.emit({"sent": [], "failed": [], "waiting": []}, ["Nothing was ever sent."])
        return 0
    with ctx.store() as store:
        return _list(ctx, store, names[0] if names else None)


def _list(ctx: Context, store: Store, name: str | None) -> int:
    from curecast.alerts.outbox import messages
    from curecast.cli.jobs import find_job

    job = None if name is None else find_job(ctx, name, store).job
    every = messages(store, None if job is None else job.name)
    fates = {fate: [m for m in every if m.fate == fate] for fate in _FATES}
    ctx.emit(
        {_FATES[fate]: [_told(m) for m in fates[fate]] for fate in _FATES},
        [
            line
            for fate in _FATES
            for line in [f"{_FATES[fate]}:", *(_line(m, job) for m in fates[fate])]
            if fates[fate]
        ]
        or ["Nothing was sent, and nothing waits."],
    )
    return 0


_FATES = {"sent": "sent", "failed": "failed", "waiting": "waiting", "overtaken": "overtaken"}


def _told(message: Message) -> dict[str, Any]:
    from curecast.cli.watch_lines import message_json

    return {**message_json(message), "at": message.at, "failed_at": message.failed_at}


def _line(message: Message, job: Job | None) -> str:
    from curecast.clock import show_instant

    zone = None if job is None else job.site.zone
    at = message.sent_at or message.failed_at or message.overtaken_at or message.due_at
    due = "due " if message.fate == "waiting" else ""
    why = f" ({message.last_error})" if message.last_error else ""
    return f"  {due}{show_instant(at, zone)}, {message.shown_to}: {message.title}{why}"


def _try_out(ctx: Context, name: str | None) -> int:
    """Send a trial to every address, through the outbox, so that it is on record too."""
    from curecast.alerts.outbox import messages, send_due
    from curecast.cli.jobs import find_job
    from curecast.store.identity import new_id
    from curecast.store.jobs import open_jobs

    with ctx.writing_store() as store:
        names = [name] if name is not None else [row.name for row in open_jobs(store)]
        jobs = [find_job(ctx, one, store).job for one in names]
        mark = new_id()
        wanted = {alert.to: job for job in reversed(jobs) for alert in job.alerts}
        for to, job in wanted.items():
            _queue_trial(store, job, to, mark, ctx.now())
        send_due(store, ctx.now())
        tried = [m for m in messages(store) if m.key.endswith(mark)]
    sent = [m for m in tried if m.fate == "sent"]
    failed = [m for m in tried if m.fate == "failed"]
    waiting = [m for m in tried if m.fate == "waiting"]
    lines = [f"arrived: {m.shown_to}" for m in sent]
    lines += [f"NOT sent, tried again later: {m.shown_to} ({m.last_error})" for m in waiting]
    lines += [f"NOT sent: {m.shown_to} ({m.last_error})" for m in failed]
    ctx.emit(
        {
            "sent": [_told(m) for m in sent],
            "failed": [_told(m) for m in failed],
            "waiting": [_told(m) for m in waiting],
        },
        lines or ["No open job has an [[alert]] in its file, so nobody would be told."],
    )
    return 0 if sent and not failed and not waiting else 75 if failed or waiting else 1


def _queue_trial(store: Store, job: Job, to: str, mark: str, now: datetime) -> None:
    from curecast.alerts.outbox import queue

    body = (
        f"This is a trial of the alerts of {job.name}. Nothing has happened at the slab.\n"
        f"What is sent and what waits: curecast alerts {job.name}"
    )
    title = f"{job.name}: a trial message"
    queue(store, f"{job.name}/-/test/-/{mark}", "test", job.name, None, title, body, to, now)


@command("quiet", example="curecast quiet crane-base walk")
def quiet(
    ctx: Context,
    job: Annotated[str, typer.Argument(metavar="JOB", help="A job's name.")],
    hold: Annotated[str | None, typer.Argument(metavar="[HOLD]", help="One hold.")] = None,
    off: Annotated[bool, typer.Option("--off", help="Let it speak again.")] = False,
) -> int | None:
    """Tell a job or a hold to keep quiet; freeze and withdrawal are said all the same."""
    from curecast.cli.jobs import find_job
    from curecast.errors import InputError
    from curecast.job.layout import HOLDS
    from curecast.store.hushes import add_hush, hushed

    if hold is not None and hold not in HOLDS:
        raise InputError(f'no hold is called "{hold}"', f"one of: {', '.join(HOLDS)}")
    with ctx.writing_store() as store:
        found = find_job(ctx, job, store)
        if found.row is None:
            raise InputError(f"{found.job.name} is not in the store", "choose or pour it first")
        add_hush(store, found.row, hold, not off, ctx.now())
        silent = sorted(name or "all" for name in hushed(store, found.row))
    ctx.emit(
        {"quiet": silent},
        [
            f"{found.job.name}: quiet about {', '.join(silent)}."
            if silent
            else f"{found.job.name}: speaks of everything.",
            "A freeze ahead, and a withdrawal, are said all the same.",
        ],
    )
    return 0
