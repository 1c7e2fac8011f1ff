"""One start as the rules see it, and what a rule finds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import Histories
from curecast.core.rules.limits import BROKEN, KEPT, Limits

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Finding:
    """One rule on one start.

    Parameters
    ----------
    rule : str
        Its name. [-]
    verdict : str
        ``kept``, ``at-risk`` or ``broken``. [-]
    chance : float or None
        Chance of breaking, 0..1. [-]
    at_h : float or None
        The hour that decides, since 1970-01-01T00:00 UTC. [h]
    value, limit : float or None
        What was found against what is asked. [the rule's unit]
    advice : bool
        Advice lowers a start to at-risk at most. [-]
    source : str
        Where the rule comes from. [-]
    """

    rule: str
    verdict: str
    chance: float | None
    at_h: float | None
    value: float | None
    limit: float | None
    advice: bool
    source: str


@dataclass(frozen=True)
class Start:
    """One start with everything that judges it.

    Parameters
    ----------
    start_h, origin_h : float
        First batch, and the middle of placing, since 1970-01-01T00:00 UTC. [h]
    placed_h : float
        Last batch, after the middle of placing. [h]
    past : Histories
        Its columns are members, the first without error; its clock starts at ``origin_h``.
        [various]
    limits : Limits
        The thresholds. [various]
    ground_c : ndarray, shape (member,)
        Ground before the pour. [°C]
    placed_c : float
        Concrete as placed, without error. [°C]
    outside_c : ndarray, shape (hour, member)
        Air at the site at whole hours from ``outside_from_h`` on. [°C]
    outside_from_h : float
        Since 1970-01-01T00:00 UTC. [h]
    crew_until_h : float
        End of the crew's day, since 1970. [h]
    dark_h : float or None
        Sunset, since 1970; None where the place is unknown. [h]
    rain_from, rain_chance : ndarray, shape (hour,)
        Hours since 1970 and the chance of rain in each. [h, -]
    rained_on : bool
        Whether rain reaches the face. [-]
    sheet : bool
        Whether a sheet is at hand. [-]
    spells : tuple of CoverSpell
        Covers, after the middle of placing. [h]
    """

    start_h: float
    origin_h: float
    placed_h: float
    past: Histories
    limits: Limits
    ground_c: Array
    placed_c: float
    outside_c: Array
    outside_from_h: float
    crew_until_h: float
    dark_h: float | None
    rain_from: Array
    rain_chance: Array
    rained_on: bool
    sheet: bool
    spells: tuple[CoverSpell, ...]


def share_of_members(broken: NDArray[np.bool_]) -> float:
    """Share of the members in which something is broken, the first without error left out.

    Parameters
    ----------
    broken : ndarray of bool, shape (member,)
        One flag a member. [-]

    Returns
    -------
    float
        0..1. [-]
    """
    return float(np.mean(broken[1:]))


def overall(findings: Iterable[Finding], *, protected: bool) -> str:
    """The verdict of a start: its worst deciding rule; advice lowers it to at-risk at most.

    Parameters
    ----------
    findings : iterable of Finding
        All its rules. [-]
    protected : bool
        Whether more than the job's own plan protects it. [-]

    Returns
    -------
    str
        ``pour``, ``pour-with-protection``, ``at-risk`` or ``do-not-pour``. [-]
    """
    found = list(findings)
    if any(f.verdict == BROKEN and not f.advice for f in found):
        return "do-not-pour"
    if any(f.verdict != KEPT for f in found):
        return "at-risk"
    return "pour-with-protection" if protected else "pour"
