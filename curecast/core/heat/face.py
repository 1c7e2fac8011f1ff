"""The top face: its driving terms over a step, and its balance against the solved interior."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverState

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Face:
    """What drives the top face at one instant; arrays of shape (column,).

    Parameters
    ----------
    around : Surroundings
        Air, sky, sun and wind, inside the enclosure if there is one. [various]
    convection_w_m2k : ndarray
        Convective coefficient. [W/m2/K]
    gain_w_m2 : ndarray
        Long-wave gain against the air, plus absorbed sun. [W/m2]
    """

    around: surface.Surroundings
    convection_w_m2k: Array
    gain_w_m2: Array

    def at(self, instant: int) -> Face:
        """One of several instants, where the first axis is time."""
        return Face(
            self.around.pick(instant), self.convection_w_m2k[instant], self.gain_w_m2[instant]
        )

    def h_w_m2k(self, face_c: Array) -> Array:
        """Convection and radiation together at a face temperature. [W/m2/K]"""
        return self.convection_w_m2k + surface.radiation_w_m2k(self.around.air_c, face_c)

    def drive_w_m2(self, h_w_m2k: Array) -> Array:
        """Flux into a bare face at 0 °C. [W/m2]"""
        return self.around.air_c * h_w_m2k + self.gain_w_m2

    def sol_air_c(self, face_c: Array) -> Array:
        """Driving temperature over the face. [°C]"""
        return self.around.air_c + self.gain_w_m2 / self.h_w_m2k(face_c)


def face_under(around: surface.Surroundings, cover: CoverState) -> Face:
    """The driving terms under a given cover.

    Parameters
    ----------
    around : Surroundings
        Outside any enclosure. [various]
    cover : CoverState
        What lies over the slab. [various]

    Returns
    -------
    Face
        Driving terms. [various]
    """
    if cover.heat_to_c is not None:
        around = surface.enclosed(around, cover.heat_to_c)
    return Face(
        around,
        surface.convection_w_m2k(around.wind_ms),
        around.sky_w_m2 + cover.absorptance * around.sun_w_m2,
    )


def blend(a: Array, b: Array, share: float) -> Array:
    """Part of the way from one array to another.

    Parameters
    ----------
    a, b : ndarray, same shape
        At share 0, and at share 1. [any unit]
    share : float
        How far, 0..1. [-]

    Returns
    -------
    ndarray, same shape
        Linear between the two. [the same unit]
    """
    return (1.0 - share) * a + share * b


@dataclass(frozen=True)
class Balance:
    """The top face at one stage, in balance with what lies under it.

    Parameters
    ----------
    face_c : ndarray, shape (column,)
        The top face. [°C]
    flux_w_m2 : ndarray, shape (column,)
        Heat into the slab through its face. [W/m2]
    vapour_w_m2 : ndarray or None, shape (column,)
        Heat that leaves the face with water; None where none can. [W/m2]
    """

    face_c: Array
    flux_w_m2: Array
    vapour_w_m2: Array | None


def balance(
    top_c: Array,
    under_m2k_w: float,
    face: Face,
    r_m2k_w: float,
    guess_c: Array,
    wet: Array | None,
    passes: int,
) -> Balance:
    """Bring the top face into balance with the solved interior.

    Parameters
    ----------
    top_c : ndarray, shape (column,)
        The top cell at the stage, before any flux. [°C]
    under_m2k_w : float
        Rise of the face per flux through it: the top cell's, and the half cell's. [m2K/W]
    face : Face
        Driving terms at the stage. [various]
    r_m2k_w : float
        Cover over the face, 0 when bare. [m2K/W]
    guess_c : ndarray, shape (column,)
        Face temperature to begin with. [°C]
    wet : ndarray or None
        Share of the step in which the face still loses water, 0..1. [-]
    passes : int
        Passes; radiation is lagged by one, evaporation is a Newton step. [-]

    Returns
    -------
    Balance
        The face: its flux is what drives it through cover and half cell. [°C, W/m2]
    """
    above_k = face.around.air_c - top_c
    face_c, vapour = guess_c, None
    for _ in range(passes):
        h = face.h_w_m2k(face_c)
        flux = h * above_k
        flux += face.gain_w_m2
        if wet is None:
            h *= under_m2k_w + r_m2k_w
        else:
            heat, slope = _vapour(face, face_c, wet)
            vapour = heat, slope
            flux -= heat + slope * top_c
            h *= under_m2k_w + r_m2k_w
            h += slope * under_m2k_w
        h += 1.0
        flux /= h
        face_c = under_m2k_w * flux
        face_c += top_c
    lost = None if vapour is None else vapour[0] + vapour[1] * face_c
    return Balance(face_c, flux, lost)


def _vapour(face: Face, face_c: Array, wet: Array) -> tuple[Array, Array]:
    """Evaporation as a line through its value at a face temperature: at 0 °C, and its slope."""
    around = face.around
    heat, slope = surface.evaporation_w_m2(face_c, around.vapour_kpa, around.wind_ms)
    return wet * (heat - slope * face_c), wet * slope
