"""One step of the implicit scheme, both its stages, inverted once for each length of step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.layers import Layers

Array = NDArray[np.float64]

#: Stage length of the implicit scheme as a share of the step: 1 - 1/sqrt(2).
STAGE = float(1.0 - 1.0 / np.sqrt(2.0))


@dataclass(frozen=True)
class StageSolver:
    """One stage of one step length, solved once for any right-hand side.

    A stage's temperatures are ``carry @ known + from_flux x flux + from_deep x deep``.

    Parameters
    ----------
    carry_and_flux : ndarray, shape (cell, cell + 1)
        ``carry``, and ``from_flux`` as the last column. [-, K m2/W]
    top_row : ndarray, shape (cell,)
        The top cell's row of ``carry``. [-]
    top_from_flux : float
        What a flux through the face does to the top cell. [K m2/W]
    from_deep : ndarray, shape (cell,)
        What the foot of the soil does to each cell. [-]
    """

    carry_and_flux: Array
    top_row: Array
    top_from_flux: float
    from_deep: Array


def stage_solver(grid: Layers, dt_s: float) -> StageSolver:
    """Invert the implicit stage of one step length.

    Parameters
    ----------
    grid : Layers
        The cells. [various]
    dt_s : float
        Length of the step, not negative. [s]

    Returns
    -------
    StageSolver
        Dense inverse of the tridiagonal matrix, without the top face. [various]
    """
    step = STAGE * dt_s
    matrix = np.diag(grid.capacity_j_m2k)
    i = np.arange(len(grid.between_w_m2k))
    for a, b in ((i, i + 1), (i + 1, i)):
        matrix[a, a] += step * grid.between_w_m2k
        matrix[a, b] -= step * grid.between_w_m2k
    matrix[-1, -1] += step * grid.deep_w_m2k
    inverse = np.linalg.inv(matrix)
    carry = inverse * grid.capacity_j_m2k[None, :]
    flux = step * inverse[:, :1]
    return StageSolver(
        carry_and_flux=np.hstack([carry, flux]),
        top_row=carry[0].copy(),
        top_from_flux=float(flux[0, 0]),
        from_deep=np.asarray(step * grid.deep_w_m2k * inverse[:, -1]),
    )


@dataclass(frozen=True)
class StepSolver:
    """One step of one length, solved once for any state, heat and flux.

    What goes in stands in one array, row under row: the cells' temperatures, the rise that the
    step's heat gives each concrete cell, the foot of the soil, and the flux through the face at
    the early and at the late stage.

    Parameters
    ----------
    whole : ndarray, shape (cell, row)
        Gives the cells at the step's end. [-, K m2/W]
    reads : ndarray, shape (3, row - 2)
        The top cell at the early and the late stage, and the lowest cell at the early one, all
        before any flux. [-]
    top_from_flux : float
        What a stage's flux does to the top cell at that stage. [K m2/W]
    late_from_early : float
        What the early flux does to the top cell at the late stage. [K m2/W]
    foot_from_flux : float
        What the early flux does to the lowest cell at the early stage. [K m2/W]
    """

    whole: Array
    reads: Array
    top_from_flux: float
    late_from_early: float
    foot_from_flux: float


def step_solver(grid: Layers, dt_s: float) -> StepSolver:
    """Join both stages of one step length.

    Parameters
    ----------
    grid : Layers
        The cells. [various]
    dt_s : float
        Length of the step, not negative. [s]

    Returns
    -------
    StepSolver
        Dense matrices, without the top face. [various]
    """
    one = stage_solver(grid, dt_s)
    carry, flux = one.carry_and_flux[:, :-1], one.carry_and_flux[:, -1:]
    deep = one.from_deep[:, None]
    # The late stage starts from (1 - on) x the state + on x the early stage.
    on, n = (1.0 - STAGE) / STAGE, grid.slab
    early = np.hstack([carry, STAGE * carry[:, :n], deep])
    late = on * (carry @ early)
    late[:, : len(carry)] += (1.0 - on) * carry
    late[:, len(carry) : -1] += STAGE * carry[:, :n]
    late[:, -1:] += deep
    early_flux = on * (carry @ flux)
    return StepSolver(
        whole=np.hstack([late, early_flux, flux]),
        reads=np.stack([early[0], late[0], early[-1]]),
        top_from_flux=float(flux[0, 0]),
        late_from_early=float(early_flux[0, 0]),
        foot_from_flux=float(flux[-1, 0]),
    )
