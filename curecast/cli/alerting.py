"""``alerts`` and ``quiet``: what was said to whom, a trial of every address, and silence."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import command, wrong_usage
from curecast.cli.context import Context

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.alerts.messages import Message
    from curecast.job.layout import Job
    from curecast.store.connection import Store

#: Said wherever alerts are set up.
SETUP = (
    "First the calendar, which works without this computer: curecast calendar --keep FILE.ics",
    "A laptop that is shut watches nothing: no alert leaves it until it wakes.",
)

_Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[test] [JOB] | secret NAME",
        show_default=False,
        help='A job\'s name; "test" before it sends a trial to each of its addresses; '
        '"secret NAME" keeps what an address names as ${NAME} in the system\'s keyring.',
    ),
]


@command("alerts", example="curecast alerts test")
def alerts(ctx: Context, words: _Words = None) -> int | None:
    """What was sent, to whom and when, and what waits; or a trial message."""
    said = list(words or [])
    if said and said[0] == "secret":
        return _keep_secret(ctx, said[1:])
    trial = bool(said) and said[0] == "test"
    names = said[1:] if trial else said
    if len(names) > 1:
        wrong_usage("name one job, or none", "for instance: curecast alerts crane-base")
    if trial:
        return _try_out(ctx, names[0] if names else None)
    if not ctx.has_store():
        none: dict[str, list[str]] = {"sent": [], "failed": [], "waiting": [], "stopped": []}
        ctx.emit(none, ["Nothing was ever sent.", *SETUP])
        return 0
    with ctx.store() as store:
        return _list(ctx, store, names[0] if names else None)


def _keep_secret(ctx: Context, names: list[str]) -> int:
    """Ask for a secret, unseen, and put it into the keyring; piped in, it is read from there."""
    from curecast.alerts.secrets import keep_secret

    if len(names) != 1:
        wrong_usage("name one secret", "for instance: curecast alerts secret YARD_TOKEN")
    (name,) = names
    if sys.stdin.isatty():
        value = typer.prompt(f"The secret {name}", hide_input=True, err=True)
    else:
        value = sys.stdin.readline()
    keep_secret(name, value.strip())
    ctx.emit(
        {"kept": name},
        [f"Kept in this system's keyring. In the job file write ${{{name}}} in its place."],
    )
    return 0


def _list(ctx: Context, store: Store, name: str | None) -> int:
    from curecast.alerts.addresses import redact
    from curecast.alerts.outbox import messages
    from curecast.alerts.stops import stops
    from curecast.cli.jobs import find_job

    job = None if name is None else find_job(ctx, name, store).job
    every = messages(store, None if job is None else job.name)
    known = {alert.to for alert in job.alerts} if job is not None else {m.to for m in every}
    stopped = {to: stop for to, stop in stops(store).items() if to in known}
    fates = {fate: [m for m in every if m.fate == fate] for fate in _FATES}
    lines = [
        line
        for fate in _FATES
        for line in [f"{_FATES[fate]}:", *(_line(m, job) for m in fates[fate])]
        if fates[fate]
    ]
    lines += [
        f"STOPPED since {stop.since:%Y-%m-%d %H:%MZ}: {redact(to)} ({stop.why}). Once it is "
        "mended: curecast alerts test"
        for to, stop in stopped.items()
    ]
    ctx.emit(
        {
            **{_FATES[fate]: [_told(m) for m in fates[fate]] for fate in _FATES},
            "stopped": [
                {"to": redact(to), "since": stop.since, "why": stop.why}
                for to, stop in stopped.items()
            ],
        },
        [*(lines or ["Nothing was sent, and nothing waits."]), *SETUP],
    )
    return 0


_NAME_IT = (
    "if that holds a secret, write ${NAME} in its place, and keep it: curecast alerts secret NAME"
)
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
    from curecast.alerts.addresses import in_the_open, redact
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
        [
            *(lines or ["No open job has an [[alert]] in its file, so nobody would be told."]),
            *(f"{redact(to)}: {_NAME_IT}" for to in wanted if in_the_open(to)),
            *SETUP,
        ],
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
