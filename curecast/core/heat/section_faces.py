"""The faces of a section: top, free side and soil beside, each in balance with its own air.

The top lies under the cover. The side sees half the sky and no sun, behind its form and behind
the cover only if that laps. The soil beside lies bare; a heated enclosure takes in top and
side, and the soil beside only if its cover laps (ASSUMED). Every face has its own radiation;
the top alone dries, point by point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverState
from curecast.core.heat.section_grid import BESIDE, SIDE, TOP, SectionGrid

Array = NDArray[np.float64]


@dataclass(frozen=True)
class FaceDrive:
    """What drives the faces at one instant.

    Parameters
    ----------
    air_c, gain_w_m2, convection_w_m2k : ndarray, shape (face, member)
        Air, long-wave and solar gain, convective coefficient. [°C, W/m2, W/m2/K]
    r_m2k_w : ndarray, shape (face, 1)
        Cover and form over the face. [m2K/W]
    vapour_kpa, wind_ms : ndarray, shape (member,)
        At the top. [kPa, m/s]
    tops : int
        How many faces, the first ones, are the top. [-]
    """

    air_c: Array
    gain_w_m2: Array
    convection_w_m2k: Array
    r_m2k_w: Array
    vapour_kpa: Array
    wind_ms: Array
    tops: int

    def sol_air_c(self, face: int, face_c: Array) -> Array:
        """Driving temperature over one face at that face's temperature. [°C]"""
        h = self.convection_w_m2k[face] + surface.radiation_w_m2k(self.air_c[face], face_c)
        return np.asarray(self.air_c[face] + self.gain_w_m2[face] / h)


def face_drive(
    grid: SectionGrid, around: surface.Surroundings, cover: CoverState, form_r_m2k_w: float
) -> FaceDrive:
    """The driving terms under a cover.

    Parameters
    ----------
    grid : SectionGrid
        The section's cells and faces. [various]
    around : Surroundings
        At the slab, outside any enclosure, shape (member,). [various]
    cover : CoverState
        What lies over the slab. [various]
    form_r_m2k_w : float
        Form on the side, 0 once stripped. [m2K/W]

    Returns
    -------
    FaceDrive
        Driving terms. [various]
    """
    over = around if cover.heat_to_c is None else surface.enclosed(around, cover.heat_to_c)
    beside = over if cover.laps else around
    kind = grid.face_kind
    gain = {
        TOP: over.sky_w_m2 + cover.absorptance * over.sun_w_m2,
        SIDE: 0.5 * over.sky_w_m2,
        BESIDE: beside.sky_w_m2 + surface.ABSORPTANCE * beside.sun_w_m2,
    }
    convection = surface.convection_w_m2k(np.stack([over.wind_ms, beside.wind_ms]))
    lapped = cover.r_m2k_w if cover.laps else 0.0
    is_beside = np.asarray(kind == BESIDE, dtype=np.int64)
    return FaceDrive(
        air_c=np.stack([over.air_c, beside.air_c])[is_beside],
        gain_w_m2=np.stack([gain[TOP], gain[SIDE], gain[BESIDE]])[kind],
        convection_w_m2k=convection[is_beside],
        r_m2k_w=np.array([cover.r_m2k_w, form_r_m2k_w + lapped, 0.0], over.air_c.dtype)[
            kind
        ][:, None],
        vapour_kpa=over.vapour_kpa,
        wind_ms=over.wind_ms,
        tops=int(np.sum(kind == TOP)),
    )


@dataclass(frozen=True)
class FaceBalance:
    """Faces in balance with their air.

    Parameters
    ----------
    face_c : ndarray, shape (face, member)
        Temperature. [°C]
    dry_w_m2 : ndarray, shape (face, member)
        Flux inwards, what vapour takes away left out. [W/m2]
    vapour_w_m2 : ndarray, shape (top face, member)
        Heat that vapour takes from a wet top. [W/m2]
    """

    face_c: Array
    dry_w_m2: Array
    vapour_w_m2: Array

    def flux_w_m2(self, wet: Array | None) -> Array:
        """Flux inwards where ``wet`` of the time water leaves the top. [W/m2]"""
        if wet is None:
            return self.dry_w_m2
        flux = self.dry_w_m2.copy()
        flux[: len(wet)] -= wet * self.vapour_w_m2
        return flux


def balance_faces(
    drive: FaceDrive,
    known_c: Array,
    response_m2k_w: Array,
    guess: FaceBalance | None,
    wet: Array | None,
    passes: int,
) -> FaceBalance:
    """Bring all faces into balance with their air at once.

    Parameters
    ----------
    drive : FaceDrive
        What drives the faces. [various]
    known_c : ndarray, shape (face, member)
        Where they would stand without any flux. [°C]
    response_m2k_w : ndarray, shape (face, face)
        Rise of each face per flux into each face. [m2K/W]
    guess : FaceBalance or None
        Where to begin. [various]
    wet : ndarray or None, shape (top face, member)
        Share of the time in which water leaves the top, 0..1. [-]
    passes : int
        Passes. Each takes the answer of a face to be the sum of its row, the most that it can
        be, so that it closes the gap from one side and cannot run away. [-]

    Returns
    -------
    FaceBalance
        What is returned is consistent: the temperatures are those that the fluxes cause,
        whether or not the last pass closed the balance. [°C, W/m2]
    """
    most = np.sum(np.abs(response_m2k_w), axis=1)[:, None]
    n = drive.tops
    flux = np.zeros_like(known_c) if guess is None else guess.flux_w_m2(wet)
    vapour = np.zeros((n, known_c.shape[1]), known_c.dtype)
    for _ in range(passes):
        face_c = known_c + response_m2k_w @ flux
        h = drive.convection_w_m2k + surface.radiation_w_m2k(drive.air_c, face_c)
        slope = h / (1.0 + drive.r_m2k_w * h)
        gap = (drive.gain_w_m2 / h + drive.air_c - face_c) * slope - flux
        if wet is not None:
            vapour, steeper = surface.evaporation_w_m2(face_c[:n], drive.vapour_kpa, drive.wind_ms)
            gap[:n] -= wet * vapour
            slope[:n] += wet * steeper
        flux = flux + gap / (1.0 + slope * most)
    face_c = known_c + response_m2k_w @ flux
    if wet is None:
        return FaceBalance(face_c, flux, vapour)
    vapour, _ = surface.evaporation_w_m2(face_c[:n], drive.vapour_kpa, drive.wind_ms)
    dry = flux.copy()
    dry[:n] += wet * vapour
    return FaceBalance(face_c, dry, vapour)
