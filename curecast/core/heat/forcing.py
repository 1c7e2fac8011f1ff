"""Weather of many members, read off at any time after many starts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import sun, surface
from curecast.core.precision import SINGLE
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
    """What follows from the weather at whole hours: sky, vapour, wind at the slab, cloud.

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
            air, dew, weather.wind_ms, weather.cloud, 0.0,
            sky_view=1.0, sun=0.0, wind_factor=exposure.wind_factor,
        )  # fmt: skip
        self.table = np.stack(
            [air, bare.sky_w_m2, bare.vapour_kpa, bare.wind_ms, weather.cloud]
        )
        self.change = np.diff(self.table, axis=1)


class SiteWeather:
    """The weather at the site at whole hours, as it is: air, dew point, wind at 10 m, cloud.

    Parameters
    ----------
    weather : Members
        Hourly members. [various]
    exposure : Exposure
        Its offset and swing are in it. [various]
    single : bool
        Single precision, for many columns; all that is marched in it is single too. [-]
    """

    def __init__(self, weather: Members, exposure: Exposure, *, single: bool = False) -> None:
        air = site_air_c(weather.air_c, exposure.air_offset_k, exposure.swing)
        dew = np.minimum(weather.dew_point_c, air)
        table = np.stack([air, dew, weather.wind_ms, weather.cloud])
        self.table = table.astype(SINGLE) if single else table
        self.change = np.diff(self.table, axis=1)


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
    standing : StandingWeather, SiteWeather or None
        The weather at whole hours, worked out once for many forcings; of StandingWeather sky
        and vapour are linear between hours too. [various]
    """

    def __init__(
        self,
        weather: Members,
        exposure: Exposure,
        starts_h: Array,
        standing: StandingWeather | SiteWeather | None = None,
    ) -> None:
        self.exposure = exposure
        self.starts_h = np.atleast_1d(np.asarray(starts_h, dtype=float))
        self.first_h = weather.start_h
        known = SiteWeather(weather, exposure) if standing is None else standing
        self._standing = isinstance(known, StandingWeather)
        self._table, self._change = known.table, known.change
        self.shape = (len(self.starts_h), weather.air_c.shape[1])
        self._sky_view = self._every(exposure.sky_view)
        self._sun = self._every(exposure.sun)
        placed = exposure.latitude is not None and exposure.longitude is not None
        self._sunny = placed and bool(np.any(self._sun > 0.0))

    def _every(self, share: float | Array) -> Array:
        """A share for every (start, member) pair."""
        every = np.broadcast_to(np.asarray(share, dtype=float), self.shape).ravel()
        return every.astype(self._table.dtype)

    def __call__(self, t_h: float) -> surface.Surroundings:
        """Surroundings at ``t_h`` after each start, shape (start x member,)."""
        return self.many(np.array([t_h])).pick(0)

    def many(self, times_h: Array) -> surface.Surroundings:
        """Surroundings at several instants after each start, shape (time, start x member)."""
        at = self.starts_h + times_h[:, None]
        row = np.clip(
            np.floor(at - self.first_h + 1e-9).astype(np.int64), 0, self._table.shape[1] - 2
        )
        share = np.clip(at - self.first_h - row, 0.0, 1.0)[None, :, :, None]
        now = self._change[:, row]
        now *= share.astype(now.dtype)
        now += self._table[:, row]
        now = now.reshape(len(now), len(times_h), -1)
        exposure = self.exposure
        clear: float | Array = 0.0
        if self._sunny:
            cos_z = sun.cos_zenith(at, exposure.latitude or 0.0, exposure.longitude or 0.0)
            clear = np.repeat(sun.clear_sky_w_m2(cos_z).astype(now.dtype), self.shape[1], axis=1)
        if self._standing:
            air, sky, vapour, wind, cloud = now
            shining = np.any(np.asarray(clear) > 0.0)
            gain = self._sun * clear * sun.through_cloud(cloud) if shining else np.zeros_like(air)
            return surface.Surroundings(air, self._sky_view * sky, gain, vapour, wind)
        air, dew, wind, cloud = now
        return surface.surroundings(
            air, dew, wind, cloud, clear,
            sky_view=self._sky_view, sun=self._sun, wind_factor=exposure.wind_factor,
        )  # fmt: skip
