"""What ``weather`` says to people: each source in a line, a picture of the days, the credits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby
from typing import Any

from curecast.cli.context import Context
from curecast.cli.terminal import heights as mark_heights
from curecast.cli.weather import Outlook
from curecast.clock import show_day
from curecast.core.weather.series import SPANS
from curecast.prospect.sentences import degrees, when

Row = dict[str, Any]

#: One letter for where a day's hours came from, in the order of ``SPANS``.
_LETTERS = dict(zip(SPANS, "mf2c", strict=True))
_DAY = 24
_FOOT_M = 0.3048


def sky_lines(
    ctx: Context, outlook: Outlook, rows: Sequence[Row], sources: Sequence[Row]
) -> list[str]:
    """The answer in lines.

    Parameters
    ----------
    ctx : Context
    outlook : Outlook
    rows : sequence of dict
        Hours, as in the JSON answer.
    sources : sequence of dict
        Sources, as in the JSON answer.
    """
    job = outlook.job
    lines = [f"{job.name}: the weather that is known, {when(job, outlook.now_h)}", ""]
    lines += [line for row in sources for line in _source_lines(outlook, row)]
    lines += [f"  ! {notice}" for notice in _notices(outlook)]
    lines += [f"  {flag}" for flag in outlook.forecast.flags]
    lines += ["", *_picture(ctx, outlook, rows)]
    return [*lines, *(["", *outlook.forecast.credits] if outlook.forecast.credits else [])]


def _source_lines(outlook: Outlook, row: Row) -> Iterator[str]:
    job = outlook.job
    if row["issued"] is None:
        yield f"{row['source']}: nothing ({row['why']})"
        return
    age_h = row["age_h"]
    age = f"{age_h:.0f} h ago" if age_h >= 1.0 else f"{60.0 * age_h:.0f} min ago"
    made = f"made {when(job, outlook.now_h - age_h)} ({age})"
    reach = show_day(row["until"], job.site.zone) + f" {_local(row['until'], job.site.zone):%H:%M}"
    yield f"{row['source']}: {made}, reaches to {reach}" + ("" if row["used"] else "; not used")
    if row["why"]:
        yield f"  kept from before: {row['why']}"
    above = row["above_site_m"]
    if above is not None and abs(above) >= 1.0:
        side = "above" if above > 0 else "below"
        hint = "" if job.site.lapse else "; [site] lapse = true corrects the air for it"
        height = f"{abs(above) / _FOOT_M:.0f} ft" if job.units == "us" else f"{abs(above):.0f} m"
        yield f"  its ground lies {height} {side} the site{hint}"


def _local(at: datetime, zone: str | None) -> datetime:
    from curecast.clock import to_local

    return to_local(at, zone)


def _notices(outlook: Outlook) -> Iterator[str]:
    for notice in outlook.notices:
        until = "" if notice.until_h is None else f" until {when(outlook.job, notice.until_h)}"
        yield f"{notice.event}{until} (National Weather Service)"


def _picture(ctx: Context, outlook: Outlook, rows: Sequence[Row]) -> Iterator[str]:
    """A line a day: its hours as heights, its lowest and highest air, where it came from."""
    job = outlook.job
    if not rows:
        yield "no hours ahead are known"
        return
    marks = mark_heights()
    low = min(row["air_c"] for row in rows)
    span = max(max(row["air_c"] for row in rows) - low, 1.0)
    yield f"{'':11}{'00':6}{'06':6}{'12':6}{'18':8}air"
    letters: dict[str, str] = {}
    days = groupby(rows, key=lambda row: _local(row["time"], job.site.zone).date())
    for _, day in days:
        hours = list(day)
        first = _local(hours[0]["time"], job.site.zone)
        heights = [round((row["air_c"] - low) / span * (len(marks) - 1)) for row in hours]
        drawn = " " * first.hour + "".join(marks[height] for height in heights)
        if ctx.colour:
            drawn = " " * first.hour + _coloured(hours, heights, marks)
        pad = " " * max(0, _DAY - first.hour - len(hours))
        ends = [degrees(job, f(row["air_c"] for row in hours)) for f in (min, max)]
        seen = dict.fromkeys(row["from"] for row in hours)
        letters |= {_LETTERS[name]: name for name in seen}
        yield (
            f"{show_day(hours[0]['time'], job.site.zone):>10} {drawn}{pad}  "
            f"{ends[0]:>7} to {ends[1]:<8} {'+'.join(_LETTERS[name] for name in seen)}"
        )
    words = {"m": "measured"} | {letter: name for letter, name in letters.items() if letter != "m"}
    yield ", ".join(f"{letter} {words[letter]}" for letter in letters)


def _coloured(hours: Sequence[Row], heights: Sequence[int], marks: str) -> str:
    """Frost in blue, for a terminal that shows colours; the figures beside it say it in words."""
    return "".join(
        f"\x1b[36m{marks[height]}\x1b[0m" if row["air_c"] <= 0.0 else marks[height]
        for row, height in zip(hours, heights, strict=True)
    )
