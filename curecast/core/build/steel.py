"""Reinforcing steel of a slab: mesh, bars, and the chairs under them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from curecast.core.build.bags import whole_up
from curecast.core.build.materials import check_sides, pieces_to_cover

#: One sheet of mesh, 5 by 10 ft, and its lap: one square and 2 in (ASSUMED). [m]
MESH_M, MESH_LAP_M = (1.524, 3.048), 0.20
#: Steel from the form (2 in, common practice), and bars' spacing and size (ASSUMED). [m]
STEEL_COVER_M, BAR_SPACING_M, BAR_M = 0.05, 0.30, 0.012
#: Laps of 40 diameters (common practice), and stock length of bars, 20 ft. [-, m]
BAR_LAP, BAR_STOCK_M = 40.0, 6.096
#: Chairs under steel (ASSUMED). [m]
CHAIR_SPACING_M = 1.0
_STEEL_KG_M3 = 7850.0


@dataclass(frozen=True)
class Bars:
    """Reinforcing bars, both ways.

    Parameters
    ----------
    along, across : int
        Bars that run along the length, and across it. [-]
    total_m, mass_kg : float
        With laps. [m, kg]
    stock : int
        Bars of stock length to buy. [-]
    """

    along: int
    across: int
    total_m: float
    mass_kg: float
    stock: int


def mesh_sheets(length_m: float, width_m: float) -> int:
    """Sheets of welded mesh, 50 mm inside the form.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form. [m]

    Returns
    -------
    int
        Sheets of 1.5 by 3 m (5 by 10 ft). [-]
    """
    inside = (length_m - 2.0 * STEEL_COVER_M, width_m - 2.0 * STEEL_COVER_M)
    return pieces_to_cover(*inside, MESH_M, MESH_LAP_M)


def bars(
    length_m: float, width_m: float, spacing_m: float = BAR_SPACING_M, bar_m: float = BAR_M
) -> Bars:
    """Bars both ways, 50 mm inside the form.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form. [m]
    spacing_m, bar_m : float
        Centre to centre at most, and diameter; above 0. [m]

    Returns
    -------
    Bars
        What to buy; a bar longer than 6.1 m (20 ft) is lapped by 40 diameters. [various]

    Examples
    --------
    >>> bars(3.1, 2.5).along, bars(3.1, 2.5).across
    (9, 11)
    """
    inside = (length_m - 2.0 * STEEL_COVER_M, width_m - 2.0 * STEEL_COVER_M)
    check_sides(*inside, spacing_m, bar_m)
    along, across = (whole_up(side / spacing_m) + 1 for side in reversed(inside))
    lap = BAR_LAP * bar_m
    total, stock = 0.0, 0
    for count, run in ((along, inside[0]), (across, inside[1])):
        joints = max(0, whole_up((run - lap) / (BAR_STOCK_M - lap)) - 1)
        whole = run + joints * lap
        total += count * whole
        a_stock = max(1, math.floor(BAR_STOCK_M / whole * (1.0 + 1e-9)))
        stock += math.ceil(count / a_stock) if joints == 0 else count * (joints + 1)
    area = math.pi / 4.0 * bar_m**2
    return Bars(along, across, total, total * area * _STEEL_KG_M3, stock)


def chairs(length_m: float, width_m: float) -> int:
    """Chairs that hold steel off the ground.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form. [m]

    Returns
    -------
    int
        One a metre both ways (ASSUMED). [-]
    """
    check_sides(length_m, width_m)
    along, across = (whole_up(side / CHAIR_SPACING_M) for side in (length_m, width_m))
    return (along + 1) * (across + 1)
