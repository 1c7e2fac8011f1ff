"""One poured slab, run through what is known of its weather and drawn to its readings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.abreast.drive import Marching, alone
from curecast.core.abreast.lane import Ripe
from curecast.core.case import Case
from curecast.core.correction import (
    Site,
    followed,
    learned,
    modelled_c,
    prior_site,
    undoubted_site,
)
from curecast.core.histories import Histories, aged
from curecast.core.measured import Measured
from curecast.core.pours import Pour, PouredSlab, believed
from curecast.core.weather.ensemble import Members

__all__ = ["Pour", "Tracked", "believed", "track", "tracking"]

Array = NDArray[np.float64]

#: Members that must be ripe before a run ends: more than "count on it" asks.
_RIPE_SHARE = 0.92
#: The anchors' concrete, followed in the section, may lag behind the column (ASSUMED). [-]
_LAG = 1.1
#: How far a run goes beyond now at least. [h]
_AHEAD_H = 240.0


@dataclass(frozen=True)
class Tracked:
    """A slab's history and future, and what the readings taught.

    Parameters
    ----------
    past : Histories
        Corrected, and carried on. [various]
    site : Site
        What each member believes of site and mix. [K, -, -]
    misfit_k : ndarray, shape (reading,)
        Reading minus the mean of the uncorrected model. [K]
    left_k : ndarray, shape (reading,)
        Reading minus the mean of the model that has learned from all of them. [K]
    """

    past: Histories
    site: Site
    misfit_k: Array
    left_k: Array


def tracking(
    case: Case,
    weather: Members,
    pour: Pour,
    measured: Measured,
    until_h: float,
    *,
    ripe_h: Array,
    now_h: float,
    latitude: float | None,
    seed: int,
) -> Marching[Tracked]:
    """Run a poured slab, learn from its readings, and run it on.

    A computation that asks for its marches, see ``abreast.drive``.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        From before the pour to beyond the horizon. [various]
    pour : Pour
        The placement. [various]
    measured : Measured
        Readings up to now, on the clock of the middle of placing. [°C]
    until_h : float
        Horizon on that clock. [h]
    ripe_h : ndarray, shape (member,)
        Age at 20 °C, by the smaller of the two, at which no hold waits for strength any
        more. [h]
    now_h : float
        Now on that clock: the run goes on beyond it. [h]
    latitude : float or None
        Of the site. [deg]
    seed : int
        Seed. [-]

    Returns
    -------
    Tracked
        Corrected history, carried on until 92 of 100 members are ripe, or to the horizon.
        [various]
    """
    count = weather.air_c.shape[1] - 1
    slab = PouredSlab(case, weather, pour, latitude)
    offset_k, swing = (float(np.mean(v)) for v in (case.exposure.air_offset_k, case.exposure.swing))
    ripe = Ripe(_LAG * ripe_h, _RIPE_SHARE, max(now_h, 0.0) + _AHEAD_H)
    if not len(measured):
        site = undoubted_site(count, offset_k, swing)
        alone_c = yield from slab.at_edge(site, until_h, ripe)
        return Tracked(aged(alone_c), site, np.zeros(0), np.zeros(0))
    site = prior_site(count, seed, offset_k, swing)
    used = measured.hourly()
    before: Histories = yield slab.lane(site, float(used.t_h.max()) + 1.0)
    misfit = _misfit_k(before, measured)
    site = learned(site, before, used, seed)
    after = yield from slab.at_edge(site, until_h, ripe)
    return Tracked(followed(after, used, seed), site, misfit, _misfit_k(after, measured))


def track(
    case: Case,
    weather: Members,
    pour: Pour,
    measured: Measured,
    until_h: float,
    *,
    ripe_h: Array,
    now_h: float,
    latitude: float | None,
    seed: int,
) -> Tracked:
    """One slab by itself: ``tracking``, driven to its answer.

    Parameters
    ----------
    case : Case
        As in ``tracking``, like all that follows. [various]
    weather : Members
        Hourly members. [various]
    pour : Pour
        The placement. [various]
    measured : Measured
        Readings up to now. [°C]
    until_h : float
        Horizon. [h]
    ripe_h : ndarray, shape (member,)
        Age at which no hold waits for strength any more. [h]
    now_h : float
        Now. [h]
    latitude : float or None
        Of the site. [deg]
    seed : int
        Seed. [-]

    Returns
    -------
    Tracked
        See ``tracking``. [various]
    """
    return alone(
        tracking(
            case, weather, pour, measured, until_h,
            ripe_h=ripe_h, now_h=now_h, latitude=latitude, seed=seed,
        )
    )  # fmt: skip


def _misfit_k(past: Histories, measured: Measured) -> Array:
    """Readings minus the mean of the members."""
    mean = replace(past, **{name: _mean(getattr(past, name)) for name in ("temp_c", "air_c")})
    return np.asarray(measured.value_c - modelled_c(mean, measured)[:, 0])


def _mean(values: Array) -> Array:
    """Mean of all members but the first, as one column."""
    return np.asarray(values[..., 1:].mean(axis=-1, keepdims=True))
