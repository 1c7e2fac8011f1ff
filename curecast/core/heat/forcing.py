"""Weather of many members, read off at any time after many starts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import sun, surface
from curecast.core.weather.ensemble import Members, site_air_c
from curecast.errors import OutOfRange

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Exposure:
    """What reaches the slab: place in degrees, shares 0..1, the site's own air.

    Parameters
    ----------
    latitude, longitude : float or None
        Place; the sun is left out where it is unknown. [deg]
    sky_view, sun : float or ndarray, shape (member,)
        Shares of sky and sun, 0..1. [-]
    wind_factor : float
        Share of the wind, 0..1. [-]
    air_offset_k : float or ndarray, shape (member,)
        What the site is warmer by than the forecast. [K]
    swing : float or ndarray, shape (member,)
        Factor on the daily swing. [-]

    Raises
    ------
    OutOfRange
        If a share is outside 0..1.
    """

    latitude: float | None
    longitude: float | None
    sky_view: float | Array = 1.0
    sun: float | Array = 1.0
    wind_factor: float = 1.0
    air_offset_k: float | Array = 0.0
    swing: float | Array = 1.0

    def __post_init__(self) -> None:
        for name in ("sky_view", "sun", "wind_factor"):
            share = np.asarray(getattr(self, name))
            if not np.all((share >= 0.0) & (share <= 1.0)):
                raise OutOfRange(f"exposure: {name} is a share and runs from 0 to 1")


class StandingWeather:
    """What follows from the weather at whole hours: sky, vapour, wind at the slab, sun let through.

    Parameters
    ----------
    weather : Members
        Hourly members. [various]
    exposure : Exposure
        Its offset, swing and wind are in it; its shares of sky and sun are not yet. [various]
    """

    def __init__(self, weather: Members, exposure: Exposure) -> None:
        air = site_air_c(weather.air_c, exposure.air_offset_k, exposure.swing)
        dew = np.minimum(weather.dew_point_c, air)
        bare = surface.surroundings(
            air, dew, weather.wind_ms, weather.cloud, 1.0,
            sky_view=1.0, sun=1.0, wind_factor=exposure.wind_factor,
        )  # fmt: skip
        self.table = np.stack([air, bare.sky_w_m2, bare.vapour_kpa, bare.wind_ms, bare.sun_w_m2])


class MemberForcing:
    """Surroundings of every (start, member) pair, the members running fastest.

    Before its first hour the weather stands as at the first, after its last as at the last.

    Parameters
    ----------
    weather : Members
        Hourly members; linear between hours. [various]
    exposure : Exposure
        What of it reaches the slab. [various]
    starts_h : array_like, shape (start,)
        Starts, hours since 1970-01-01T00:00 UTC. [h]
    standing : StandingWeather or None
        What follows from the weather at whole hours, worked out once for many forcings; sky
        and vapour are then linear between hours too. [various]
    """

    def __init__(
        self,
        weather: Members,
        exposure: Exposure,
        starts_h: Array,
        standing: StandingWeather | None = None,
    ) -> None:
        self.exposure = exposure
        self.starts_h = np.atleast_1d(np.asarray(starts_h, dtype=float))
        self.first_h = weather.start_h
        self._standing = standing is not None
        if standing is not None:
            self._table = standing.table
        else:
            air = site_air_c(weather.air_c, exposure.air_offset_k, exposure.swing)
            self._table = np.stack(
                [air, np.minimum(weather.dew_point_c, air), weather.wind_ms, weather.cloud]
            )
        self.shape = (len(self.starts_h), weather.air_c.shape[1])
        self._sky_view = self._every(exposure.sky_view)
        self._sun = self._every(exposure.sun)
        placed = exposure.latitude is not None and exposure.longitude is not None
        self._sunny = placed and bool(np.any(self._sun > 0.0))

    def _every(self, share: float | Array) -> Array:
        """A share for every (start, member) pair."""
        return np.broadcast_to(np.asarray(share, dtype=float), self.shape).ravel()

    def __call__(self, t_h: float) -> surface.Surroundings:
        """Surroundings at ``t_h`` after each start, shape (start x member,)."""
        at = self.starts_h + t_h
        row = np.clip(
            np.floor(at - self.first_h + 1e-9).astype(np.int64), 0, self._table.shape[1] - 2
        )
        share = np.clip(at - self.first_h - row, 0.0, 1.0)[None, :, None]
        now = (1.0 - share) * self._table[:, row] + share * self._table[:, row + 1]
        exposure = self.exposure
        clear: float | Array = 0.0
        if self._sunny:
            cos_z = sun.cos_zenith(at, exposure.latitude or 0.0, exposure.longitude or 0.0)
            clear = np.repeat(sun.clear_sky_w_m2(cos_z), self.shape[1])
        if self._standing:
            air, sky, vapour, wind, through = now.reshape(5, -1)
            return surface.Surroundings(
                air, self._sky_view * sky, self._sun * clear * through, vapour, wind
            )
        air, dew, wind, cloud = now.reshape(4, -1)
        return surface.surroundings(
            air, dew, wind, cloud, clear,
            sky_view=self._sky_view, sun=self._sun, wind_factor=exposure.wind_factor,
        )  # fmt: skip
