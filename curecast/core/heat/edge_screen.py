"""A quick, cautious guess at the top edge from the column, where the section is not run.

The edge sits a fixed share of the way from the driving temperature to the slab's top. The
shares come from one check case of the edge section (width 1.2 m, thickness 150 mm).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat.covers import CoverState

Array = NDArray[np.float64]

#: Share by state: (first 24 h, later).
BARE_TOP_FORM = (0.60, 0.60)
BARE_TOP_BARE_SIDE = (0.40, 0.40)
COVERED_LAPPED = (0.70, 0.55)
COVERED_FORM_ONLY = (0.55, 0.45)
COVERED_STRIPPED = (0.33, 0.25)


def edge_share(cover: CoverState, stripped: bool, t_h: float) -> float:
    """How far the edge stays on the slab's side.

    Parameters
    ----------
    cover : CoverState
        What lies over the slab. [various]
    stripped : bool
        Whether the form is off. [-]
    t_h : float
        Time after the start. [h]

    Returns
    -------
    float
        Share of the difference between driving and top temperature, 0..1. [-]
    """
    if not cover.covered:
        pair = BARE_TOP_BARE_SIDE if stripped else BARE_TOP_FORM
    elif cover.laps or cover.heat_to_c is not None:
        pair = COVERED_LAPPED
    else:
        pair = COVERED_STRIPPED if stripped else COVERED_FORM_ONLY
    return pair[0] if t_h <= 24.0 else pair[1]


def screened_edge_c(sol_air_c: Array, top_c: Array, share: float | Array) -> Array:
    """The top edge's temperature, screened.

    Parameters
    ----------
    sol_air_c : ndarray
        Driving temperature over the face. [°C]
    top_c : ndarray, same shape
        The slab's top by the column. [°C]
    share : float or ndarray
        From ``edge_share``. [-]

    Returns
    -------
    ndarray
        T_sol + share (T_top - T_sol). [°C]
    """
    return sol_air_c + share * (top_c - sol_air_c)
