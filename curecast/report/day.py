"""The sheet for the day as a page for print."""

from __future__ import annotations

from curecast.prospect.day_sheet import DaySheet
from curecast.report.report import render_page
from curecast.report.week_facts import batch_columns


def render_day(sheet: DaySheet, *, version: str) -> str:
    """The sheet as one HTML page that needs nothing else.

    Parameters
    ----------
    sheet : DaySheet
        Everything on it.
    version : str
        Of curecast.
    """
    return render_page(
        "day.html",
        sheet.job,
        version,
        sheet.job.site.zone,
        sheet=sheet,
        columns=batch_columns(sheet),
        weather=(),
        assumed=(),
    )
