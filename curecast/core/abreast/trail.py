"""What a lane's march leaves behind, block by block: as ``histories.collect``, in one sweep."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.lane import Faced, Lane
from curecast.core.aging import mean_above_c
from curecast.core.concrete.evaporation import KMH_PER_MS, reported_kg_m2_h, saturation_kpa
from curecast.core.concrete.rates import STANDARD_C, _gamma
from curecast.core.concrete.setting import _set_rate, finishing_start_h_at
from curecast.core.heat.covers import cover_state
from curecast.core.heat.edge_screen import edge_share, screened_edge_c
from curecast.core.heat.face import Face, face_under
from curecast.core.heat.surface import Surroundings
from curecast.core.histories import PLACES, Histories

Array = NDArray[np.float64]

_NO_AGES = np.zeros((0, 0, 0))


class _Sum:
    """A trapezoid sum along time that goes on from block to block."""

    def __init__(self, rate: Array) -> None:
        self.total, self._rate = np.zeros_like(rate), rate

    def run(self, rate: Array, dt_h: Array) -> Array:
        """The sum at each instant, shape (instant, ...)."""
        before = np.concatenate([self._rate[None], rate[:-1]])
        part = 0.5 * dt_h.reshape((-1,) + (1,) * (rate.ndim - 1)) * (before + rate)
        part[0] += self.total
        sums = np.cumsum(part, axis=0)
        self.total, self._rate = sums[-1], rate[-1]
        return np.asarray(sums)


class _Clock:
    """A share that grows, and when it reached one."""

    def __init__(self, rate_per_h: Array, from_h: float = 0.0) -> None:
        self._sum, self._from_h = _Sum(rate_per_h), from_h
        self.reached_h = np.full(rate_per_h.shape, np.nan)

    @property
    def over(self) -> bool:
        return bool(np.all(self._sum.total >= 1.0))

    def run(self, rate_per_h: Array, t_h: Array, dt_h: Array) -> Array:
        """The share at each instant, shape (instant, member)."""
        before = self._sum.total
        counted = np.clip(t_h - self._from_h, 0.0, dt_h)
        share = self._sum.run(rate_per_h, counted)
        now = (before < 1.0) & (share[-1] >= 1.0)
        if now.any():
            first = np.argmax(share[:, now] >= 1.0, axis=0)
            held, column = np.concatenate([before[None, now], share[:, now]]), np.arange(len(first))
            low, high = held[first, column], held[first + 1, column]
            self.reached_h[now] = t_h[first] - (high - 1.0) / (high - low) * counted[first]
        return share


class _Ripening:
    """The smaller of the two ages where it is least, to see when a lane may end."""

    def __init__(self, placed_c: Array) -> None:
        self._last_c = np.repeat(placed_c[None], len(PLACES), axis=0)
        self._te_h = _Sum(_gamma(self._last_c))
        self._ttf_c_h = np.zeros_like(self._last_c)

    def run(self, temp_c: Array, dt_h: Array) -> Array:
        """The smaller age at each instant, shape (instant, member); temperatures of shape
        (instant, place, member). [h]"""
        te_h = self._te_h.run(_gamma(temp_c), dt_h)
        before = np.concatenate([self._last_c[None], temp_c[:-1]])
        part = dt_h[:, None, None] * mean_above_c(before, temp_c)
        part[0] += self._ttf_c_h
        ttf_c_h = np.cumsum(part, axis=0)
        self._ttf_c_h, self._last_c = ttf_c_h[-1], temp_c[-1]
        return np.asarray(np.minimum(te_h, ttf_c_h / STANDARD_C).min(axis=1))


class Trail:
    """Keeps what strength, set and frost are read from.

    Parameters
    ----------
    lane : Lane
        The slab. [various]
    placed_c : ndarray, shape (member,)
        Fresh concrete. [°C]
    """

    def __init__(self, lane: Lane, placed_c: Array) -> None:
        self.lane, self.over = lane, False
        air = face_under(lane.sky.at(np.zeros(1)), cover_state(lane.spells, 0.0)).around.air_c
        temps = np.repeat(placed_c[None, None], len(PLACES), axis=1)
        self._rows = [(np.zeros(1), temps, placed_c[None], air[None])]
        self._setting = _Clock(_set_rate(placed_c))
        self._floating = _Clock(1.0 / finishing_start_h_at(placed_c), lane.floats_from_h)
        self._ripening = _Ripening(placed_c)
        self._dries = np.zeros(lane.members)

    def follow(self, begin: int, part: Faced, places: NDArray[np.float32]) -> None:
        """Let a block of steps count.

        Parameters
        ----------
        begin : int
            Its first step. [-]
        part : Faced
            What drove the face. [various]
        places : ndarray, shape (step, 4, member)
            Surface, middle, bottom and coldest at the end of each step. [°C]
        """
        lane, end = self.lane, begin + len(places)
        t_h, dt_h = lane.times_h[begin + 1 : end + 1], np.diff(lane.times_h[begin : end + 1])
        temps = places.astype(float)
        surface = temps[:, 0]
        stripped = t_h > lane.strip_at_h
        states = zip(part.covers, stripped.tolist(), t_h.tolist(), strict=True)
        share = np.array([edge_share(cover, off, t) for cover, off, t in states])[:, None]
        edge = screened_edge_c(_last(part.face).sol_air_c(surface), surface, share)
        coldest = np.minimum(temps[:, 3], edge)
        temps[:, 3] = edge
        self._set(part, surface, t_h, dt_h)
        stop = None
        if lane.ripe is not None:
            stop = lane.ripe.first(t_h, self._ripening.run(temps, dt_h))
        cut = len(t_h) if stop is None else stop + 1
        air = part.face.around.air_c[:, 1]
        self._rows.append((t_h[:cut], temps[:cut], coldest[:cut], air[:cut]))
        self.over = stop is not None or end == lane.steps

    def _set(self, part: Faced, surface_c: Array, t_h: Array, dt_h: Array) -> None:
        """Let setting and finishing count, and how fast a bare face dries before it has set."""
        if not self._floating.over:
            self._floating.run(1.0 / finishing_start_h_at(surface_c), t_h, dt_h)
        if self._setting.over:
            return
        share = self._setting.run(_set_rate(surface_c), t_h, dt_h)
        bare = np.array([not cover.covered for cover in part.covers])
        soft = bare & np.any(share < 1.0, axis=1)
        if soft.any():
            around = part.face.around
            air, wind = around.air_c[soft, 1], around.wind_ms[soft, 1]
            rh = np.clip(around.vapour_kpa[soft, 1] / saturation_kpa(air), 0.0, 1.0)
            shown = reported_kg_m2_h(surface_c[soft], air, rh, KMH_PER_MS * wind)
            most = np.where(share[soft] < 1.0, shown, 0.0).max(axis=0)
            self._dries = np.maximum(self._dries, most)

    def histories(self) -> Histories:
        """All that was kept; the ages are empty. [various]"""
        t_h, temps, coldest, air = (
            np.concatenate(parts) for parts in zip(*self._rows, strict=True)
        )
        return Histories(
            t_h, temps, _NO_AGES, _NO_AGES, coldest, air,
            self._setting.reached_h, self._floating.reached_h, self._dries,
        )  # fmt: skip


def _last(face: Face) -> Face:
    """What drives a face at the ends of the steps."""
    around = face.around
    names = ("air_c", "sky_w_m2", "sun_w_m2", "vapour_kpa", "wind_ms")
    ends = Surroundings(*(getattr(around, name)[:, 1] for name in names))
    return Face(ends, face.convection_w_m2k[:, 1], face.gain_w_m2[:, 1])
