"""Thermometer readings as arrays, thinned where a logger gave more than can tell anything new."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: More readings than this are thinned; in the first days every hour counts. [-, h]
_MANY, _EARLY_H = 400, 72.0


@dataclass(frozen=True)
class Measured:
    """Readings on one clock.

    Parameters
    ----------
    t_h : ndarray, shape (reading,)
        After the start of the histories. [h]
    value_c : ndarray, shape (reading,)
        What the thermometer said. [°C]
    in_air : ndarray of bool, shape (reading,)
        Whether it was held in the air at the slab. [-]
    depth_share : ndarray, shape (reading,)
        Depth over the slab's thickness: 0 top face, 1 underside. [-]
    """

    t_h: Array
    value_c: Array
    in_air: NDArray[np.bool_]
    depth_share: Array

    def __len__(self) -> int:
        return len(self.t_h)

    def hourly(self) -> Measured:
        """A logger's many readings as means by hour and place; after three days one mean in
        several hours is enough, so that 100 000 readings cost nothing."""
        if len(self) < _MANY:
            return self
        keys = np.round(self.t_h) * 100 + self.in_air * 50 + np.round(self.depth_share * 20)
        _, inverse, count = np.unique(keys, return_inverse=True, return_counts=True)

        def mean(values: Array) -> Array:
            return np.asarray(np.bincount(inverse, values) / count)

        hours = Measured(
            mean(self.t_h), mean(self.value_c), mean(self.in_air.astype(float)) > 0.5,
            mean(self.depth_share),
        )  # fmt: skip
        late = np.flatnonzero(hours.t_h > _EARLY_H)
        some = late[np.linspace(0, len(late) - 1, min(len(late), _MANY)).astype(int)]
        return hours.pick(np.concatenate([np.flatnonzero(hours.t_h <= _EARLY_H), some]))

    def pick(self, which: NDArray[np.int64]) -> Measured:
        """Some of the readings, by their indices."""
        return Measured(
            self.t_h[which], self.value_c[which], self.in_air[which], self.depth_share[which]
        )
