"""The top face: its driving terms over a step, and its balance against the solved interior."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverState
from curecast.core.heat.layers import StageSolver

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

    def h_w_m2k(self, face_c: Array) -> Array:
        """Convection and radiation together at a face temperature. [W/m2/K]"""
        return self.convection_w_m2k + surface.radiation_w_m2k(self.around.air_c, face_c)

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
    """``a`` at share 0, ``b`` at share 1; any shape, any unit."""
    return (1.0 - share) * a + share * b


def face_between(start: Face, end: Face, share: float) -> Face:
    """The driving terms part of the way through a step.

    Parameters
    ----------
    start, end : Face
        At the ends of the step. [various]
    share : float
        How far through, 0..1. [-]

    Returns
    -------
    Face
        Linear between the two. [various]
    """
    a, b = start.around, end.around
    return Face(
        surface.Surroundings(
            blend(a.air_c, b.air_c, share),
            blend(a.sky_w_m2, b.sky_w_m2, share),
            blend(a.sun_w_m2, b.sun_w_m2, share),
            blend(a.vapour_kpa, b.vapour_kpa, share),
            blend(a.wind_ms, b.wind_ms, share),
        ),
        blend(start.convection_w_m2k, end.convection_w_m2k, share),
        blend(start.gain_w_m2, end.gain_w_m2, share),
    )


@dataclass(frozen=True)
class Balance:
    """A solved stage: all cells [°C], the face [°C], flux into the slab and into vapour [W/m2]."""

    temps_c: Array
    face_c: Array
    flux_w_m2: Array
    vapour_w_m2: Array


def balance(
    solver: StageSolver,
    known_c: Array,
    deep_c: Array,
    face: Face,
    r_m2k_w: float,
    half_w_m2k: float,
    guess_c: Array,
    wet: Array | None,
    passes: int,
) -> Balance:
    """Solve one stage with its face in balance.

    Parameters
    ----------
    solver : StageSolver
        The interior, solved for this step length. [various]
    known_c : ndarray, shape (cell, column)
        What the stage starts from, heat of hydration added. [°C]
    deep_c : ndarray, shape (column,)
        Foot of the soil. [°C]
    face : Face
        Driving terms at the stage. [various]
    r_m2k_w : float
        Cover over the face, 0 when bare. [m2K/W]
    half_w_m2k : float
        From the face to the top cell's centre. [W/m2/K]
    guess_c : ndarray, shape (column,)
        Face temperature to begin with. [°C]
    wet : ndarray or None
        Share of the step in which the face still loses water, 0..1. [-]
    passes : int
        Passes; radiation is lagged by one, evaporation is a Newton step. [-]

    Returns
    -------
    Balance
        The stage's state. [°C, W/m2]
    """
    top = solver.top_row @ known_c + solver.from_deep[0] * deep_c
    face_c = guess_c
    vapour = slope = np.zeros_like(guess_c)
    for _ in range(passes):
        h = face.h_w_m2k(face_c)
        u = h / (1.0 + r_m2k_w * h)
        drive = u * (face.around.air_c + face.gain_w_m2 / h)
        if wet is not None:
            vapour, slope = surface.evaporation_w_m2(
                face_c, face.around.vapour_kpa, face.around.wind_ms
            )
            vapour = wet * vapour - wet * slope * face_c
            slope = wet * slope
            u = u + slope
            drive = drive - vapour
        share = half_w_m2k / (u + half_w_m2k)
        cell = (top + solver.top_from_flux * share * drive) / (
            1.0 + solver.top_from_flux * share * u
        )
        face_c = (drive + half_w_m2k * cell) / (u + half_w_m2k)
    flux = half_w_m2k * (face_c - cell)
    temps = solver.carry_and_flux @ np.vstack([known_c, flux[None, :]])
    temps += solver.from_deep[:, None] * deep_c[None, :]
    return Balance(temps, face_c, flux, vapour + slope * face_c)
