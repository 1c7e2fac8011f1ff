"""One poured slab as it was placed, ready to be marched with one belief of its site or another."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.drive import Marching
from curecast.core.abreast.edge_lane import EdgeTrail
from curecast.core.abreast.lane import Lane, Ripe, Sky
from curecast.core.batches import CELLS, WEEKLY, column_of
from curecast.core.case import Case
from curecast.core.correction import Site
from curecast.core.edge_follow import edge_lane, with_edge
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import Histories
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pour:
    """A placement as it was.

    Parameters
    ----------
    start_h, end_h : float
        First and last batch, hours since 1970-01-01T00:00 UTC. [h]
    placed_c : float or None
        Concrete as placed, if somebody measured it. [°C]
    spells : tuple of CoverSpell
        What lay and will lie over it, in hours after the middle of placing. [h]
    strip_at_h : float
        When the form came or comes off, after the middle of placing. [h]
    """

    start_h: float
    end_h: float
    placed_c: float | None
    spells: tuple[CoverSpell, ...]
    strip_at_h: float

    @property
    def origin_h(self) -> float:
        """Middle of placing, hours since 1970-01-01T00:00 UTC. [h]"""
        return 0.5 * (self.start_h + self.end_h)

    @property
    def placed_h(self) -> float:
        """Last batch, after the middle of placing. [h]"""
        return 0.5 * (self.end_h - self.start_h)


def believed(case: Case, placed_c: float | None, site: Site) -> Case:
    """The case as it was placed, each member with its own belief of the site.

    Parameters
    ----------
    case : Case
        The slab. [various]
    placed_c : float or None
        Concrete as placed, if somebody measured it. [°C]
    site : Site
        What each member believes. [K, -]

    Returns
    -------
    Case
        Its exposure holds arrays of shape (member,). [various]
    """
    exposure = replace(
        case.exposure,
        air_offset_k=site.offset_k,
        swing=site.swing,
        sky_view=case.exposure.sky_view * site.sky,
        sun=case.exposure.sun * site.sun,
    )
    return replace(case, exposure=exposure, placed_c=placed_c)


@dataclass(frozen=True)
class PouredSlab:
    """One poured slab in its weather.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        From before the pour to beyond the horizon. [various]
    pour : Pour
        The placement. [various]
    latitude : float or None
        Of the site. [deg]
    """

    case: Case
    weather: Members
    pour: Pour
    latitude: float | None

    def lane(self, site: Site, until_h: float, ripe: Ripe | None = None) -> Lane:
        """A run of all members with their own beliefs of site and mix.

        Parameters
        ----------
        site : Site
            What each member believes. [various]
        until_h : float
            Its end. [h]
        ripe : Ripe or None
            When it may end before. [various]

        Returns
        -------
        Lane
            Ready to be marched. [various]
        """
        pour, weather = self.pour, self.weather
        own = believed(self.case, pour.placed_c, site)
        start = np.array([pour.start_h])
        placed = own.placed_at_c(day_mean_c(own, weather, start))[0]
        ground, deep = ground_c(own, weather, start)[0], deep_c(own, weather, self.latitude)
        switches = [*switch_times_h(pour.spells, until_h), pour.strip_at_h]
        return Lane(
            column=column_of(self.case, placed, ground, deep, CELLS, site.heat),
            sky=Sky(weather, own.exposure, pour.origin_h),
            spells=pour.spells,
            times_h=step_times_h(until_h, switches, WEEKLY, weather_hour_h=-pour.origin_h),
            strip_at_h=pour.strip_at_h,
            floats_from_h=pour.placed_h,
            ripe=ripe,
        )

    def at_edge(self, site: Site, until_h: float, ripe: Ripe) -> Marching[Histories]:
        """The run of all members, with edge and anchors from the section.

        Parameters
        ----------
        site : Site
            What each member believes. [various]
        until_h : float
            Its end at the latest. [h]
        ripe : Ripe
            When it ends before. [various]

        Returns
        -------
        Histories
            Ages still empty. [various]
        """
        pour = self.pour
        past: Histories = yield self.lane(site, until_h, ripe)
        edge: EdgeTrail = yield edge_lane(
            believed(self.case, pour.placed_c, site),
            self.weather,
            float(past.t_h[-1]),
            start_h=pour.start_h,
            origin_h=pour.origin_h,
            spells=pour.spells,
            strip_at_h=pour.strip_at_h,
            latitude=self.latitude,
        )
        return with_edge(past, edge)
