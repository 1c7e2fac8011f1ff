"""Follows a march, a few steps at once: ages, set, drying, and the coldest place."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from curecast.core.aging import Ages
from curecast.core.concrete.evaporation import KMH_PER_MS, reported_kg_m2_h, saturation_kpa
from curecast.core.concrete.rates import STANDARD_C
from curecast.core.concrete.setting import _set_rate, finishing_start_h_at
from curecast.core.heat.edge_screen import edge_share, screened_edge_c
from curecast.core.heat.step import Step
from curecast.core.heat.surface import radiation_w_m2k

Array = NDArray[np.float64]

#: Places in the slab, in the order of the arrays' second axis.
PLACES = ("surface", "middle", "bottom", "edge")
#: Steps that are followed at once. [-]
AT_ONCE = 16


class Clock:
    """Adds up a share per hour until it reaches one, and remembers when.

    Parameters
    ----------
    rate_per_h : ndarray, shape (column,)
        Share an hour at the start. [1/h]
    from_h : float
        When it begins to count. [h]
    """

    def __init__(self, rate_per_h: Array, from_h: float = 0.0) -> None:
        self.share = np.zeros_like(rate_per_h)
        self.reached_h = np.full(rate_per_h.shape, np.nan)
        self.over = False
        self._rate, self._from_h = rate_per_h, from_h

    def run(self, rate_per_h: Array, dt_h: float, t_h: float) -> None:
        """Let one step count, or what of it lies after the clock's start."""
        before, counted_h = self.share, min(dt_h, t_h - self._from_h)
        rate, self._rate = 0.5 * (self._rate + rate_per_h), rate_per_h
        if counted_h <= 0.0:
            return
        self.share = before + rate * counted_h
        now = (before < 1.0) & (self.share >= 1.0)
        if now.any():
            part = (self.share[now] - 1.0) / (self.share[now] - before[now])
            self.reached_h[now] = t_h - part * counted_h
            self.over = bool(np.all(self.share >= 1.0))


class Kept:
    """What is kept of every instant: the places' temperatures and ages, coldest place, air.

    Parameters
    ----------
    like : ndarray, shape (column,)
        How many columns, and their precision. [-]
    instants : int
        How many are expected; more find room too. [-]
    """

    def __init__(self, like: Array, instants: int) -> None:
        self.t_h: list[float] = []
        many, places = (instants, len(like)), (instants, len(PLACES), len(like))
        shapes = (places, places, places, many, many)
        self._rows = [np.empty(shape, like.dtype) for shape in shapes]

    def room(self, times_h: list[float]) -> list[Array]:
        """Rows to be filled for more instants."""
        first = len(self.t_h)
        self.t_h += times_h
        while len(self.t_h) > len(self._rows[0]):
            self._rows = [np.concatenate([rows, np.empty_like(rows)]) for rows in self._rows]
        return [rows[first : len(self.t_h)] for rows in self._rows]

    def of(self, which: int) -> Array:
        """All that was kept of one quantity."""
        return self._rows[which][: len(self.t_h)]


class Follower:
    """Keeps what strength, set and frost are read from.

    Parameters
    ----------
    first : Step
        The start. [various]
    strip_at_h : float
        When the form comes off. [h]
    floats_from_h : float
        When the last batch is placed. [h]
    instants : int
        How many are expected. [-]
    """

    def __init__(
        self, first: Step, strip_at_h: float, floats_from_h: float, instants: int
    ) -> None:
        face = first.surface_c
        self.strip_at_h = strip_at_h
        self.setting = Clock(_set_rate(face))
        self.floating = Clock(1.0 / finishing_start_h_at(face), floats_from_h)
        self.dries = np.zeros_like(face)
        self.kept = Kept(face, instants)
        temps, te20, ttf, coldest, air = self.kept.room([0.0])
        temps[:], te20[:], ttf[:] = face, 0.0, 0.0
        coldest[:], air[:] = face, first.face.around.air_c
        self.ages = Ages(temps[-1])

    def follow(self, steps: Sequence[Step]) -> None:
        """Let some steps count."""
        temps, te20, ttf, coldest, air = self.kept.room([step.t_h for step in steps])
        for i, step in enumerate(steps):
            temps[i, 0], temps[i, 1], temps[i, 2] = step.surface_c, step.middle_c, step.bottom_c
            air[i] = step.face.around.air_c
        temps[:, 3] = self._edge_c(steps, temps[:, 0], air)
        np.minimum(np.stack([step.coldest_c for step in steps]), temps[:, 3], out=coldest)
        self.ages.add(np.array([step.dt_h for step in steps], temps.dtype), temps, te20, ttf)
        for step in steps:
            if not self.floating.over:
                rate = 1.0 / finishing_start_h_at(step.surface_c)
                self.floating.run(rate, step.dt_h, step.t_h)
            if not self.setting.over:
                self.setting.run(_set_rate(step.surface_c), step.dt_h, step.t_h)
                if not step.cover.covered:
                    self._dry(step)

    def ended(self, steps: int, enough: Callable[[float, Array], bool]) -> bool:
        """Whether the march may end within the last steps; what lies beyond is dropped."""
        times_h = self.kept.t_h
        for row in range(len(times_h) - steps, len(times_h)):
            age_h = np.minimum(self.kept.of(1)[row], self.kept.of(2)[row] / STANDARD_C)
            if enough(times_h[row], age_h):
                del times_h[row + 1 :]
                return True
        return False

    def _edge_c(self, steps: Sequence[Step], top_c: Array, air_c: Array) -> Array:
        """The edge as it is screened, shape (step, column)."""
        h = radiation_w_m2k(air_c, top_c)
        h += np.stack([step.face.convection_w_m2k for step in steps])
        sol_air = np.stack([step.face.gain_w_m2 for step in steps])
        sol_air /= h
        sol_air += air_c
        shares = [edge_share(s.cover, s.t_h > self.strip_at_h, s.t_h) for s in steps]
        return screened_edge_c(sol_air, top_c, np.array(shares, top_c.dtype)[:, None])

    def _dry(self, step: Step) -> None:
        """Keep the greatest rate at which a bare face dries before it has set."""
        air, wind = step.face.around.air_c, step.face.around.wind_ms
        rh = np.clip(step.face.around.vapour_kpa / saturation_kpa(air), 0.0, 1.0)
        shown = reported_kg_m2_h(step.surface_c, air, rh, KMH_PER_MS * wind)
        self.dries = np.maximum(self.dries, np.where(self.setting.share < 1.0, shown, 0.0))
