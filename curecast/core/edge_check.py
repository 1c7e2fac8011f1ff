"""Starts that look safe are run again at their edge, in two dimensions, where they are coldest.

Only the coldest members of a start can break its freeze rule: those, and the run without
error, go through the section. The others are warmer there than the ones that pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.edges import COARSE_CELLS, EDGE_COARSE, edge_section
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import MemberForcing
from curecast.core.heat.layers import Column
from curecast.core.heat.section import march
from curecast.core.heat.surface import Surroundings
from curecast.core.rules.cold import FIRST_DAY_H, Frost
from curecast.core.rules.finding import Start
from curecast.core.weekly import WARM_TO_C, Week

Array = NDArray[np.float64]

#: Coldest members that go through the section besides the run without error: the five in a
#: hundred that may break the rule, the ten that "one in ten" asks for, and two more.
CHECKED_MEMBERS = 12
#: The section looks no further than this; by then young concrete is no longer in doubt. [h]
_FURTHEST_H = 168.0


@dataclass(frozen=True)
class Suspect:
    """One start to be run at its edge, as the column has judged it.

    Parameters
    ----------
    start : Start
        The start. [various]
    frost : Frost
        The freeze rule with the edge screened. [various]
    """

    start: Start
    frost: Frost

    @property
    def span_h(self) -> float:
        """How long the freeze rule watches, after the middle of placing. [h]"""
        safe = min(self.frost.safe_h, _FURTHEST_H)
        return max(self.start.placed_h + FIRST_DAY_H, safe)

    def coldest_members(self, most: int) -> NDArray[np.int64]:
        """The run without error, then the coldest members, so many at most. [-]"""
        past = self.start.past
        lowest = past.coldest_c[past.t_h <= self.span_h].min(axis=0)
        return np.concatenate([[0], 1 + np.argsort(lowest[1:])[:most]])


def checked_edges(
    week: Week, suspects: Sequence[Suspect], spells: tuple[CoverSpell, ...], *, warm: bool
) -> list[Frost]:
    """The freeze rule anew, with arris and corner from the section.

    Parameters
    ----------
    week : Week
        What all starts share. [various]
    suspects : sequence of Suspect
        Starts under one measure. [various]
    spells : tuple of CoverSpell
        Its covers, after the middle of placing. [h]
    warm : bool
        Whether warm mixing water goes with it. [-]

    Returns
    -------
    list of Frost
        One a start, in the same order. [various]
    """
    if not suspects:
        return []
    case, weather = week.case, week.weather
    starts = np.array([s.start.start_h for s in suspects])
    most = weather.air_c.shape[1] if week.full else CHECKED_MEMBERS
    members = [s.coldest_members(most) for s in suspects]
    width = weather.air_c.shape[1]
    picked = np.concatenate([i * width + m for i, m in enumerate(members)])
    placed = case.placed_at_c(day_mean_c(case, weather, starts), WARM_TO_C if warm else None)
    column = Column(
        thickness_m=case.thickness_m,
        hydration=case.hydration,
        placed_c=placed.ravel()[picked],
        ground_c=ground_c(case, weather, starts).ravel()[picked],
        deep_c=deep_c(case, weather, case.exposure.latitude),
        under_r_m2k_w=case.under_r_m2k_w,
        concrete=case.concrete,
        soil=case.soil,
        evaporates=case.evaporates,
    )
    forcing = MemberForcing(weather, case.exposure, starts + case.middle_h, week.standing)

    def at_picked(t_h: float) -> Surroundings:
        return forcing(t_h).pick(picked)

    horizon = float(np.ceil(max(s.span_h for s in suspects)))
    edge = march(
        edge_section(case, column, COARSE_CELLS), at_picked, spells, horizon, plan=EDGE_COARSE
    )
    least = np.minimum(edge.arris_least_c, edge.corner_least_c)
    ends = np.cumsum([0, *(len(m) for m in members)])
    return [
        _frost(s, edge.t_h, least[:, ends[i] : ends[i + 1]], width - 1)
        for i, s in enumerate(suspects)
    ]


def _frost(suspect: Suspect, t_h: Array, least_c: Array, members: int) -> Frost:
    """The freeze rule with the section's own minima for the members that were checked."""
    limits, frost, start = suspect.start.limits, suspect.frost, suspect.start
    within = (t_h > 0.0) & (t_h <= np.ceil(suspect.span_h))
    lowest = least_c[within].min(axis=0)
    chance = float(np.sum(~(lowest[1:] > limits.freeze_limit_c))) / members
    when = start.origin_h + float(t_h[within][int(np.argmin(least_c[within, 0]))])
    # One in ten is the tenth member: what the section adds to the last checked one holds for it.
    # One in ten is the tenth coldest and part of the next; all that are colder were checked.
    tenth = float(np.interp(0.1 * (members - 1), np.arange(len(lowest) - 1), np.sort(lowest[1:])))
    finding = replace(
        frost.finding, verdict=limits.verdict(chance), chance=chance, at_h=when, value=tenth
    )
    return Frost(
        finding=finding,
        chance_freeze=float(np.sum(~(lowest[1:] > 0.0))) / members,
        coldest_c=tenth,
        likely_coldest_c=float(lowest[0]),
        coldest_at_h=when,
        safe_h=frost.safe_h,
    )
