"""What the air, the wind, the sky and the sun do to a face of the slab.

The weather is first turned into what stands at the slab (``Surroundings``); a face then
gets a conductance and a driving temperature from it, covered or bare.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.concrete.evaporation import (
    KMH_PER_MS,
    SLAB_WIND,
    _menzel_per_kpa,
    saturation_kpa,
)
from curecast.core.heat.sun import checked_cloud, through_cloud
from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

KELVIN = 273.15
#: Stefan-Boltzmann constant. [W/m2/K4]
SIGMA = 5.670374e-8
#: Long-wave emissivity of concrete and of a cover's outer face.
EMISSIVITY = 0.90
#: Solar absorptance of concrete and of a cover's outer face.
ABSORPTANCE = 0.65
LATENT_J_KG = 2.45e6  # of evaporation
#: Wind half a metre over open ground as a share of the wind at 10 m: log law, z0 0.03 m.
WIND_AT_SLAB = SLAB_WIND
#: Wind inside a heated enclosure. [m/s]
ENCLOSED_WIND_MS = 0.5


@dataclass(frozen=True)
class Surroundings:
    """What a slab meets at one instant; every array has the shape of the batch.

    Parameters
    ----------
    air_c : ndarray
        Air at the slab. [°C]
    sky_w_m2 : ndarray
        eps F_sky (L_sky - sigma T_air^4): long-wave gain against the air, mostly negative. [W/m2]
    sun_w_m2 : ndarray
        S_sun G: sun that reaches the slab, before absorption. [W/m2]
    vapour_kpa : ndarray
        Vapour pressure of the air. [kPa]
    wind_ms : ndarray
        Wind at the slab. [m/s]
    """

    air_c: Array
    sky_w_m2: Array
    sun_w_m2: Array
    vapour_kpa: Array
    wind_ms: Array

    def pick(self, which: Any) -> Surroundings:
        """Some of the instants or columns, by any index that arrays take."""
        return Surroundings(*(values[which] for values in vars(self).values()))


def sky_emissivity(dew_point_c: ArrayLike, cloud: ArrayLike) -> Array:
    """Emissivity of the sky as seen from level ground.

    Parameters
    ----------
    dew_point_c : array_like, any shape
        Dew point near the ground. [°C]
    cloud : array_like, same shape
        Cloud cover, 0..1. [-]

    Returns
    -------
    ndarray, same shape
        Emissivity, at most 1. [-]

    Raises
    ------
    OutOfRange
        For a cloud cover outside 0..1.

    References
    ----------
    Clark and Allen (1978), Proc. 2nd National Passive Solar Conference.
    """
    tenths = 10.0 * checked_cloud(cloud)
    clear = 0.787 + 0.764 * np.log((floats(dew_point_c) + KELVIN) / KELVIN)
    cloudy = 1.0 + tenths * (0.0224 + tenths * (-0.0035 + 0.00028 * tenths))
    return np.minimum(clear * cloudy, 1.0)


def surroundings(
    air_c: Array,
    dew_point_c: Array,
    wind_ms: Array,
    cloud: Array,
    clear_sky_w_m2: ArrayLike,
    *,
    sky_view: float | Array,
    sun: float | Array,
    wind_factor: float,
) -> Surroundings:
    """Weather turned into what stands at the slab.

    Parameters
    ----------
    air_c, dew_point_c : ndarray
        Air and dew point at the site. [°C]
    wind_ms : ndarray
        Wind at 10 m. [m/s]
    cloud : ndarray
        Cloud cover, 0..1. [-]
    clear_sky_w_m2 : array_like
        Radiation of a clear sky at the instant, any shape that broadcasts. [W/m2]
    sky_view, sun : float or ndarray
        Shares of sky and sun that reach the slab, 0..1. [-]
    wind_factor : float
        Share of the wind, 0..1. [-]

    Returns
    -------
    Surroundings
        Arrays of the broadcast shape. [various]
    """
    black = SIGMA * np.square(np.square(air_c + KELVIN))
    if np.any(np.asarray(sky_view) > 0.0):
        sky = EMISSIVITY * sky_view * black * (sky_emissivity(dew_point_c, cloud) - 1.0)
    else:
        sky = np.zeros_like(air_c)
    shining = np.any(np.asarray(sun) > 0.0)
    gain = sun * np.asarray(clear_sky_w_m2) * through_cloud(cloud) if shining else 0.0
    return Surroundings(
        air_c=air_c,
        sky_w_m2=sky,
        sun_w_m2=np.broadcast_to(np.asarray(gain, dtype=air_c.dtype), air_c.shape),
        vapour_kpa=saturation_kpa(dew_point_c),
        wind_ms=WIND_AT_SLAB * wind_factor * wind_ms,
    )


def enclosed(around: Surroundings, heat_to_c: float) -> Surroundings:
    """The same surroundings inside a heated enclosure.

    Parameters
    ----------
    around : Surroundings
        Outside the enclosure. [various]
    heat_to_c : float
        Set-point of the heater. [°C]

    Returns
    -------
    Surroundings
        Air at least at the set-point, no sky, no sun, still air. [various]
    """
    none = np.zeros_like(around.air_c)
    return Surroundings(
        air_c=np.maximum(around.air_c, heat_to_c),
        sky_w_m2=none,
        sun_w_m2=none,
        vapour_kpa=around.vapour_kpa,
        wind_ms=np.full_like(around.air_c, ENCLOSED_WIND_MS),
    )


def convection_w_m2k(wind_ms: ArrayLike) -> Array:
    """Convective coefficient of a level face.

    Parameters
    ----------
    wind_ms : array_like, any shape
        Wind at the slab, at least 0. [m/s]

    Returns
    -------
    ndarray, same shape
        Coefficient; it steps up by 5 % at 5 m/s, as printed. [W/m2/K]

    Raises
    ------
    OutOfRange
        For a wind below 0.

    References
    ----------
    Pavement practice, 5.6 + 3.95 v up to 5 m/s, 7.6 v^0.78 above (from memory).
    """
    v = floats(wind_ms)
    if np.any(v < 0.0):
        raise OutOfRange("a wind speed cannot be below 0")
    light = 5.6 + 3.95 * v
    if not np.any(v > 5.0):
        return light
    return np.where(v <= 5.0, light, 7.6 * np.maximum(v, 1e-6) ** 0.78)


def radiation_w_m2k(air_c: Array, face_c: Array) -> Array:
    """Radiative coefficient between a face and its surroundings at air temperature.

    Parameters
    ----------
    air_c, face_c : ndarray
        Air, and the slab's own face, covered or not. [°C]

    Returns
    -------
    ndarray
        4 eps sigma T_m^3 at the mean of the two. [W/m2/K]
    """
    mean_k = 0.5 * (air_c + face_c) + KELVIN
    return np.asarray(4.0 * EMISSIVITY * SIGMA * (mean_k * mean_k * mean_k))


def evaporation_w_m2(face_c: Array, vapour_kpa: Array, wind_ms: Array) -> tuple[Array, Array]:
    """Heat that evaporation takes from a bare, wet face, and its slope.

    Parameters
    ----------
    face_c : ndarray
        Face temperature. [°C]
    vapour_kpa : ndarray
        Vapour pressure of the air. [kPa]
    wind_ms : ndarray
        Wind at the slab. [m/s]

    Returns
    -------
    heat_w_m2 : ndarray
        Heat lost, never below 0. [W/m2]
    slope_w_m2k : ndarray
        Its derivative with the face temperature. [W/m2/K]

    References
    ----------
    Menzel (1954) as in ACI 305R, SI form of the nomograph (from memory).
    """
    saturated = saturation_kpa(face_c)
    per_kpa = _menzel_per_kpa(KMH_PER_MS * wind_ms) * LATENT_J_KG / 3600.0
    heat = per_kpa * (saturated - vapour_kpa)
    slope = per_kpa * saturated * 17.27 * 237.3 / (face_c + 237.3) ** 2
    wet = heat > 0.0
    return np.where(wet, heat, 0.0), np.where(wet, slope, 0.0)
