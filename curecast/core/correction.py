"""Readings correct the ensemble: the site is learned first, then what is left in time.

Two steps. (1) An ensemble smoother (Evensen, "Data Assimilation", ch. 9, from memory) over
what belongs to the site and the mix: offset and swing of its air, how much of sky and sun is
shaded off, and the heat of the mix.
Each member meets the readings with its own draw of the thermometer's error; the members'
spread tells how much of the misfit belongs to each number. (2) The slab is run again with
the learned numbers, and what still differs is interpolated in time (optimal interpolation
with the members' own spread, e-folding 24 h): near a reading the history follows it, days
away only what was learned stays.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.histories import BOTTOM, MIDDLE, SURFACE, Histories, aged
from curecast.core.measured import Measured

Array = NDArray[np.float64]

#: Doubt before any reading (ASSUMED): offset [K], swing, heat of the mix, sky, sun [-].
PRIOR_SD = (1.5, 0.2, 0.1, 0.3, 0.4)
#: A thermometer and where it was held: on or in the slab, in the air (ASSUMED). [K]
SLAB_ERROR_K, AIR_ERROR_K = 0.8, 1.0
#: What is left after learning: least spread, and how long a misfit lasts (ASSUMED). [K, h]
_LEFT_K, _LEFT_H = 1.0, 24.0
#: Share of a misfit of the air that the slab follows (ASSUMED).
_AIR_TO_SLAB = 0.6
#: Bounds of what is learned, in the order of ``Site``. [K, -, -, -, -]
_BOUNDS = np.array([[-np.inf, 0.0, 0.5, 0.0, 0.0], [np.inf, 1.6, 1.6, 1.0, 1.0]])


@dataclass(frozen=True)
class Site:
    """What each member believes of site and mix; the first holds the mean of the others.

    Parameters
    ----------
    offset_k : ndarray, shape (member,)
        What the site's air is warmer by than the forecast's. [K]
    swing : ndarray, shape (member,)
        Factor on the daily swing. [-]
    heat : ndarray, shape (member,)
        Factor on the mix's heat of hydration. [-]
    sky, sun : ndarray, shape (member,)
        What walls and trees leave of the sky and the sun that the exposure gives, 0..1. [-]
    """

    offset_k: Array
    swing: Array
    heat: Array
    sky: Array
    sun: Array


def prior_site(count: int, seed: int, offset_k: float, swing: float) -> Site:
    """Site and mix before any reading.

    Parameters
    ----------
    count : int
        Members besides the one without doubt. [-]
    seed : int
        Seed. [-]
    offset_k, swing : float
        The job's own. [K, -]

    Returns
    -------
    Site
        Draws about the job's numbers; the first is the job's own. [K, -]
    """
    draws = np.random.default_rng([seed, 2]).standard_normal((len(PRIOR_SD), count))
    doubts = np.hstack([np.zeros((len(PRIOR_SD), 1)), np.array(PRIOR_SD)[:, None] * draws])
    middle = np.array([offset_k, swing, 1.0, 1.0, 1.0])[:, None]
    return Site(*np.clip(middle + doubts, *_BOUNDS[:, :, None]))


def undoubted_site(count: int, offset_k: float, swing: float) -> Site:
    """Site and mix as the job gives them, the same in every member.

    Parameters
    ----------
    count : int
        Members besides the first. [-]
    offset_k, swing : float
        The job's own. [K, -]

    Returns
    -------
    Site
        Nothing shaded off. [K, -]
    """
    one = np.ones(1 + count)
    return Site(offset_k * one, swing * one, one, one, one)


def modelled_c(past: Histories, measured: Measured) -> Array:
    """What each member would have read.

    Parameters
    ----------
    past : Histories
        One slab, columns being members. [various]
    measured : Measured
        The readings. [°C]

    Returns
    -------
    ndarray, shape (reading, member)
        Temperature at the reading's time and place. [°C]
    """
    high = np.clip(np.searchsorted(past.t_h, measured.t_h), 1, len(past.t_h) - 1)
    span = past.t_h[high] - past.t_h[high - 1]
    share = np.clip((measured.t_h - past.t_h[high - 1]) / span, 0.0, 1.0)[:, None]

    def at(series: Array) -> Array:
        return np.asarray((1.0 - share) * series[high - 1] + share * series[high])

    top, middle, foot = (at(past.temp_c[:, i]) for i in (SURFACE, MIDDLE, BOTTOM))
    d = measured.depth_share[:, None]
    upper = top + 2.0 * d * (middle - top)
    lower = middle + (2.0 * d - 1.0) * (foot - middle)
    inside = np.where(d <= 0.5, upper, lower)
    return np.where(measured.in_air[:, None], at(past.air_c), inside)


def _error_k(measured: Measured) -> Array:
    return np.asarray(np.where(measured.in_air, AIR_ERROR_K, SLAB_ERROR_K), dtype=float)


def learned(site: Site, past: Histories, measured: Measured, seed: int) -> Site:
    """Site and mix as the readings suggest them.

    Parameters
    ----------
    site : Site
        Before. [K, -, -]
    past : Histories
        The slab run with it. [various]
    measured : Measured
        At least one reading. [°C]
    seed : int
        Seed of the thermometers' draws. [-]

    Returns
    -------
    Site
        After; member 0 is their mean. [K, -, -]
    """
    model = modelled_c(past, measured)[:, 1:]
    # Neighbours in time share their error: many readings a day are not many opinions.
    error = (_error_k(measured) * np.sqrt(_crowding(measured.t_h)))[:, None]
    state = np.stack([getattr(site, f.name)[1:] for f in fields(Site)])
    noise = np.random.default_rng([seed, 3]).standard_normal(model.shape) * error
    misfit = (measured.value_c[:, None] + noise - model) / error
    d_state = state - state.mean(axis=1, keepdims=True)
    d_model = (model - model.mean(axis=1, keepdims=True)) / error
    # The Kalman gain in the space of the members, however many readings there are.
    inner = d_model.T @ d_model + (model.shape[1] - 1) * np.eye(model.shape[1])
    new = state + d_state @ np.linalg.solve(inner, d_model.T @ misfit)
    return Site(*(_with_mean(row) for row in np.clip(new, *_BOUNDS[:, :, None])))


def _with_mean(values: Array) -> Array:
    return np.asarray(np.concatenate([[values.mean()], values]))


def _crowding(t_h: Array) -> Array:
    """How many readings share three hours with each, itself included."""
    ordered = np.sort(t_h)
    near = np.searchsorted(ordered, t_h + 1.5, "right") - np.searchsorted(ordered, t_h - 1.5)
    return np.asarray(np.maximum(near, 1), dtype=float)


def followed(past: Histories, measured: Measured, seed: int) -> Histories:
    """The histories drawn to the readings in time, ages and all.

    Parameters
    ----------
    past : Histories
        The slab run with what was learned. [various]
    measured : Measured
        At least one reading. [°C]
    seed : int
        Seed of the thermometers' draws. [-]

    Returns
    -------
    Histories
        Corrected temperatures, ages summed anew. [various]
    """
    model = modelled_c(past, measured)
    error = _error_k(measured)
    noise = np.random.default_rng([seed, 4]).standard_normal(model.shape) * error[:, None]
    noise[:, 0] = 0.0
    scale = np.where(measured.in_air, _AIR_TO_SLAB, 1.0)
    misfit = scale[:, None] * (measured.value_c[:, None] + noise - model)
    spread = np.maximum(past.temp_c[:, :, 1:].std(axis=2).max(axis=1), _LEFT_K)
    at = np.interp(measured.t_h, past.t_h, spread)
    apart = np.abs(measured.t_h[:, None] - measured.t_h[None, :])
    known = at[:, None] * at[None, :] * np.exp(-apart / _LEFT_H) + np.diag((scale * error) ** 2)
    away = np.abs(past.t_h[:, None] - measured.t_h[None, :])
    reach = spread[:, None] * at[None, :] * np.exp(-away / _LEFT_H)
    shift = reach @ np.linalg.solve(known, misfit)
    temps = past.temp_c + shift[:, None, :]
    temps[0] = past.temp_c[0]
    return aged(replace(past, temp_c=temps, coldest_c=past.coldest_c + shift))
