"""Ages become strength, member by member: when a place of one pour reaches what a hold asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.allowances import HOT_FROM_C, hot_placing_factor, moist_curing_factor
from curecast.core.concrete.strength import BOTH_AGES_UP_TO, StrengthCurve, doubt_factor
from curecast.core.histories import ANCHOR, BOTTOM, EDGE, MIDDLE, SURFACE, Histories
from curecast.core.holdpoints import HoldRule
from curecast.core.reached import age_h, first_reached_h, warm_hours

Array = NDArray[np.float64]

#: A moist cure this long is kept until the hold `end-moist-cure` ends it. [h]
FULL_CURE_H = 168.0
#: Hours with a colder face do not count as moist cure. [°C]
CURING_FROM_C = 5.0
_DAY_H = 24.0
_AGES_D = np.concatenate([[0.0], np.geomspace(0.02, 400.0, 600)])


def _strength_table(curve: StrengthCurve, z: Array) -> Array:
    """Strength of each member over ``_AGES_D``, never falling, shape (age, member)."""
    median = curve.f28_mpa * curve.fraction(np.maximum(_AGES_D, 1e-6))[:, None]
    doubt = doubt_factor(np.asarray(z)[None, :], _AGES_D[:, None], curve.cov_late, curve.cov_early)
    return np.maximum.accumulate(median * doubt, axis=0)


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
        What heat and curing leave of the strength, above 0. [-]

    Returns
    -------
    ndarray, shape (member,)
        Age; infinity where it is never reached. [d]
    """
    wanted = np.broadcast_to(np.asarray(need_mpa / np.asarray(factor, dtype=float)), np.shape(z))
    return first_reached_h(_AGES_D, _strength_table(curve, z), wanted)


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
        What else is known to be left of the top 50 mm and of the anchors' concrete. [-]
    anchor_at_edge : bool
        Whether an anchor counts as an edge case. [-]
    moist_cure_h : float
        How long the face is kept damp; 7 days or more: until `end-moist-cure` opens. [h]
    has_section : bool
        Whether the histories hold the anchors as a place of their own. [-]
    """

    curve: StrengthCurve
    z: Array
    top_factor: Array | float = 1.0
    anchor_at_edge: bool = True
    moist_cure_h: float = np.inf
    has_section: bool = False
    _ages: dict[float, Array] = field(default_factory=dict, repr=False)

    def factor(self, past: Histories, place: int, *, anchor: bool = False) -> Array:
        """What heat and curing leave of the strength at a place.

        Parameters
        ----------
        past : Histories
            One pour, its columns being members. [various]
        place : int
            Index into ``PLACES``. [-]
        anchor : bool
            Whether the place stands for the anchors' concrete. [-]

        Returns
        -------
        ndarray, shape (member,)
            1 % less for each degree of the first day's mean at mid-depth over 30 °C, where
            the concrete was placed hotter than that; for the top, the edge and the anchors
            what a moist cure of less than 7 days leaves, its hours counted while the face
            is at 5 °C or more. Hours after the history's end count as warm. [-]
        """
        left = _hot(past)
        if place not in (SURFACE, EDGE, ANCHOR) and not anchor:
            return left
        left = left * self.top_factor
        if self.moist_cure_h >= FULL_CURE_H:
            return np.asarray(left)
        damp = _damp_hours(past, self.moist_cure_h)
        return np.asarray(left * moist_curing_factor(damp / 24.0))

    def needed_d(self, need_mpa: float, factor: Array) -> Array:
        """Age at 20 °C that each member needs, shape (member,). [d]"""
        if np.any(factor != 1.0):
            return age_needed_d(self.curve, need_mpa, self.z, factor)
        if need_mpa not in self._ages:
            self._ages[need_mpa] = age_needed_d(self.curve, need_mpa, self.z, 1.0)
        return self._ages[need_mpa]

    def places(self, name: str) -> tuple[int, ...]:
        """Indices of the places that a hold's place names."""
        if self.has_section:
            anchor: tuple[int, ...] = (ANCHOR,)
        else:
            anchor = (EDGE, SURFACE) if self.anchor_at_edge else (SURFACE, MIDDLE)
        return {
            "surface": (SURFACE,),
            "edge": (EDGE,),
            "anchor": anchor,
            "coldest": (SURFACE, MIDDLE, BOTTOM, EDGE),
        }[name]

    def reached_h(
        self, past: Histories, need_mpa: float, place: str, *, both_ages: bool = False
    ) -> Array:
        """When each member reaches a strength at a place.

        Parameters
        ----------
        past : Histories
            One pour, its columns being members. [various]
        need_mpa : float
            Strength asked for. [MPa]
        place : str
            As in ``HoldRule``: every place that it names must reach it. [-]
        both_ages : bool
            Whether the smaller age decides above 0.55 f28 too. [-]

        Returns
        -------
        ndarray, shape (member,)
            Time on the history's clock; infinity where it is never reached. [h]
        """
        half_mpa = BOTH_AGES_UP_TO * self.curve.f28_mpa
        both = both_ages or need_mpa <= half_mpa
        at = np.zeros(past.te20_h.shape[2])
        for index in self.places(place):
            factor = self.factor(past, index, anchor=place == "anchor")
            needed_h = 24.0 * self.needed_d(need_mpa, factor)
            at = np.maximum(at, first_reached_h(past.t_h, age_h(past, index, both), needed_h))
            if not both:  # a greater need never opens before a smaller one
                half_h = 24.0 * self.needed_d(half_mpa, factor)
                at = np.maximum(at, first_reached_h(past.t_h, age_h(past, index, True), half_h))
        return at


def _hot(past: Histories) -> Array:
    """What placing above 30 °C leaves, by the first day's mean at mid-depth, (member,)."""
    placed = past.temp_c[0, MIDDLE]
    if not np.any(placed > HOT_FROM_C):
        return np.ones(len(placed))
    mean = past.mean_c(MIDDLE, 0.0, _DAY_H)
    return np.where(placed > HOT_FROM_C, hot_placing_factor(mean), 1.0)


def _damp_hours(past: Histories, cure_h: float) -> Array:
    """Hours of moist cure with a warm face; those after the history's end count, (member,)."""
    warm = warm_hours(past, SURFACE, CURING_FROM_C)
    ends_h = min(cure_h, float(past.t_h[-1]))
    high = int(np.searchsorted(past.t_h, ends_h))
    low = max(high - 1, 0)
    span = past.t_h[high] - past.t_h[low]
    part = (ends_h - past.t_h[low]) / span if span > 0.0 else 0.0
    return np.asarray(warm[low] + part * (warm[high] - warm[low]) + cure_h - ends_h)


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


def ripe_age_h(strengths: Strengths, rules: Mapping[str, HoldRule]) -> Array:
    """Age at which the last hold waits for no more strength.

    Parameters
    ----------
    strengths : Strengths
        How ages become strength. [various]
    rules : mapping of str to HoldRule
        The hold table. [various]

    Returns
    -------
    ndarray, shape (member,)
        Equivalent age at 20 °C, 28 to 200 days. [h]
    """
    needs = [r.strength_mpa for r in rules.values() if r.strength_mpa is not None]
    age_d = strengths.needed_d(max(needs), np.ones(len(strengths.z)))
    ripe_d = max(r.least_te_d for r in rules.values())
    return np.asarray(24.0 * np.maximum(np.minimum(age_d, 200.0), max(ripe_d, 28.0)))
