"""The tag that hangs on the machine: one small page for print."""

from __future__ import annotations

from curecast.prospect.torque_words import Tag
from curecast.report.report import render_page


def render_tag(tag: Tag, *, version: str) -> str:
    """The tag as one HTML page that needs nothing else.

    Parameters
    ----------
    tag : Tag
        Everything on it.
    version : str
        Of curecast.
    """
    return render_page(
        "tag.html", tag.job, version, tag.job.site.zone, tag=tag, weather=(), assumed=()
    )
