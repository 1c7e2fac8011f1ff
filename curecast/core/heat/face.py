"""The top face: its driving terms over a step, and its balance against the solved interior."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverState
from curecast.core.heat.stages import StageSolver

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
    """A solved stage.

    Parameters
    ----------
    temps_c : ndarray, shape (cell, column)
        All cells. [°C]
    face_c : ndarray, shape (column,)
        The top face. [°C]
    flux_w_m2 : ndarray, shape (column,)
        Heat into the slab through its face. [W/m2]
    vapour_w_m2 : ndarray, shape (column,)
        Heat that leaves the face with water. [W/m2]
    """

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
    lift = solver.top_from_flux
    face_c, cell_c = guess_c, top
    vapour = slope = np.zeros_like(guess_c)
    for _ in range(passes):
        h = face.h_w_m2k(face_c)
        below = 1.0 + r_m2k_w * h
        u, drive = h / below, face.drive_w_m2(h) / below
        if wet is not None:
            vapour, slope = _vapour(face, face_c, wet)
            u, drive = u + slope, drive - vapour
        share = half_w_m2k / (u + half_w_m2k)
        cell_c = (top + lift * share * drive) / (1.0 + lift * share * u)
        face_c = (drive + half_w_m2k * cell_c) / (u + half_w_m2k)
    flux = half_w_m2k * (face_c - cell_c)
    temps = solver.carry_and_flux @ np.vstack([known_c, flux[None, :]])
    temps += solver.from_deep[:, None] * deep_c[None, :]
    return Balance(temps, face_c, flux, vapour + slope * face_c)


def _vapour(face: Face, face_c: Array, wet: Array) -> tuple[Array, Array]:
    """Evaporation as a line through its value at a face temperature: at 0 °C, and its slope."""
    around = face.around
    heat, slope = surface.evaporation_w_m2(face_c, around.vapour_kpa, around.wind_ms)
    return wet * (heat - slope * face_c), wet * slope
