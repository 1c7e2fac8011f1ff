"""Maturity becomes dates: when each hold opens in each member, and for how many."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.setting import saw_cut_window_h
from curecast.core.histories import EDGE, SURFACE, Histories
from curecast.core.holdpoints import HoldRule
from curecast.core.reached import age_h, first_reached_h, warm_hours
from curecast.core.strengths import CURING_FROM_C, Strengths, age_needed_d, member_draws

__all__ = [
    "COUNT_ON",
    "Opening",
    "Strengths",
    "age_needed_d",
    "count_on_h",
    "first_reached_h",
    "likely_h",
    "member_draws",
    "openings",
]

Array = NDArray[np.float64]

#: "Count on it" means nine of ten members.
COUNT_ON = 0.9
#: Below this mean, and above this temperature, ages of holds change (see the table). [°C]
_COOL_C = 10.0
#: Hours from the last batch over which that mean is taken (ASSUMED). [h]
_COOL_OVER_H = 12.0
#: The form stays for this strength where frost comes so soon after (EN 13670). [MPa, h]
_FROST_STRIP_MPA, _FROST_WITHIN_H = 5.0, 48.0
#: Share of f28 that ends moist curing (ACI 308R, from memory).
_CURED_SHARE = 0.70


@dataclass(frozen=True)
class Opening:
    """When a hold opens, and closes if it is a window.

    Parameters
    ----------
    at_h : ndarray, shape (member,)
        After the history's start; infinity where it stays shut. [h]
    closes_h : ndarray or None, shape (member,)
        End of a window. [h]
    """

    at_h: Array
    closes_h: Array | None = None


@dataclass(frozen=True)
class _Pour:
    """One pour under judgement; ages of holds count from ``placed_h``."""

    past: Histories
    strengths: Strengths
    rules: Mapping[str, HoldRule]
    placed_h: float

    def never_before(self, age_h: float) -> Array:
        return np.full(len(self.strengths.z), self.placed_h + age_h)

    def strong(self, rule: HoldRule) -> Array:
        """When the rule's own strength is there; at once where it asks none."""
        if rule.strength_mpa is None:
            return self.never_before(0.0)
        return self.strengths.reached_h(
            self.past, rule.strength_mpa, rule.place, both_ages=rule.both_ages
        )

    def old_enough(self, rule: HoldRule) -> Array:
        """When the rule's least age has passed."""
        at = self.never_before(rule.least_age_h)
        if rule.warm_age_h is not None:
            at = np.minimum(at, self.warm_for(rule.warm_age_h, EDGE, _COOL_C))
        if rule.cool_age_h is not None:
            until_h = self.placed_h + _COOL_OVER_H
            cool = self.past.mean_c(SURFACE, self.placed_h, until_h) < _COOL_C
            at = np.where(cool, np.maximum(at, self.placed_h + rule.cool_age_h), at)
        return at

    def ripe(self, rule: HoldRule) -> Array:
        """When every place of the hold has its least age at 20 °C, by both ages."""
        wanted = np.full(len(self.strengths.z), rule.least_te_d)
        times = [
            first_reached_h(self.past.t_h, age_h(self.past, place, True), 24.0 * wanted)
            for place in self.strengths.places(rule.place)
        ]
        return np.asarray(np.max(times, axis=0))

    def warm_for(self, hours: float, place: int, least_c: float) -> Array:
        """When a place has been warm for so many hours since the last batch."""
        past = self.past
        soon = int(np.searchsorted(past.t_h, self.placed_h + 2.0 * hours))
        at = np.full(len(self.strengths.z), np.inf)
        for some in (past.until(soon), past) if soon < len(past.t_h) else (past,):
            warm = warm_hours(some, place, least_c, self.placed_h)
            at = first_reached_h(some.t_h, warm, np.full(len(at), hours))
            if np.all(np.isfinite(at)):
                break
        return at

    def final_set(self) -> Array:
        """Final set of what was placed last; infinity where it does not set."""
        set_h = self.past.final_set_h
        return np.where(np.isnan(set_h), np.inf, set_h) + self.placed_h


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
    pour = _Pour(past, strengths, rules, placed_h)
    found: dict[str, Opening] = {}
    for name, rule in rules.items():
        at = np.maximum(pour.strong(rule), pour.old_enough(rule))
        if rule.least_te_d > 0.0:
            at = np.maximum(at, pour.ripe(rule))
        own = _OWN_RULES.get(name)
        found[name] = Opening(at) if own is None else own(pour, rule, at, found)
    return found


_Found = Mapping[str, Opening]


def _walk(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    return Opening(np.maximum(at, pour.final_set()))


def _strip(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    """More strength where frost follows within two days."""
    later = (pour.past.t_h[:, None] >= at) & (pour.past.t_h[:, None] <= at + _FROST_WITHIN_H)
    frost = np.any(later & (pour.past.air_c < 0.0), axis=0)
    if not frost.any():
        return Opening(at)
    need = max(_FROST_STRIP_MPA, rule.strength_mpa or 0.0)
    stronger = pour.strengths.reached_h(pour.past, need, rule.place)
    return Opening(np.where(frost, np.maximum(at, stronger), at))


def _saw_cut(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    opens, closes = saw_cut_window_h(pour.final_set() - pour.placed_h)
    at = np.maximum(at, opens + pour.placed_h)
    return Opening(at, np.maximum(closes + pour.placed_h, at))


def _end_moist_cure(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    """Either so many warm hours, or the strength."""
    share_mpa = _CURED_SHARE * pour.strengths.curve.f28_mpa
    need = share_mpa if rule.strength_mpa is None else rule.strength_mpa
    strong = pour.strengths.reached_h(pour.past, need, rule.place)
    warm = pour.warm_for(rule.least_age_h, SURFACE, CURING_FROM_C)
    return Opening(np.maximum(pour.old_enough(rule), np.minimum(strong, warm)))


def _re_check(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    """So long after full torque."""
    torque = found["full-torque"].at_h
    return Opening(np.maximum(pour.strong(rule), torque + rule.least_age_h))


def _service_load(pour: _Pour, rule: HoldRule, at: Array, found: _Found) -> Opening:
    """A day after its own strength and age: the anchors' torque is checked again by then."""
    torqued = np.maximum(pour.strong(rule), pour.old_enough(rule))
    checked = torqued + pour.rules["re-check"].least_age_h
    return Opening(np.maximum(np.maximum(at, checked), found["re-check"].at_h))


_OWN_RULES: dict[str, Callable[[_Pour, HoldRule, Array, _Found], Opening]] = {
    "walk": _walk,
    "strip": _strip,
    "saw-cut": _saw_cut,
    "end-moist-cure": _end_moist_cure,
    "re-check": _re_check,
    "service-load": _service_load,
}


def likely_h(times_h: Array) -> float:
    """Half of the members.

    Parameters
    ----------
    times_h : ndarray, shape (member,)
        When a hold opens in each. [h]

    Returns
    -------
    float
        Time by which half of them are open; infinity beyond the history. [h]
    """
    return float(np.quantile(times_h, 0.5, method="higher"))


def count_on_h(times_h: Array) -> float:
    """Nine of ten members.

    Parameters
    ----------
    times_h : ndarray, shape (member,)
        When a hold opens in each. [h]

    Returns
    -------
    float
        Time by which nine of ten are open; infinity beyond the history. [h]
    """
    return float(np.quantile(times_h, COUNT_ON, method="higher"))
