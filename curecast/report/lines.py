"""What a page is told in words: everything already said in the units and the voice of the job."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class HoldLine:
    """One hold as the page says it; every text is ready to show.

    Parameters
    ----------
    name : str
        The hold, as in the job file.
    state : str
        Its state in words.
    likely, count_on : str
        Dates, or "not within 180 days".
    basis : str
        Where its numbers come from.
    needs : list of str
        What is lacking, the cheapest way first; empty where nothing is.
    evidence : str
        What stands behind it.
    """

    name: str
    state: str
    likely: str
    count_on: str
    basis: str
    needs: list[str]
    evidence: str
