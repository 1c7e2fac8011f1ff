"""The weather that a command rests on: asked for, read from a file, or as it is kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.core.weather.series import Forecast
    from curecast.job.layout import Job
    from curecast.outlook.asking import Told
    from curecast.sources.nws_alerts import Notice
    from curecast.store.connection import Store

ForecastOption = Annotated[
    Path | None,
    typer.Option(
        "--forecast",
        metavar="FILE",
        show_default=False,
        help="A saved forecast (the service's hourly or grid JSON, or CSV) instead of asking.",
    ),
]
ForecastsOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--forecast",
        metavar="FILE",
        show_default=False,
        help="A saved forecast instead of asking; given twice, both are followed.",
    ),
]


@dataclass(frozen=True)
class Outlook:
    """The newest forecast, the job read in its zone, and what is to be said about it.

    ``now_h`` is the present that the forecast is judged by, hours since 1970.
    """

    job: Job
    forecast: Forecast
    now_h: float
    note: str
    told: tuple[Told, ...] = ()
    notices: tuple[Notice, ...] = ()
    beside: tuple[Forecast, ...] = ()


def find_outlook(
    ctx: Context,
    job: Job,
    file: Path | None,
    store: Store | None = None,
    others: Sequence[Path] = (),
) -> Outlook:
    """The newest forecast for a job; the clock and the zone of the command follow it.

    Parameters
    ----------
    ctx : Context
    job : Job
    file : Path or None
        A saved forecast; None asks the service.
    store : Store or None
        The store, where the command has opened it to write; None: the one that is there, or a
        new one, keeps what is fetched.
    others : sequence of Path
        More saved forecasts of the same place.

    Raises
    ------
    WeatherError
        There is none, or it cannot be trusted.
    """
    from curecast.clock import from_unix_h, unix_h
    from curecast.outlook import look_out, present_for, read_several
    from curecast.sources.freshness import check_fresh
    from curecast.tracking import with_zone

    now_h = unix_h(ctx.now())
    if store is None:
        with kept_store(ctx, new=file is None) as kept:
            known = look_out(job, now_h, file=file, store=kept)
    else:
        known = look_out(job, now_h, file=file, store=store)
    forecast, note, beside = known.forecast, known.note, known.beside
    if file is not None and others:
        forecast, beside = read_several([file, *others], job)
    if file is not None:
        now_h, other = present_for(forecast, now_h, ctx.said_now is not None)
        if other:
            ctx.taken_at = from_unix_h(now_h)
        note = other or note
    job = replace(with_zone(job, [forecast]), climate=known.climate)
    ctx.zone = job.site.zone
    age = check_fresh(forecast, now_h)[1]
    note = "; ".join(part for part in (note, age) if part)
    return Outlook(job, forecast, now_h, note, known.told, known.notices, beside)


def check_reach(outlook: Outlook, *, live: bool) -> None:
    """Refuse to plan by a forecast that is too old, or that ends within a day."""
    from curecast.errors import WeatherUnusable
    from curecast.sources.freshness import check_fresh

    stale, age = check_fresh(outlook.forecast, outlook.now_h)
    if stale and live:
        raise WeatherUnusable(age, "try again later, or give one with --forecast FILE")
    if outlook.forecast.weather.end_h < outlook.now_h + 24.0:
        raise WeatherUnusable(
            "the forecast ends within a day of now: no start can be judged by it",
            "fetch a newer one, or set the clock to its time with --now",
        )
    if outlook.forecast.weather.start_h > outlook.now_h + 72.0:
        raise WeatherUnusable(
            "the forecast begins days after now: it is one of another time",
            "give this week's, or set the clock to its time with --now",
        )


def may_write(ctx: Context) -> bool:
    """A fixed clock reaches only a store that was named."""
    import os

    return ctx.said_now is None or bool(ctx.db or os.environ.get("CURECAST_HOME"))


@contextmanager
def kept_store(ctx: Context, *, new: bool = False) -> Iterator[Store | None]:
    """The store if there is one, or if a new one is wanted, and this run may write to it."""
    if not ((new or ctx.has_store()) and may_write(ctx)):
        yield None
        return
    from curecast.errors import StoreError

    there = ctx.has_store()
    try:
        store = ctx.store()
    except StoreError as fault:
        if there:
            raise
        ctx.warn(f"what is fetched cannot be kept: {fault.message}")
        yield None
        return
    with store:
        yield store


def refreshed(
    ctx: Context, store: Store, job: Job, file: Path | None, *, write: bool
) -> tuple[list[Forecast], str]:
    """All forecasts that are known for a job by now, the newest fetched before.

    Parameters
    ----------
    ctx : Context
    store : Store
    job : Job
    file : Path or None
        A saved forecast to add instead of asking the service.
    write : bool
        Whether what is fetched may be kept; else only a file is read.

    Returns
    -------
    forecasts : list of Forecast
        Oldest issue first; empty where nothing is known.
    note : str
        Why none could be fetched, or how old the one is that serves.
    """
    from curecast.clock import unix_h
    from curecast.errors import WeatherError, WeatherUnusable
    from curecast.outlook import get_outlook
    from curecast.tracking import known_forecasts

    now, note = ctx.now(), ""
    given: list[Forecast] = []
    if write or file is not None:
        keeper = store if write else None
        try:
            forecast, note = get_outlook(job, unix_h(now), file=file, store=keeper)
            given = [] if write else [forecast]
        except WeatherError as fault:
            if file is not None:
                raise
            note = fault.message
        else:
            if file is not None and forecast.issued_h > unix_h(now) + 0.1:
                raise WeatherUnusable(
                    f"{file.name} was made after the time that is taken as now",
                    "give the forecast that was known then, or set the clock with --now",
                )
    known = list(known_forecasts(store, job, now))
    return sorted([*known, *given], key=lambda f: f.issued_h), note
