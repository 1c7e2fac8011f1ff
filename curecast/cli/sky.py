"""The command that shows what is known of the weather, from where, how old and how far."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import JobArgument, command
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from curecast.cli.weather import Outlook

#: Hours that are shown at most.
MOST_HOURS = 2000


@command("weather", example="curecast weather crane-base.toml --hours 48")
def weather(
    ctx: Context,
    job: JobArgument = None,
    hours: Annotated[
        int | None,
        typer.Option(
            "--hours",
            metavar="N",
            min=1,
            max=MOST_HOURS,
            show_default=False,
            help="Hours ahead; beyond the forecast, by climate. Without it: all that is known.",
        ),
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """What is known of the weather: from where, how old, how far, and the hours ahead."""
    from curecast.cli.jobs import find_job
    from curecast.cli.sky_lines import sky_lines
    from curecast.cli.weather import find_outlook

    found = find_job(ctx, job)
    outlook = find_outlook(ctx, found.job, forecast)
    if outlook.note:
        ctx.warn(outlook.note)
    rows = hour_rows(outlook, hours)
    answer: dict[str, Any] = {
        "sources": source_rows(outlook),
        "hours": rows,
        "notices": notice_rows(outlook),
        "note": outlook.note,
        "flags": list(outlook.forecast.flags),
        "attribution": list(outlook.forecast.credits),
    }
    ctx.emit(answer, sky_lines(ctx, outlook, rows, answer["sources"]))
    return 0


def source_rows(outlook: Outlook) -> list[dict[str, Any]]:
    """Every source: what it gave or why not, its age, its reach, its height against the site's."""
    from curecast.cli.answers import instant
    from curecast.sources.freshness import check_fresh
    from curecast.sources.names import OWN, shown_name

    job, now_h, site_m = outlook.job, outlook.now_h, outlook.job.site.elevation_m
    used = {origin.source for origin in outlook.forecast.hour_origins()}
    rows = []
    for told in outlook.told:
        own = told.forecast
        height = None if own is None else own.elevation_m
        rows.append(
            {
                "service": told.service,
                "source": shown_name(told.service) if own is None else own.source,
                "used": own is not None and own.source in used,
                "issued": None if own is None else instant(job, own.issued_h),
                "fetched": None if own is None else instant(job, own.fetched_h),
                "age_h": None if own is None else max(now_h - own.issued_h, 0.0),
                "until": None if own is None else instant(job, float(own.weather.end_h)),
                "stale": None if own is None else check_fresh(own, now_h)[0],
                "kept": told.service != OWN and own is not None and told.fault is not None,
                "elevation_m": height,
                "above_site_m": None if height is None or site_m is None else height - site_m,
                "why": "" if told.fault is None else told.fault.message,
                "attribution": [] if own is None else list(own.credits),
            }
        )
    return rows


def notice_rows(outlook: Outlook) -> list[dict[str, Any]]:
    """Warnings in force."""
    from curecast.cli.answers import instant

    job = outlook.job
    return [
        {"event": n.event, "from": instant(job, n.from_h), "until": instant(job, n.until_h)}
        for n in outlook.notices
    ]


def hour_rows(outlook: Outlook, hours: int | None) -> list[dict[str, Any]]:
    """Every hour from the first that was measured, or from now, each with its origin."""
    import math

    from curecast.cli.answers import instant
    from curecast.core.weather.climate import extended
    from curecast.core.weather.series import SPANS

    job, forecast = outlook.job, outlook.forecast
    weather, first_h = forecast.weather, math.floor(outlook.now_h)
    until_h = weather.end_h if hours is None else first_h + hours - 1
    weather = extended(weather, until_h, job.site.latitude, normals_c=job.climate.normals_c)
    origins = list(forecast.hour_origins())
    rows = []
    for index in range(len(weather)):
        hour, span = weather.start_h + index, SPANS[weather.span[index]]
        if hour > until_h or (hour < first_h and span != "observed"):
            continue
        while len(origins) > 1 and hour > origins[0].to_h:
            origins.pop(0)
        told = hour <= forecast.weather.end_h
        row: dict[str, Any] = {
            "time": instant(job, float(hour)),
            "air_c": float(weather.air_c[index]),
            "from": span,
            "source": origins[0].source if told else "climatology",
            "issued": instant(job, origins[0].issued_h) if told else None,
        }
        for name in ("dew_point_c", "wind_ms", "cloud", "rain_mm", "chance_rain"):
            row[name] = float(getattr(weather, name)[index])
        rows.append(row)
    return rows
