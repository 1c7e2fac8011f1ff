"""What a march of edge sections leaves behind, hour by hour and place by place."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.rates import gamma
from curecast.core.heat.hydration import HeatOfHydration, heat_rate_age
from curecast.core.heat.section_points import POINTS

Array = NDArray[np.float64]

_ARRIS, _CENTRE = POINTS.index("arris"), POINTS.index("centre_top")


@dataclass(frozen=True)
class EdgeHistory:
    """What happened at the edge; ``point`` runs over ``section_points.POINTS``.

    Parameters
    ----------
    t_h : ndarray, shape (hour,)
        Whole hours after the start, the first 0. [h]
    temp_c, heat_age_h, te20_h, ttf_c_h : ndarray, shape (hour, point, member)
        Temperature, heat age, equivalent age at 20 °C, temperature-time factor over a datum of
        0 °C. [°C, h, h, °C h]
    corner_c : ndarray, shape (hour, member)
        The corner in plan, at the top. [°C]
    arris_least_c, corner_least_c : ndarray, shape (hour, member)
        Least of every step in the hour that ends here. [°C]
    heat_j_m, faces_j_m : ndarray, shape (hour, member)
        Heat of hydration, and heat let in through all faces, since the start. [J/m]
    water_kg_m2 : ndarray, shape (top face, member)
        Bleed water lost in all, from the centre line to the edge. [kg/m2]
    fields_c : dict of ndarray, shape (z, x, member)
        The whole section at the hours asked for, NaN in the air beside. [°C]
    x_m, z_m : ndarray, shape (x,) and (z,)
        Where the fields' cells lie: from the centre line, and below the top. [m]
    """

    t_h: Array
    temp_c: Array
    heat_age_h: Array
    te20_h: Array
    ttf_c_h: Array
    corner_c: Array
    arris_least_c: Array
    corner_least_c: Array
    heat_j_m: Array
    faces_j_m: Array
    water_kg_m2: Array
    fields_c: dict[float, Array] = field(repr=False)
    x_m: Array = field(repr=False)
    z_m: Array = field(repr=False)

    def at(self, point: str) -> dict[str, Array]:
        """One point's temperature and ages, each of shape (hour, member). [°C, h, h, °C h]"""
        i = POINTS.index(point)
        names = ("temp_c", "heat_age_h", "te20_h", "ttf_c_h")
        return {name: getattr(self, name)[:, i] for name in names}


def corner_c(sol_air_c: Array, edge_c: Array, centre_c: Array) -> Array:
    """The corner in plan, where two edges meet, by the product rule.

    Parameters
    ----------
    sol_air_c : ndarray
        Driving temperature over the top. [°C]
    edge_c, centre_c : ndarray, same shape
        Top edge away from the corner, and top of the slab's middle. [°C]

    Returns
    -------
    ndarray, same shape
        T_sol + (T_edge - T_sol)^2 / (T_centre - T_sol); the edge's own temperature where that
        does not lie between the other two. [°C]

    Examples
    --------
    >>> float(corner_c(np.array(0.0), np.array(6.0), np.array(12.0)))
    3.0
    """
    edge_k, centre_k = edge_c - sol_air_c, centre_c - sol_air_c
    ratio = np.divide(edge_k, centre_k, out=np.ones_like(edge_k), where=centre_k != 0.0)
    return np.asarray(sol_air_c + np.where((ratio >= 0.0) & (ratio <= 1.0), ratio, 1.0) * edge_k)


class Recorder:
    """Adds up the ages at the points, and keeps what whole hours need.

    Parameters
    ----------
    hydration : HeatOfHydration
        The mix, for the heat age. [various]
    points_c : ndarray, shape (point, member)
        Temperatures at the start. [°C]
    corner : ndarray, shape (member,)
        The corner at the start. [°C]
    """

    def __init__(self, hydration: HeatOfHydration, points_c: Array, corner: Array) -> None:
        self.hydration = hydration
        self.rates = self._rates(points_c)
        self.ages = np.zeros_like(self.rates)
        self.least = np.stack([points_c[_ARRIS], corner])
        self.rows: list[tuple[float, Array, Array, Array, Array, Array, Array]] = []

    def _rates(self, points_c: Array) -> Array:
        heat = heat_rate_age(points_c, self.hydration)
        return np.stack([heat, gamma(points_c), np.maximum(points_c, 0.0)])

    def step(self, dt_h: float, points_c: Array, corner: Array) -> None:
        """Let one step count. [h, °C]"""
        rates = self._rates(points_c)
        self.ages = self.ages + 0.5 * dt_h * (self.rates + rates)
        self.rates = rates
        self.least = np.minimum(self.least, np.stack([points_c[_ARRIS], corner]))

    def keep(self, t_h: float, points_c: Array, corner: Array, heat: Array, faces: Array) -> None:
        """Keep a whole hour, and begin its least values anew. [h, °C, J/m]"""
        self.rows.append((t_h, points_c, self.ages, corner, self.least, heat, faces))
        self.least = np.stack([points_c[_ARRIS], corner])

    def history(
        self, water_kg_m2: Array, fields_c: dict[float, Array], x_m: Array, z_m: Array
    ) -> EdgeHistory:
        """All that was kept. [various]"""
        t, temp, ages, corner, least, heat, faces = (
            np.array([row[i] for row in self.rows]) for i in range(7)
        )
        return EdgeHistory(
            t, temp, ages[:, 0], ages[:, 1], ages[:, 2], corner, least[:, 0], least[:, 1],
            heat, faces, water_kg_m2, fields_c, x_m, z_m,
        )  # fmt: skip
