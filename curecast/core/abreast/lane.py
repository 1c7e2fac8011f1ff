"""One poured slab on its way through its own weather, as a lane beside others."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverSpell, CoverState, cover_state
from curecast.core.heat.face import Face, face_under
from curecast.core.heat.forcing import Exposure, MemberForcing, StandingWeather
from curecast.core.heat.layers import Column
from curecast.core.heat.stages import STAGE
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: The centred mean of a day looks half a day either way. [h]
_MARGIN_H = 13


@dataclass(frozen=True)
class Sky:
    """Weather of all members at a site, read off at many instants at once.

    Parameters
    ----------
    weather : Members
        Hourly members. [various]
    exposure : Exposure
        What of it reaches the slab. [various]
    origin_h : float
        Zero of the lane's clock, hours since 1970-01-01T00:00 UTC. [h]
    """

    weather: Members
    exposure: Exposure
    origin_h: float

    def at(self, t_h: Array, *, standing: bool = True) -> surface.Surroundings:
        """Surroundings, flat over (instant, member).

        Parameters
        ----------
        t_h : ndarray, shape (instant,)
            Rising instants on the lane's clock. [h]
        standing : bool
            Whether sky and vapour are linear between whole hours, see ``MemberForcing``. [-]

        Returns
        -------
        Surroundings
            As ``MemberForcing`` gives them. [various]
        """
        own = self.weather
        first, last = (int(np.floor(self.origin_h + t)) - own.start_h for t in (t_h[0], t_h[-1]))
        low = max(0, min(first, len(own.air_c) - 2) - _MARGIN_H)
        high = max(last + 2 + _MARGIN_H, low + 2)
        every = (own.air_c, own.dew_point_c, own.wind_ms, own.cloud)
        near = Members(own.start_h + low, *(values[low:high] for values in every))
        still = StandingWeather(near, self.exposure) if standing else None
        return MemberForcing(near, self.exposure, self.origin_h + t_h, still)(0.0)


@dataclass(frozen=True)
class Ripe:
    """When a lane may end before its last instant.

    Parameters
    ----------
    age_h : ndarray, shape (member,)
        Age at 20 °C, by the smaller of the two, that every place of the column and the
        screened edge need. [h]
    share : float
        Share of the members that have it. [-]
    after_h : float
        It never ends by then. [h]
    """

    age_h: Array
    share: float
    after_h: float

    def first(self, t_h: Array, age_h: Array) -> int | None:
        """The first instant at which it may end; ages of shape (instant, member)."""
        over = (t_h > self.after_h) & (np.mean(age_h >= self.age_h, axis=1) >= self.share)
        return int(np.argmax(over)) if over.any() else None


@dataclass(frozen=True)
class Lane:
    """A slab to be marched.

    Parameters
    ----------
    column : Column
        The slab; its per-column arrays fit the members. [various]
    sky : Sky
        Its weather. [various]
    spells : tuple of CoverSpell
        What lies over it. [various]
    times_h : ndarray, shape (instant,)
        Rising instants, the first 0, with every change of cover among them. [h]
    strip_at_h : float
        When the form comes off; infinity for never. [h]
    floats_from_h : float
        When the last batch is placed: finishing counts from here. [h]
    ripe : Ripe or None
        When it may end early. [various]
    """

    column: Column
    sky: Sky
    spells: tuple[CoverSpell, ...]
    times_h: Array
    strip_at_h: float
    floats_from_h: float = 0.0
    ripe: Ripe | None = None

    @property
    def members(self) -> int:
        return int(self.sky.weather.air_c.shape[1])

    @property
    def steps(self) -> int:
        return len(self.times_h) - 1

    def covers(self, begin: int, end: int) -> list[CoverState]:
        """What lies over each step from one index to another."""
        times = self.times_h[begin : end + 1].tolist()
        return [cover_state(self.spells, 0.5 * (a + b)) for a, b in pairwise(times)]


@dataclass(frozen=True)
class Faced:
    """What drives a lane's face at both stages of some steps.

    Parameters
    ----------
    face : Face
        Arrays of shape (step, stage, member). [various]
    covers : list of CoverState
        Over each step. [various]
    """

    face: Face
    covers: list[CoverState]


def faced(lane: Lane, begin: int, end: int) -> Faced:
    """What drives a lane's face from one step to another.

    Parameters
    ----------
    lane : Lane
        The slab. [various]
    begin, end : int
        First step, and the one after the last. [-]

    Returns
    -------
    Faced
        At the stages' own times. [various]
    """
    before, after = lane.times_h[begin:end], lane.times_h[begin + 1 : end + 1]
    at = np.stack([before + STAGE * (after - before), after], axis=1)
    around = lane.sky.at(at.ravel())
    covers = lane.covers(begin, end)
    shape = (end - begin, 2, lane.members)
    parts = {
        name: np.array(np.reshape(getattr(around, name), shape))
        for name in ("air_c", "sky_w_m2", "sun_w_m2", "vapour_kpa", "wind_ms")
    }
    absorbs = np.array([c.absorptance for c in covers])[:, None, None]
    face = _face_of(surface.Surroundings(**parts), absorbs)
    for heat_to_c in {c.heat_to_c for c in covers if c.heat_to_c is not None}:
        _enclose(face, np.array([c.heat_to_c == heat_to_c for c in covers]), heat_to_c, covers)
    return Faced(face, covers)


def _face_of(around: surface.Surroundings, absorbs: Array | float) -> Face:
    """The driving terms under covers of some absorptance, no enclosure among them."""
    gain = around.sky_w_m2 + absorbs * around.sun_w_m2
    return Face(around, surface.convection_w_m2k(around.wind_ms), gain)


def _enclose(
    face: Face, inside: NDArray[np.bool_], heat_to_c: float, covers: list[CoverState]
) -> None:
    """Put some steps into a heated enclosure."""
    own = face.around
    names = ("air_c", "sky_w_m2", "sun_w_m2", "vapour_kpa", "wind_ms")
    part = surface.Surroundings(*(getattr(own, name)[inside] for name in names))
    warm = face_under(part, covers[int(np.argmax(inside))])
    for name in names:
        getattr(own, name)[inside] = getattr(warm.around, name)
    face.convection_w_m2k[inside] = warm.convection_w_m2k
    face.gain_w_m2[inside] = warm.gain_w_m2
