"""Finishing windows: when the face may be worked and when it is too late, by set and bleed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import FINISHING_H
from curecast.core.concrete.setting import (
    INITIAL_SET,
    finishing_progress,
    saw_cut_window_h,
    set_progress,
)

Array = NDArray[np.float64]

#: The finished face is covered, and then read for the first time, within (ASSUMED). [h]
COVER_WITHIN_H, READ_WITHIN_H = 0.5, 1.0


@dataclass(frozen=True)
class SetClock:
    """How fast concrete sets at the temperatures of one day.

    Parameters
    ----------
    at_h : ndarray, shape (time,)
        Instants after the start of the first batch, rising from 0. [h]
    temp_c : ndarray, shape (time,)
        The concrete's face at each. [°C]
    set_factor : float
        The mix's time over the table's. [-]
    """

    at_h: Array
    temp_c: Array
    set_factor: float = 1.0

    @cached_property
    def _gone(self) -> tuple[Array, Array]:
        """Progress of setting and to the first float since the start, at each instant."""
        mean, step = 0.5 * (self.temp_c[1:] + self.temp_c[:-1]), np.diff(self.at_h)
        both = (set_progress, finishing_progress)
        set_, float_ = (np.concatenate([[0.0], f(mean, step, self.set_factor)]) for f in both)
        return set_, float_

    def set_h(self, wet_h: float, level: float = 1.0) -> float:
        """When concrete has set that was wetted at an instant.

        Parameters
        ----------
        wet_h : float
            Water met cement; before 0 where a truck brings it. [h]
        level : float
            1 for final set, ``INITIAL_SET`` for initial set. [-]

        Returns
        -------
        float
            After the start; infinity where it does not set. [h]
        """
        return self._when(self._gone[0], wet_h, level)

    def floats_h(self, placed_h: float) -> float:
        """When concrete that was placed at an instant may be floated.

        Parameters
        ----------
        placed_h : float
            It lies in the form. [h]

        Returns
        -------
        float
            After the start; infinity where it never bears it. [h]
        """
        return self._when(self._gone[1], placed_h, 1.0)

    def _when(self, gone: Array, from_h: float, level: float) -> float:
        aim = float(np.interp(from_h, self.at_h, gone)) + level
        before_h = self.at_h[0] - from_h
        if before_h > 0.0:  # mixed at a plant: it set on its way as it does at the start
            aim -= before_h * (gone[1] - gone[0]) / (self.at_h[1] - self.at_h[0])
        if aim <= gone[0]:
            return float(self.at_h[0])
        if gone[-1] < aim:
            return float("inf")
        i = int(np.searchsorted(gone, aim))
        part = (aim - gone[i - 1]) / (gone[i] - gone[i - 1])
        return float(self.at_h[i - 1] + part * (self.at_h[i] - self.at_h[i - 1]))


@dataclass(frozen=True)
class Placed:
    """The first and the last batch of a day, after the start of the first.

    Parameters
    ----------
    first_mix_h, first_h : float
        Water met the first batch (before 0 at a plant), and it lay in the form. [h]
    last_mix_h, last_h : float
        The same of the last. [h]
    screeded_h : float
        All of it is struck off. [h]
    """

    first_mix_h: float
    first_h: float
    last_mix_h: float
    last_h: float
    screeded_h: float


@dataclass(frozen=True)
class Window:
    """One step of finishing.

    Parameters
    ----------
    step : str
        In plain words. [-]
    from_h, to_h : float
        It opens and it closes, after the start; infinity where it never does. [h]
    """

    step: str
    from_h: float
    to_h: float


def finished_h(clock: SetClock, placed: Placed) -> float:
    """When the last float or trowel leaves the face.

    Parameters
    ----------
    clock : SetClock
        The day's. [various]
    placed : Placed
        The day's batches. [h]

    Returns
    -------
    float
        After the start; infinity where it does not set. [h]
    """
    return max(clock.floats_h(placed.last_h), placed.screeded_h) + FINISHING_H


def finish_windows(clock: SetClock, placed: Placed) -> list[Window]:
    """Every step from the screed to the first reading.

    Parameters
    ----------
    clock : SetClock
        The day's. [various]
    placed : Placed
        The day's batches. [h]

    Returns
    -------
    list of Window
        Opened by the footprint of the first batch and closed by its set; the trowel opens once
        the last batch is floated. [h]
    """
    initial = clock.set_h(placed.first_mix_h, INITIAL_SET)
    final = clock.set_h(placed.first_mix_h)
    opens = min(clock.floats_h(placed.first_h), initial)
    done = finished_h(clock, placed)
    trowel = min(max(opens, done - 0.5 * FINISHING_H), final)
    cut_from, cut_to = (float(v) for v in saw_cut_window_h(clock.set_h(placed.last_mix_h)))
    return [
        Window("screed", placed.first_h, placed.screeded_h),
        Window("bleed wait", min(placed.screeded_h, opens), opens),
        Window("edge", opens, initial),
        Window("float", opens, initial),
        Window("trowel or broom", trowel, final),
        Window("cover", done, done + COVER_WITHIN_H),
        Window("first reading", done, done + READ_WITHIN_H),
        Window("joint cut", cut_from, cut_to),
    ]
