"""Where the sun stands, and what it sends through a clear or cloudy sky."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

#: What interpolation may overshoot a bound by.
ROUNDING = 1e-9

#: Unix time of the epoch J2000.0, 2000-01-01T12:00 UTC. [h]
_J2000_H = 262_980.0


def cos_zenith(unix_h: ArrayLike, latitude: float, longitude: float) -> Array:
    """Cosine of the sun's zenith angle, refraction left out.

    Parameters
    ----------
    unix_h : array_like, any shape
        Hours since 1970-01-01T00:00 UTC. [h]
    latitude, longitude : float
        North and east positive, -90..90 and -180..180. [deg]

    Returns
    -------
    ndarray, same shape
        Cosine of the zenith angle, negative at night. [-]

    Raises
    ------
    OutOfRange
        For a place that is not on the globe.

    Notes
    -----
    Within 0.02° of arc from 1950 to 2050.

    References
    ----------
    US Naval Observatory, "Approximate solar coordinates" (from memory).
    """
    if not (abs(latitude) <= 90.0 and abs(longitude) <= 180.0):
        raise OutOfRange("a latitude runs from -90 to 90, a longitude from -180 to 180 degrees")
    days = (np.asarray(unix_h, dtype=float) - _J2000_H) / 24.0
    anomaly = np.deg2rad((357.529 + 0.98560028 * days) % 360.0)
    mean_longitude = (280.459 + 0.98564736 * days) % 360.0
    ecliptic = np.deg2rad(mean_longitude + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly))
    tilt = np.deg2rad(23.439 - 0.00000036 * days)
    declination = np.arcsin(np.sin(tilt) * np.sin(ecliptic))
    right_ascension = np.arctan2(np.cos(tilt) * np.sin(ecliptic), np.cos(ecliptic))
    sidereal_h = (18.697374558 + 24.06570982441908 * days) % 24.0
    hour_angle = np.deg2rad(15.0 * sidereal_h + longitude) - right_ascension
    north = np.deg2rad(latitude)
    return np.asarray(
        np.sin(north) * np.sin(declination)
        + np.cos(north) * np.cos(declination) * np.cos(hour_angle)
    )


def clear_sky_w_m2(cos_z: ArrayLike) -> Array:
    """Global radiation on level ground under a clear sky.

    Parameters
    ----------
    cos_z : array_like, any shape
        Cosine of the zenith angle, -1..1. [-]

    Returns
    -------
    ndarray, same shape
        Global horizontal radiation, 0 below the horizon. [W/m2]

    Raises
    ------
    OutOfRange
        For what is no cosine.

    References
    ----------
    Haurwitz, J. Meteorology 2 (1945), with the exponent's 0.057 as first printed.

    Examples
    --------
    >>> round(float(clear_sky_w_m2(1.0)))
    1037
    """
    cos_z = np.asarray(cos_z, dtype=float)
    if np.any(np.abs(cos_z) > 1.0 + ROUNDING):
        raise OutOfRange("the cosine of the sun's zenith angle runs from -1 to 1")
    up = np.maximum(cos_z, 1e-3)
    return np.where(cos_z > 0.0, 1098.0 * up * np.exp(-0.057 / up), 0.0)


def through_cloud(cloud: ArrayLike) -> Array:
    """Share of the clear sky's radiation that a cloudy sky lets through.

    Parameters
    ----------
    cloud : array_like, any shape
        Cloud cover, 0..1. [-]

    Returns
    -------
    ndarray, same shape
        Share, 0.25..1. [-]

    Raises
    ------
    OutOfRange
        For a cover outside 0..1.

    References
    ----------
    Kasten and Czeplak, Solar Energy 24 (1980).
    """
    return np.asarray(1.0 - 0.75 * checked_cloud(cloud) ** 3.4)


def checked_cloud(cloud: ArrayLike) -> Array:
    """Cloud cover as an array, refused outside 0..1; NaN goes through.

    Parameters
    ----------
    cloud : array_like, any shape
        Cloud cover, 0..1. [-]

    Returns
    -------
    ndarray, same shape
        The same. [-]

    Raises
    ------
    OutOfRange
        For a cover outside 0..1.
    """
    cover = floats(cloud)
    if np.any((cover < -ROUNDING) | (cover > 1.0 + ROUNDING)):
        raise OutOfRange("cloud cover runs from 0 to 1", "five tenths are 0.5")
    return np.asarray(np.maximum(cover, 0.0))
