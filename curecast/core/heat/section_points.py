"""How the named places of a section are read from its cells and from the flux at its faces.

A face stands where its flux, the resistance to its cell's centre and that cell's temperature
put it; between cells the four nearest are joined by a cubic.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.section_grid import SIDE, SectionGrid, SectionShape

Array = NDArray[np.float64]

#: The named places, in the order of every array over points.
POINTS = (
    "arris",
    "side_mid",
    "top_anchor",
    "mid_anchor",
    "centre_top",
    "centre_mid",
    "centre_bottom",
)


def cubic_weights(centres_m: Array, where_m: float) -> Array:
    """Weights that read a value at one place from values at the cells' centres.

    Parameters
    ----------
    centres_m : ndarray, shape (cell,)
        Rising positions, four at least. [m]
    where_m : float
        The place; outside the centres the cubic runs on. [m]

    Returns
    -------
    ndarray, shape (cell,)
        Weights that add up to one. [-]

    Examples
    --------
    >>> cubic_weights(np.array([0.0, 1.0, 2.0, 3.0]), 1.5).tolist()
    [-0.0625, 0.5625, 0.5625, -0.0625]
    """
    near = np.sort(np.argsort(np.abs(centres_m - where_m), kind="stable")[:4])
    weights = np.zeros(len(centres_m))
    for i in near:
        others = centres_m[near[near != i]]
        weights[i] = np.prod((where_m - others) / (centres_m[i] - others))
    return weights


def point_weights(shape: SectionShape, grid: SectionGrid) -> tuple[Array, Array]:
    """What reads the named points: weights on the cells and on the inward fluxes.

    Parameters
    ----------
    shape : SectionShape
        The cross-section. [various]
    grid : SectionGrid
        Its cells. [various]

    Returns
    -------
    on_cells : ndarray, shape (point, cell)
        Weights. [-]
    on_fluxes : ndarray, shape (point, face)
        Weights on the flux into the slab at each face. [m2K/W]
    """
    (nz, nx), above = grid.slab_shape, grid.above
    cells, faces = len(grid.capacity_j_mk), len(grid.face_cell)
    cell, flux = np.eye(cells), np.zeros((faces, faces))
    flux[np.arange(faces), np.arange(faces)] = grid.face_r_m2k_w
    none = np.zeros(faces)
    slab = cell[grid.number[:nz, :nx]]  # (z, x, cell)
    top = slab[0], flux[:nx]
    # the side's own temperature, row by row: against air above grade, against soil below
    side_flux = np.zeros((nz, faces))
    side_flux[:above] = flux[grid.face_kind == SIDE]
    side = slab[:, -1].copy()
    near, far = grid.half_x_m2k_w[above:nz, nx - 1], grid.half_x_m2k_w[above:nz, nx]
    share = (near / (near + far + shape.beside_r_m2k_w))[:, None]
    side[above:] += share * (cell[grid.number[above:nz, nx]] - side[above:])
    near, far = grid.half_z_m2k_w[nz - 1, 0], grid.half_z_m2k_w[nz, 0]
    share_down = near / (near + far + shape.under_r_m2k_w)
    foot = slab[-1, 0]
    mid = cubic_weights(grid.z_m[:nz], 0.5 * shape.thickness_m)
    anchor = cubic_weights(grid.x_m[:nx], 0.5 * shape.width_m - shape.anchor_edge_m)
    at_mid = np.einsum("z,zxc->xc", mid, slab)
    read = {
        "arris": (top[0][-1] + side[0] - slab[0, -1], top[1][-1] + side_flux[0]),
        "side_mid": (mid @ side, mid @ side_flux),
        "top_anchor": (anchor @ top[0], anchor @ top[1]),
        "mid_anchor": (anchor @ at_mid, none),
        "centre_top": (top[0][0], top[1][0]),
        "centre_mid": (at_mid[0], none),
        "centre_bottom": (foot + share_down * (cell[grid.number[nz, 0]] - foot), none),
    }
    return (
        np.array([read[name][0] for name in POINTS]),
        np.array([read[name][1] for name in POINTS]),
    )
