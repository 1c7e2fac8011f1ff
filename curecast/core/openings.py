"""Maturity becomes dates: when each hold opens in each member, and for how many."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.setting import SAW_CUT_CLOSES_H, SAW_CUT_LEAST_H
from curecast.core.concrete.strength import BOTH_AGES_UP_TO, StrengthCurve, doubt_factor
from curecast.core.histories import BOTTOM, EDGE, MIDDLE, SURFACE, Histories
from curecast.core.holdpoints import HoldRule

Array = NDArray[np.float64]

#: "Count on it" means nine of ten members.
COUNT_ON = 0.9
_AGES_D = np.concatenate([[0.0], np.geomspace(0.02, 400.0, 600)])


def age_needed_d(curve: StrengthCurve, need_mpa: float, z: Array, factor: Array | float) -> Array:
    """Age at 20 °C at which each member reaches a strength.

    Parameters
    ----------
    curve : StrengthCurve
        The median. [MPa]
    need_mpa : float
        Strength asked for. [MPa]
    z : ndarray, shape (member,)
        Standard normal draw of each member. [-]
    factor : float or ndarray, shape (member,)
        What curing leaves of the strength. [-]

    Returns
    -------
    ndarray, shape (member,)
        Age; infinity where it is never reached. [d]
    """
    reached = curve.f28_mpa * curve.fraction(np.maximum(_AGES_D, 1e-6))[:, None]
    reached = reached * doubt_factor(
        np.asarray(z)[None, :], _AGES_D[:, None], curve.cov_late, curve.cov_early
    )
    reached = np.maximum.accumulate(reached * factor, axis=0)
    met = reached >= need_mpa
    first = np.argmax(met, axis=0)
    column = np.arange(len(z))
    before = np.maximum(first - 1, 0)
    low, high = reached[before, column], reached[first, column]
    part = np.where(high > low, (need_mpa - low) / np.maximum(high - low, 1e-12), 1.0)
    age = _AGES_D[before] + np.clip(part, 0.0, 1.0) * (_AGES_D[first] - _AGES_D[before])
    return np.where(met.any(axis=0), age, np.inf)


def first_reached_h(t_h: Array, values: Array, wanted: Array) -> Array:
    """When a rising series first reaches a value.

    Parameters
    ----------
    t_h : ndarray, shape (time,)
        Instants. [h]
    values : ndarray, shape (time, member)
        Series that never fall. [any]
    wanted : ndarray, shape (member,)
        Values to reach; NaN is never reached. [same]

    Returns
    -------
    ndarray, shape (member,)
        Time, linear between instants; infinity where it is never reached. [h]
    """
    met = values >= wanted[None, :]
    first = np.argmax(met, axis=0)
    column = np.arange(values.shape[1])
    before = np.maximum(first - 1, 0)
    low, high = values[before, column], values[first, column]
    with np.errstate(invalid="ignore"):
        part = np.where(high > low, (wanted - low) / np.maximum(high - low, 1e-12), 0.0)
    at = t_h[before] + np.clip(part, 0.0, 1.0) * (t_h[first] - t_h[before])
    return np.where(met.any(axis=0), np.where(first == 0, t_h[0], at), np.inf)


@dataclass(frozen=True)
class Strengths:
    """Everything that turns ages into strength for one pour.

    Parameters
    ----------
    curve : StrengthCurve
        Median strength. [MPa]
    z : ndarray, shape (member,)
        Draw of each member for life; 0 for the member without error. [-]
    top_factor : float or ndarray, shape (member,)
        What curing leaves of the top 50 mm and at the anchors. [-]
    anchor_at_edge : bool
        Whether an anchor counts as an edge case. [-]
    """

    curve: StrengthCurve
    z: Array
    top_factor: Array | float = 1.0
    anchor_at_edge: bool = True
    _ages: dict[tuple[float, bool], Array] = field(default_factory=dict, repr=False)

    def age_d(self, need_mpa: float, index: int) -> Array:
        """Age at 20 °C that each member needs at a place, shape (member,). [d]"""
        top = index in (SURFACE, EDGE)
        key = (need_mpa, top)
        if key not in self._ages:
            factor = self.top_factor if top else 1.0
            self._ages[key] = age_needed_d(self.curve, need_mpa, self.z, factor)
        return self._ages[key]

    def places(self, name: str) -> tuple[int, ...]:
        """Indices of the places that a hold's place names."""
        anchor = (EDGE, SURFACE) if self.anchor_at_edge else (SURFACE, MIDDLE)
        return {
            "surface": (SURFACE,),
            "edge": (EDGE,),
            "anchor": anchor,
            "coldest": (SURFACE, MIDDLE, BOTTOM, EDGE),
        }[name]

    def reached_h(self, past: Histories, need_mpa: float, place: str) -> Array:
        """When each member reaches a strength at a place, shape (member,). [h]"""
        at = np.zeros(past.te20_h.shape[2])
        for index in self.places(place):
            te_d = past.te20_h[:, index] / 24.0
            if need_mpa <= BOTH_AGES_UP_TO * self.curve.f28_mpa:
                te_d = np.minimum(te_d, age_days_at_20_from_ttf(past.ttf_c_h[:, index]))
            at = np.maximum(at, first_reached_h(past.t_h, te_d, self.age_d(need_mpa, index)))
        return at


@dataclass(frozen=True)
class Opening:
    """When a hold opens, and closes if it is a window, in each member. [h after the start]"""

    at_h: Array
    closes_h: Array | None = None


def openings(
    past: Histories, strengths: Strengths, rules: Mapping[str, HoldRule], placed_h: float
) -> dict[str, Opening]:
    """When each hold opens in each member.

    Parameters
    ----------
    past : Histories
        One pour, its columns being members. [various]
    strengths : Strengths
        How ages become strength. [various]
    rules : mapping of str to HoldRule
        The hold table. [various]
    placed_h : float
        When the last batch was placed: ages of holds count from here. [h]

    Returns
    -------
    dict of str to Opening
        In the order of the table; infinity where a hold stays shut within the history. [h]
    """
    found: dict[str, Opening] = {}
    final_set = np.where(np.isnan(past.final_set_h), np.inf, past.final_set_h) + placed_h
    for name, rule in rules.items():
        age = np.full(len(strengths.z), placed_h + rule.least_age_h)
        closes = None
        if rule.strength_mpa is None:
            at = age
        else:
            at = strengths.reached_h(past, rule.strength_mpa, rule.place)
        if name == "walk":
            cool = _mean_until(past, SURFACE, placed_h + 12.0) < 10.0
            at = np.maximum(np.maximum(at, final_set), age + np.where(cool, 12.0, 0.0))
        elif name == "strip":
            at = _strip(past, strengths, rule, at, placed_h)
        elif name == "saw-cut":
            at = final_set
            closes = np.maximum(
                np.minimum(2.0 * (final_set - placed_h), SAW_CUT_CLOSES_H) + placed_h,
                at + SAW_CUT_LEAST_H,
            )
        elif name == "end-moist-cure":
            warm = _hours_at_least(past, SURFACE, 5.0)
            at = first_reached_h(past.t_h, warm, age)
            by_strength = strengths.reached_h(past, 0.70 * strengths.curve.f28_mpa, "surface")
            at = np.minimum(at, np.maximum(by_strength, placed_h + 24.0))
        elif name == "re-check":
            at = found["full-torque"].at_h + rule.least_age_h
        else:
            at = np.maximum(at, age)
        if rule.least_te_d > 0.0:
            at = np.maximum(at, _ripe(past, strengths, rule))
        if name == "service-load":
            at = np.maximum(at, found["full-torque"].at_h)
        found[name] = Opening(at, closes)
    return found


def _mean_until(past: Histories, place: int, until_h: float) -> Array:
    """Mean temperature at a place up to a time, shape (member,)."""
    until = past.t_h <= until_h
    t, temps = past.t_h[until], past.temp_c[until, place]
    if len(t) < 2:
        return np.asarray(temps[0])
    return np.asarray(np.trapezoid(temps, t, axis=0) / (t[-1] - t[0]))


def _hours_at_least(past: Histories, place: int, least_c: float) -> Array:
    """Hours so far with a place at or above a temperature, shape (time, member)."""
    warm = past.temp_c[:, place] >= least_c
    hours = np.zeros(warm.shape)
    hours[1:] = np.cumsum(np.diff(past.t_h)[:, None] * (warm[1:] & warm[:-1]), axis=0)
    return hours


def _ripe(past: Histories, strengths: Strengths, rule: HoldRule) -> Array:
    """When every place of the hold has its least age at 20 °C, shape (member,)."""
    wanted = np.full(len(strengths.z), 24.0 * rule.least_te_d)
    times = [
        first_reached_h(past.t_h, past.te20_h[:, i], wanted) for i in strengths.places(rule.place)
    ]
    return np.max(times, axis=0)


def _strip(
    past: Histories, strengths: Strengths, rule: HoldRule, at: Array, placed_h: float
) -> Array:
    """2 MPa and 12 warm hours or a day; 5 MPa where frost follows within 48 h."""
    warm = _hours_at_least(past, EDGE, 10.0)
    counted = first_reached_h(past.t_h, warm, np.full(len(at), placed_h + 12.0))
    at = np.maximum(at, np.minimum(counted, placed_h + rule.least_age_h))
    later = (past.t_h[:, None] >= at) & (past.t_h[:, None] <= at + 48.0)
    frost = np.any(later & (past.air_c < 0.0), axis=0)
    if not frost.any():
        return at
    stronger = np.maximum(at, strengths.reached_h(past, max(5.0, rule.strength_mpa or 0.0), "edge"))
    return np.where(frost, stronger, at)


def likely_h(times_h: Array) -> float:
    """Half of the members; infinity beyond the history. [h]"""
    return float(np.quantile(times_h, 0.5, method="higher"))


def count_on_h(times_h: Array) -> float:
    """Nine of ten members; infinity beyond the history. [h]"""
    return float(np.quantile(times_h, COUNT_ON, method="higher"))


def member_draws(count: int, seed: int) -> Array:
    """Evenly spaced standard normal draws in a seeded order, one a member for life.

    Parameters
    ----------
    count : int
        Members. [-]
    seed : int
        Seed of the order. [-]

    Returns
    -------
    ndarray, shape (count,)
        Draws at the middles of equal shares, so that nine of ten is met closely. [-]
    """
    middles = (np.arange(count) + 0.5) / count
    draws = np.array([NormalDist().inv_cdf(float(p)) for p in middles])
    return np.random.default_rng(seed).permutation(draws)
