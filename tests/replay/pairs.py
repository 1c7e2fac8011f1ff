"""Forecasts that err as measured ones did: blocks of forecast-and-observation pairs, resampled.

Nothing here comes from curecast's own model of the doubt. A measured error is split, lead day
by lead day, into what goes with the weather that came (a forecast a week ahead misses most of a
warm or a cold spell) and the rest; the rest is drawn in whole days, each followed by the next
day of the same issue, now and then by a day of another one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

DATA = Path(__file__).parents[1] / "published" / "data" / "nws_omaha_2019_pairs.csv"
LEADS = 7
WEEK_H = 24 * LEADS
#: A chain stays with its issue from one day to the next so often, else it changes over. [-]
_STAYS = 0.9


@dataclass(frozen=True)
class Pairs:
    """Measured pairs as days; a day begins at about 17:40 of local solar time.

    Parameters
    ----------
    error_c : ndarray, shape (day, lead, hour)
        Forecast minus observation. [°C]
    with_weather : ndarray, shape (lead,)
        Error for each degree by which the weather lay above its usual. [-]
    rest_c : ndarray, shape (day, lead, hour)
        What is left of the error then. [°C]
    observed_c : ndarray, shape (day, hour)
        What came. [°C]
    """

    error_c: np.ndarray
    with_weather: np.ndarray
    rest_c: np.ndarray
    observed_c: np.ndarray


@lru_cache
def measured() -> Pairs:
    """The pairs of Omaha 2019; single missing hours are filled between their neighbours."""
    rows = [r.split(",") for r in DATA.read_text("utf-8").splitlines() if r[:2] == "20"]
    at = np.array([r[0] for r in rows], dtype="datetime64[h]").astype(int)
    values = np.array([r[1:] for r in rows], dtype=float)
    runs = np.split(np.arange(len(at)), np.flatnonzero(np.diff(at) > 2) + 1)
    whole, unusual = [], []
    for run in runs:
        hours = np.arange(at[run[0]], at[run[-1]] + 1)
        filled = np.array([np.interp(hours, at[run], v) for v in values[run].T]).T
        days = filled[: len(hours) // 24 * 24].reshape(-1, 24, 1 + LEADS)
        whole.append(days)
        unusual.append(days[:, :, 0] - days[:, :, 0].mean(axis=0))
    days, o = np.concatenate(whole), np.concatenate(unusual)
    error = (days[:, :, 1:] - days[:, :, :1]).transpose(0, 2, 1)
    slope = np.array([(error[:, i] * o).sum() / (o * o).sum() for i in range(LEADS)])
    rest = error - slope[:, None] * o[:, None, :]
    return Pairs(error, slope, rest, days[:, :, 0])


def chain(blocks_c: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """One issue's seven days out of measured days, shape (hour,): a circular block bootstrap,
    so that every measured day of a lead day is drawn as often. [°C]"""
    day = int(rng.integers(len(blocks_c)))
    found = []
    for lead in range(LEADS):
        found.append(blocks_c[day, lead])
        stays = rng.random() < _STAYS
        day = (day + 1) % len(blocks_c) if stays else int(rng.integers(len(blocks_c)))
    return np.concatenate(found)


def usual_c(air_c: np.ndarray, days: int = 11) -> np.ndarray:
    """The usual weather of each hour: the mean of that hour over the days about it. [°C]"""
    half = days // 2
    wide = np.pad(air_c, 24 * half, mode="wrap")
    return np.mean([wide[24 * i : 24 * i + len(air_c)] for i in range(days)], axis=0)


def forecast_c(came_c: np.ndarray, usual: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """A week's forecast of the weather that came.

    Parameters
    ----------
    came_c, usual : ndarray, shape (168,)
        Air from about 18:00 of local solar time on, and what is usual then. [°C]
    rng : Generator
        Draws the days.
    """
    pairs = measured()
    lead = np.arange(WEEK_H) / 24.0 + 0.5
    slope = np.interp(lead, np.arange(1, 1 + LEADS), pairs.with_weather)
    return np.asarray(came_c + slope * (came_c - usual) + chain(pairs.rest_c, rng))
