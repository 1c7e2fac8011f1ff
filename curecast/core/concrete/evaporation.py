"""Evaporation of bleed water from fresh concrete; a guide, real losses lie within 40 %.

The heat balance always uses Menzel. What is reported for plastic cracking is Uno where
the air is at least as warm as the concrete and Menzel otherwise, since Uno overstates by up
to a quarter where warm concrete lies under cold air.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

SLAB_WIND = 0.48  # 10 m to 0.5 m over open ground, log law with z0 = 0.03 m
KMH_PER_MS = 3.6

WARN_KG_M2_H = 0.5  # 0.1 lb/ft2/h, from memory
ACT_KG_M2_H = 0.976  # 0.2 lb/ft2/h, ACI 305R
DOUBT = 0.4  # Hover, ACI SP-338, 2020


def saturation_kpa(temp_c: ArrayLike) -> Array:
    """Saturation vapour pressure over water.

    Parameters
    ----------
    temp_c : array_like
        Temperature, above -200 °C; below 0 °C the value over (supercooled) water. [°C]

    Returns
    -------
    ndarray
        0.6108 exp(17.27 T / (T + 237.3)), within 1 % from 0 to 60 °C. [kPa]

    Raises
    ------
    OutOfRange
        At -200 °C and below.

    References
    ----------
    Tetens 1930, constants after Murray 1967.

    Examples
    --------
    >>> round(float(saturation_kpa(20.0)), 3)
    2.338
    """
    t = floats(temp_c)
    if np.any(t <= -200.0):
        raise OutOfRange("a vapour pressure is known above -200 °C only")
    return np.asarray(0.6108 * np.exp(17.27 * t / (t + 237.3)))


def wind_at_slab_ms(wind_10m_ms: ArrayLike, wind_factor: ArrayLike = 1.0) -> Array:
    """Wind half a metre above the slab.

    Parameters
    ----------
    wind_10m_ms : array_like
        Wind at 10 m, as forecast. [m/s]
    wind_factor : array_like
        Share that the site's shelter lets through, 0..1. [-]

    Returns
    -------
    ndarray
        0.48 x wind x factor. [m/s]

    Raises
    ------
    OutOfRange
        With a wind below 0 or a factor outside 0..1.
    """
    _check_wind(wind_10m_ms)
    factor = np.asarray(wind_factor, dtype=np.float64)
    if np.any((factor < 0.0) | (factor > 1.0)):
        raise OutOfRange("the share of wind that shelter lets through runs from 0 to 1")
    return np.asarray(SLAB_WIND * np.asarray(wind_10m_ms, dtype=np.float64) * factor)


def _menzel_per_kpa(wind_kmh: ArrayLike) -> Array:
    """Menzel's evaporation for each kPa that the face stands above the air. [kg/m2/h/kPa]"""
    return np.asarray(0.315 * (0.253 + 0.060 * np.asarray(wind_kmh)))


def _menzel(surface_c: ArrayLike, vapour_kpa: ArrayLike, wind_kmh: ArrayLike) -> Array:
    """`menzel_kg_m2_h` from the air's vapour pressure, unchecked."""
    drive = np.maximum(saturation_kpa(surface_c) - np.asarray(vapour_kpa), 0.0)
    return np.asarray(drive * _menzel_per_kpa(wind_kmh))


def menzel_kg_m2_h(
    surface_c: ArrayLike, air_c: ArrayLike, rh: ArrayLike, wind_kmh: ArrayLike
) -> Array:
    """Evaporation after Menzel, the formula behind ACI's chart.

    Parameters
    ----------
    surface_c : array_like
        Temperature of the concrete's face. [°C]
    air_c : array_like
        Temperature of the air. [°C]
    rh : array_like
        Relative humidity of the air, 0..1. [-]
    wind_kmh : array_like
        Wind half a metre above the slab, not the forecast's 10 m wind. [km/h]

    Returns
    -------
    ndarray
        Evaporation, never below 0. [kg/m2/h]

    Raises
    ------
    OutOfRange
        With a humidity outside 0..1 or a wind below 0.

    References
    ----------
    Menzel 1954; constants from memory.

    Examples
    --------
    >>> round(float(menzel_kg_m2_h(30, 30, 0.4, 20)), 3)
    1.165
    """
    _check(rh, wind_kmh)
    return _menzel(surface_c, saturation_kpa(air_c) * np.asarray(rh), wind_kmh)


def _uno(surface_c: ArrayLike, air_c: ArrayLike, rh: ArrayLike, wind_kmh: ArrayLike) -> Array:
    """`uno_kg_m2_h` without its range check."""
    t_c = np.maximum(floats(surface_c) + 18.0, 0.0)
    t_a = np.maximum(floats(air_c) + 18.0, 0.0)
    drive = np.maximum(t_c**2.5 - np.asarray(rh) * t_a**2.5, 0.0)
    return np.asarray(5e-6 * drive * (np.asarray(wind_kmh) + 4.0))


def uno_kg_m2_h(
    surface_c: ArrayLike, air_c: ArrayLike, rh: ArrayLike, wind_kmh: ArrayLike
) -> Array:
    """Evaporation after Uno, a fit to ACI's chart.

    Parameters
    ----------
    surface_c : array_like
        Temperature of the concrete's face. [°C]
    air_c : array_like
        Temperature of the air. [°C]
    rh : array_like
        Relative humidity of the air, 0..1. [-]
    wind_kmh : array_like
        Wind half a metre above the slab. [km/h]

    Returns
    -------
    ndarray
        Evaporation, never below 0; temperatures under -18 °C count as -18. [kg/m2/h]

    Raises
    ------
    OutOfRange
        With a humidity outside 0..1 or a wind below 0.

    References
    ----------
    Uno, ACI Materials Journal 95-M34, 1998.

    Examples
    --------
    >>> round(float(uno_kg_m2_h(30, 30, 0.4, 20)), 3)
    1.149
    """
    _check(rh, wind_kmh)
    return _uno(surface_c, air_c, rh, wind_kmh)


def reported_kg_m2_h(
    surface_c: ArrayLike, air_c: ArrayLike, rh: ArrayLike, wind_kmh: ArrayLike
) -> Array:
    """Evaporation as it is reported for plastic cracking.

    Parameters
    ----------
    surface_c : array_like
        Temperature of the concrete's face. [°C]
    air_c : array_like
        Temperature of the air. [°C]
    rh : array_like
        Relative humidity of the air, 0..1. [-]
    wind_kmh : array_like
        Wind half a metre above the slab. [km/h]

    Returns
    -------
    ndarray
        Uno where the air is at least as warm as the concrete, Menzel otherwise. [kg/m2/h]

    Raises
    ------
    OutOfRange
        With a humidity outside 0..1 or a wind below 0.
    """
    _check(rh, wind_kmh)
    warm_air = np.asarray(air_c, dtype=np.float64) >= np.asarray(surface_c, dtype=np.float64)
    menzel = _menzel(surface_c, saturation_kpa(air_c) * np.asarray(rh), wind_kmh)
    return np.where(warm_air, _uno(surface_c, air_c, rh, wind_kmh), menzel)


def _check(rh: ArrayLike, wind_kmh: ArrayLike) -> None:
    humidity = np.asarray(rh, dtype=np.float64)
    if np.any((humidity < 0.0) | (humidity > 1.0)):
        raise OutOfRange("relative humidity runs from 0 to 1", "60 % is 0.60")
    _check_wind(wind_kmh)


def _check_wind(speed: ArrayLike) -> None:
    if np.any(np.asarray(speed, dtype=np.float64) < 0.0):
        raise OutOfRange("a wind speed cannot be below 0")
