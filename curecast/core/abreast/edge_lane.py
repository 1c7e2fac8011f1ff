"""The edge of one poured slab on its way through one member's weather, beside others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.lane import Sky
from curecast.core.edges import EDGE_COARSE
from curecast.core.heat.covers import CoverSpell, cover_state
from curecast.core.heat.section import EdgeSection, instants_h
from curecast.core.heat.section_faces import FaceDrive, face_drive
from curecast.core.heat.section_grid import BESIDE, SIDE, TOP
from curecast.core.heat.section_modes import SectionModes, section_modes
from curecast.core.heat.surface import Surroundings

Array = NDArray[np.float64]
#: In single precision.
Single = NDArray[Any]

#: One face of each kind stands for all.
KINDS = (TOP, SIDE, BESIDE)


@dataclass(frozen=True)
class EdgeLane:
    """A slab's edge to be marched in the weather of one member.

    Parameters
    ----------
    edge : EdgeSection
        The slab's edge. [various]
    sky : Sky
        The weather of one member. [various]
    spells : tuple of CoverSpell
        What lies over it. [various]
    horizon_h : float
        Length of the run, 1 at least. [h]
    """

    edge: EdgeSection
    sky: Sky
    spells: tuple[CoverSpell, ...]
    horizon_h: float

    @property
    def steps(self) -> int:
        """About how many steps it takes; for putting like to like. [-]"""
        return round(self.horizon_h)

    def modes(self) -> SectionModes:
        """The section's own modes. [various]"""
        return section_modes(self.edge.shape)

    def times_h(self) -> list[float]:
        """Instants of the march, every whole hour among them. [h]"""
        return instants_h(self.edge, self.spells, self.horizon_h, EDGE_COARSE)


@dataclass(frozen=True)
class EdgeTrail:
    """What a march leaves of one edge, hour by hour.

    Parameters
    ----------
    t_h : ndarray, shape (hour,)
        Whole hours after the start, the first 0. [h]
    arris_c, anchor_c : ndarray, shape (hour,)
        The top arris, and the colder of the anchors' two places. [°C]
    least_c : ndarray, shape (hour,)
        Least of arris and corner in the hour that ends here. [°C]
    """

    t_h: Array
    arris_c: Array
    anchor_c: Array
    least_c: Array


@dataclass(frozen=True)
class Driven:
    """What drives one lane's faces: at the step's end, and at its start under its own covers.

    Parameters
    ----------
    end, start : ndarray, shape (step, 4, kind)
        Air, gain, convection, and resistance over the face. [°C, W/m2, W/m2/K, m2K/W]
    moist : ndarray, shape (step, 4)
        Vapour pressure and wind at the top, at the step's end and at its start. [kPa, m/s]
    covered, afresh : ndarray of bool, shape (step,)
        Whether a cover stops evaporation; whether cover or form has just changed. [-]
    dt_h : ndarray, shape (step,)
        Length of each step. [h]
    """

    end: Single
    start: Single
    moist: Single
    covered: NDArray[np.bool_]
    afresh: NDArray[np.bool_]
    dt_h: Array


def driven(lane: EdgeLane, times_h: Sequence[float]) -> Driven:
    """All that drives a lane's faces.

    Parameters
    ----------
    lane : EdgeLane
        The edge. [various]
    times_h : sequence of float
        Its instants. [h]

    Returns
    -------
    Driven
        Step by step. [various]
    """
    around = lane.sky.at(np.array(times_h), standing=False)
    grid, edge = lane.modes().grid, lane.edge
    middles = [0.5 * (a + b) for a, b in pairwise(times_h)]
    states = [
        (cover_state(lane.spells, m), edge.form_r_m2k_w if m < edge.strip_at_h else 0.0)
        for m in middles
    ]
    steps = len(states)
    end, start = np.empty((2, steps, 4, len(KINDS)), dtype=np.float32)
    afresh = np.array([k == 0 or states[k] != states[k - 1] for k in range(steps)])
    begins = [*np.flatnonzero(afresh).tolist(), steps]
    pick = [int(np.argmax(grid.face_kind == kind)) for kind in KINDS]
    moist = np.empty((steps, 4), dtype=np.float32)
    for first, stop in pairwise(begins):
        cover, form_r = states[first]
        at = _part(around, slice(first, stop + 1))
        drive = face_drive(grid, at, cover, form_r)
        rows = _rows(drive, pick)
        start[first:stop], end[first:stop] = rows[:-1], rows[1:]
        for row, values in ((0, drive.vapour_kpa), (1, drive.wind_ms)):
            moist[first:stop, row], moist[first:stop, row + 2] = values[1:], values[:-1]
    covered = np.array([cover.covered for cover, _ in states])
    return Driven(end, start, moist, covered, afresh, np.diff(times_h))


def _part(around: Surroundings, which: slice) -> Surroundings:
    names = ("air_c", "sky_w_m2", "sun_w_m2", "vapour_kpa", "wind_ms")
    return Surroundings(*(getattr(around, name)[which] for name in names))


def _rows(drive: FaceDrive, pick: list[int]) -> Single:
    """Air, gain, convection and resistance by kind, the instants first: (instant, 4, kind)."""
    r = np.broadcast_to(drive.r_m2k_w, drive.air_c.shape)
    every = np.stack([drive.air_c, drive.gain_w_m2, drive.convection_w_m2k, r])
    return np.asarray(every[:, pick].transpose(2, 0, 1), dtype=np.float32)


class Driving:
    """What drives all lanes step by step, the lanes side by side; a lane that has fewer steps
    repeats its last.

    Parameters
    ----------
    parts : sequence of Driven
        One a lane. [various]
    """

    def __init__(self, parts: Sequence[Driven]) -> None:
        most = max(len(part.dt_h) for part in parts)
        rows = [np.minimum(np.arange(most), len(part.dt_h) - 1) for part in parts]
        names = ("end", "start", "moist", "covered", "afresh", "dt_h")
        self.end, self.start, self._moist, self.covered, self.afresh, self.dt_h = (
            np.stack([getattr(p, name)[r] for p, r in zip(parts, rows, strict=True)], axis=1)
            for name in names
        )

    def end_moist(self, step: int) -> tuple[Single, Single]:
        """Vapour pressure and wind at the end of a step, shape (lane, 1). [kPa, m/s]"""
        return self._moist[step, :, 0:1], self._moist[step, :, 1:2]

    def start_moist(self, step: int) -> tuple[Single, Single]:
        """The same at its start. [kPa, m/s]"""
        return self._moist[step, :, 2:3], self._moist[step, :, 3:4]
