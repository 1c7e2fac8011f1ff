"""The weeks after the first days, shared by many starts.

The first days of every start are computed in full. Weeks later the slab only follows the
weather, whatever hour it was poured at: the rest is taken from two long runs, the first and
the last start, blended by the start's place between them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.batches import Batch, run
from curecast.core.case import Case
from curecast.core.heat.forcing import SiteWeather
from curecast.core.histories import Histories
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: What is computed in full for every start; a start is judged by its first days. [h]
EARLY_H = 336.0
#: Spacing of the shared rest. [h]
_REST_STEP_H = 2.0
#: Members that must be ripe before a long run ends: more than "count on it" asks.
RIPE_SHARE = 0.92


@dataclass(frozen=True)
class Rest:
    """The shared rest: two long runs at even steps of absolute time.

    Parameters
    ----------
    anchors_h : ndarray, shape (anchor,)
        Their clocks' zeros, the middle of placing, hours since 1970-01-01T00:00 UTC. [h]
    at_h : ndarray, shape (time,)
        Instants, on the same clock. [h]
    temp_c, te20_h, ttf_c_h : ndarray, shape (anchor, time, place, member)
        As in ``Histories``. [°C, h, °C h]
    air_c : ndarray, shape (anchor, time, member)
        Air at the slab. [°C]
    """

    anchors_h: Array
    at_h: Array
    temp_c: Array
    te20_h: Array
    ttf_c_h: Array
    air_c: Array

    def first(self, members: int) -> Rest:
        """The same for the first members. [-]"""
        if members == self.te20_h.shape[-1]:
            return self
        every = (self.temp_c, self.te20_h, self.ttf_c_h, self.air_c)
        return Rest(self.anchors_h, self.at_h, *(values[..., :members] for values in every))


def shared_rest(
    case: Case,
    weather: Members,
    starts_h: Array,
    until_h: float,
    latitude: float | None,
    ripe_h: Array,
    standing: SiteWeather | None = None,
) -> Rest:
    """Run the first and the last start until no hold waits for strength, or to the horizon.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    starts_h : ndarray, shape (start,)
        All starts. [h]
    until_h : float
        Horizon after each start. [h]
    latitude : float or None
        Of the site. [deg]
    ripe_h : ndarray, shape (member,)
        Age at 20 °C at which no hold waits for strength any more. [h]
    standing : SiteWeather, optional
        The site's weather at whole hours. [various]

    Returns
    -------
    Rest
        What any start between them may borrow. [various]
    """
    anchors = np.unique([starts_h.min(), starts_h.max()])
    horizon_h = until_h + float(np.ptp(starts_h))
    least_h = EARLY_H + float(np.ptp(starts_h)) + 2.0 * _REST_STEP_H
    over_h = np.inf

    def ripe(t_h: float, age_h: Array) -> bool:
        nonlocal over_h
        aged = age_h.min(axis=0).reshape(len(anchors), -1) >= ripe_h
        if t_h > least_h and over_h == np.inf and np.all(aged.mean(axis=1) >= RIPE_SHARE):
            # the last start is as old only when the first is older by all that lies between
            over_h = t_h + float(np.ptp(starts_h)) + _REST_STEP_H
        return t_h >= over_h

    long = run(
        case,
        weather,
        Batch(anchors, case.covers),
        horizon_h,
        latitude=latitude,
        enough=ripe,
        standing=standing,
    )
    origins = anchors + case.middle_h
    at = np.arange(origins[0], origins[0] + float(long.t_h[-1]), _REST_STEP_H)
    members = weather.air_c.shape[1]

    def each(values: Array) -> Array:
        """One anchor after the other, at the shared instants."""
        return np.stack(
            [
                _at(long.t_h, values[..., i * members : (i + 1) * members], at - origin_h)
                for i, origin_h in enumerate(origins)
            ]
        )

    return Rest(
        origins, at, each(long.temp_c), each(long.te20_h), each(long.ttf_c_h), each(long.air_c)
    )


def _at(own_t_h: Array, values: Array, t_h: Array) -> Array:
    """A series at other times, linear between, shape (time, ...)."""
    high = np.clip(np.searchsorted(own_t_h, t_h), 1, len(own_t_h) - 1)
    span = own_t_h[high] - own_t_h[high - 1]
    share = np.clip((t_h - own_t_h[high - 1]) / span, 0.0, 1.0)
    share = share.reshape(share.shape + (1,) * (values.ndim - 1))
    return np.asarray((1.0 - share) * values[high - 1] + share * values[high])


def with_rest(early: Histories, rest: Rest, origin_h: float, until_h: float) -> Histories:
    """One start's first days, carried on by the shared rest.

    Parameters
    ----------
    early : Histories
        The start's own days, columns being members. [various]
    rest : Rest
        The shared rest. [various]
    origin_h : float
        Its clock's zero, hours since 1970-01-01T00:00 UTC. [h]
    until_h : float
        Horizon after the origin. [h]

    Returns
    -------
    Histories
        Ages go on from where the first days left them. [various]
    """
    t = rest.at_h - origin_h
    begin = int(np.searchsorted(t, early.t_h[-1] + 1e-6))
    end = int(np.searchsorted(t, until_h, side="right"))
    if end <= begin + 1:
        return early
    span = float(np.ptp(rest.anchors_h))
    share = float(np.clip((origin_h - rest.anchors_h[0]) / span, 0.0, 1.0)) if span else 0.0
    # From the early end to the first shared instant the first shared rate holds.
    gap = (t[begin] - early.t_h[-1]) / _REST_STEP_H

    def blended(values: Array) -> Array:
        first, last = values[0, begin:end], values[-1, begin:end]
        return np.asarray(first + share * (last - first))

    def carried(own: Array, values: Array) -> Array:
        more = blended(values)
        more += own[-1] - more[0] + gap * (more[1] - more[0])
        return np.concatenate([own, more])

    temps = blended(rest.temp_c)
    return Histories(
        t_h=np.concatenate([early.t_h, t[begin:end]]),
        temp_c=np.concatenate([early.temp_c, temps]),
        te20_h=carried(early.te20_h, rest.te20_h),
        ttf_c_h=carried(early.ttf_c_h, rest.ttf_c_h),
        coldest_c=np.concatenate([early.coldest_c, temps.min(axis=1)]),
        air_c=np.concatenate([early.air_c, blended(rest.air_c)]),
        final_set_h=early.final_set_h,
        finishing_h=early.finishing_h,
        evaporation_kg_m2_h=early.evaporation_kg_m2_h,
    )
