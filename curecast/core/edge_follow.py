"""The edge and the anchors of a poured slab, from the section instead of a screen.

The section is run for the member that stands for all (the mean of what they believe). The
others lie beside it as their columns' guesses do. The guess for the anchors is the top of the
slab's middle; an edge follows the air farther than that: its guess lies towards the screened
edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.edge_lane import EdgeLane, EdgeTrail
from curecast.core.abreast.lane import Sky
from curecast.core.batches import CELLS, column_of
from curecast.core.case import Case
from curecast.core.edges import COARSE_CELLS, edge_section
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import Exposure, MemberForcing
from curecast.core.heat.section import EdgeSection
from curecast.core.histories import EDGE, SURFACE, Histories
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: How far the guess lies from the top towards the screened edge, for the top edge and for the
#: coldest point: members then lie as far apart as in their own sections (fitted to 17 spells of
#: 130 h, 20 members each, bare and covered; the top alone made them a fifth too close). [-]
_EDGE_FOLLOWS, _COLDEST_FOLLOWS = 0.8, 1.0
#: How long the section is followed; later the screen serves. [h]
FOLLOWED_H = 672.0


def _one(values: float | Array) -> float | Array:
    """What the first member holds of a share or an offset."""
    return values if np.ndim(values) == 0 else np.asarray(values)[:1]


def _first_member(weather: Members, exposure: Exposure) -> tuple[Members, Exposure]:
    every = (weather.air_c, weather.dew_point_c, weather.wind_ms, weather.cloud)
    own = replace(
        exposure,
        air_offset_k=_one(exposure.air_offset_k),
        swing=_one(exposure.swing),
        sky_view=_one(exposure.sky_view),
        sun=_one(exposure.sun),
    )
    return Members(weather.start_h, *(v[:, :1] for v in every)), own


def mean_edge(
    case: Case,
    weather: Members,
    *,
    start_h: float,
    origin_h: float,
    strip_at_h: float,
    latitude: float | None,
    fineness: float = COARSE_CELLS,
) -> tuple[EdgeSection, MemberForcing]:
    """The section and the weather of the member that stands for all, ready to be marched.

    Parameters
    ----------
    case : Case
        The slab, with what the members believe of the site in its exposure. [various]
    weather : Members
        Hourly members, the first without error. [various]
    start_h, origin_h : float
        First batch and middle of placing, since 1970-01-01T00:00 UTC. [h]
    strip_at_h : float
        When the form comes off, after the origin. [h]
    latitude : float or None
        Of the site. [deg]
    fineness : float
        See ``EdgeSection``. [-]

    Returns
    -------
    EdgeSection, MemberForcing
        Of one member. [various]
    """
    first, exposure = _first_member(weather, case.exposure)
    own = replace(case, exposure=exposure, strip_at_h=strip_at_h)
    start = np.array([start_h])
    column = column_of(
        own,
        own.placed_at_c(day_mean_c(own, first, start))[0],
        ground_c(own, first, start)[0],
        deep_c(case, weather, latitude),
        CELLS,
    )
    forcing = MemberForcing(first, exposure, np.array([origin_h]))
    return edge_section(own, column, fineness), forcing


def edge_lane(
    case: Case,
    weather: Members,
    until_h: float,
    *,
    start_h: float,
    origin_h: float,
    spells: Sequence[CoverSpell],
    strip_at_h: float,
    latitude: float | None,
) -> EdgeLane:
    """The edge of the member that stands for all, to be marched beside others.

    Parameters
    ----------
    case : Case
        The slab, with what the members believe of the site in its exposure. [various]
    weather : Members
        Hourly members. [various]
    until_h : float
        End of the column's run; the section is followed for 28 days at most. [h]
    start_h, origin_h : float
        First batch and middle of placing, since 1970-01-01T00:00 UTC. [h]
    spells : sequence of CoverSpell
        Covers after the origin. [h]
    strip_at_h : float
        When the form comes off, after the origin. [h]
    latitude : float or None
        Of the site. [deg]

    Returns
    -------
    EdgeLane
        Ready to be marched. [various]
    """
    section, _ = mean_edge(
        case, weather, start_h=start_h, origin_h=origin_h, strip_at_h=strip_at_h, latitude=latitude
    )
    first, exposure = _first_member(weather, case.exposure)
    horizon_h = float(np.floor(min(until_h, FOLLOWED_H)))
    return EdgeLane(section, Sky(first, exposure, origin_h), tuple(spells), horizon_h)


def with_edge(past: Histories, edge: EdgeTrail) -> Histories:
    """Edge and coldest place anew, and the anchors as a fifth place.

    Parameters
    ----------
    past : Histories
        The column's run, columns being members. [various]
    edge : EdgeTrail
        The section's run from the same start. [various]

    Returns
    -------
    Histories
        With five places, their ages still empty; after the section's end the edge is the
        screen's, the anchors lie between it and the top. [various]
    """
    top = past.temp_c[:, SURFACE]
    late = ~(past.t_h <= edge.t_h[-1])[:, None]

    def every(series_c: Array, follows: float) -> Array:
        """A series of the section, and what every member's guess differs by from the first's."""
        guess = top + follows * (past.temp_c[:, EDGE] - top)
        own = np.interp(past.t_h, edge.t_h, series_c)
        return np.asarray(own[:, None] + guess - guess[:, :1])

    edge_c = np.where(late, past.temp_c[:, EDGE], every(edge.arris_c, _EDGE_FOLLOWS))
    anchor_c = np.where(late, 0.5 * (past.temp_c[:, EDGE] + top), every(edge.anchor_c, 0.0))
    places = np.concatenate([past.temp_c[:, :EDGE], edge_c[:, None], anchor_c[:, None]], axis=1)
    places[0] = past.temp_c[0, SURFACE]
    least = np.where(late, np.inf, every(edge.least_c, _COLDEST_FOLLOWS))
    coldest = np.minimum(places.min(axis=1), least)
    coldest[0] = past.coldest_c[0]
    return replace(past, temp_c=places, coldest_c=coldest)
