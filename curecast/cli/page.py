"""``page``: the small web page for the phone at the slab."""

from __future__ import annotations

import signal
import threading
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from curecast.job.layout import Job
    from curecast.page.pairing import Pairing
    from curecast.store.connection import Store

_LOOPBACK = ("127.0.0.1", "localhost", "::1")


@command("page", example="curecast page --share")
def page(
    ctx: Context,
    host: Annotated[
        str | None,
        typer.Option("--host", metavar="ADDRESS", show_default=False, help="Where it listens."),
    ] = None,
    port: Annotated[
        int, typer.Option("--port", metavar="N", min=0, max=65535, help="0: any that is free.")
    ] = 8765,
    share: Annotated[
        bool, typer.Option("--share", help="For phones on the same network; each pairs by a code.")
    ] = False,
    forget: Annotated[
        bool, typer.Option("--forget", help="First let every paired phone pair anew.")
    ] = False,
    forecast: ForecastOption = None,
) -> int | None:
    """A small web page for the phone at the slab: what may be done now, and readings put down."""
    from curecast.page.answers import Answers
    from curecast.page.app import make_app
    from curecast.page.gate import Gate
    from curecast.page.pairing import Pairing, forget_phones, signing_key
    from curecast.page.serve import addresses, listen, serve
    from curecast.page.sky import Sky

    if host is not None and host not in _LOOPBACK and not share:
        wrong_usage(f"{host} can be reached by others", "say --share, so that phones have to pair")
    host = host or ("0.0.0.0" if share else "127.0.0.1")
    clock, shift = _clock(ctx)
    with ctx.writing_store() as store:
        if forget:
            forget_phones()
        pairing = Pairing(_say_code(ctx)) if share else None
        answers = Answers(store, clock, ctx.units, ctx.debug)
        sky = Sky(answers, _weather(store, forecast))
        shift_ms = round(shift.total_seconds() * 1000.0)
        gate = Gate(pairing, names=(host,))
        app = make_app(answers, gate, signing_key(), shift_ms=shift_ms, debug=ctx.debug)
        with listen(host, port) as sock:
            _tell(ctx, addresses(host, sock.getsockname()[1]), pairing)
            answers.start()
            sky.start()
            try:
                serve(app, sock, _end())
            finally:
                sky.stop.set()
                answers.stop()
    return 0


def _clock(ctx: Context) -> tuple[Callable[[], datetime], timedelta]:
    """The present, and how far it is ahead of the true one: a clock that ``--now`` set runs on."""
    from curecast.clock import utc_now

    shift = timedelta(0) if ctx.said_now is None else ctx.now() - utc_now()
    return lambda: utc_now() + shift, shift


def _weather(store: Store, file: Path | None) -> Callable[[Job, datetime], str]:
    def get(job: Job, now: datetime) -> str:
        from curecast.clock import unix_h
        from curecast.outlook import get_outlook

        return get_outlook(job, unix_h(now), file=file, store=store)[1]

    return get


def _say_code(ctx: Context) -> Callable[[str], None]:
    return lambda code: ctx.aside(f"Code for the next phone, good once, for ten minutes: {code}")


def _tell(ctx: Context, found: list[str], pairing: Pairing | None) -> None:
    """The address, and for others the code; then it is silent."""
    code = None if pairing is None else pairing.ask()
    told: dict[str, Any] = {
        "address": found[0],
        "addresses": found,
        "share": pairing is not None,
        "code": code,
    }
    others = "on the phone, on this network" if pairing else "on this computer"
    lines = [f"Open {others}: {address}" for address in found]
    if pairing is None:
        lines.append("Only this computer reaches it; for the phone at the slab: --share")
    else:
        lines.append("Whoever is on the network can read along: use one that you trust.")
    ctx.emit(told, [*lines, "It ends with Ctrl-C."])
    import sys

    sys.stdout.flush()


def _end() -> threading.Event:
    """Set by the signals that end a program."""
    stop = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stop.set())
    return stop
