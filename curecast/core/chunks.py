"""Many starts of a week in chunks over the workers, each chunk marched as one batch."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from curecast.core.batches import STARTS, STEADY, TRIAL, TRIAL_CELLS, Batch, run
from curecast.core.histories import Histories
from curecast.core.marches import EARLY_H, RIPE_SHARE
from curecast.core.protection import Measure
from curecast.core.weekly import WARM_TO_C, Candidate, Week

Array = NDArray[np.float64]
Done = TypeVar("Done")

#: The span in which fresh concrete must not freeze, after the last batch: ACI 306R. [h]
FIRST_DAY_H = 24.0
#: Members that must bear frost before a trial ends: more than nine of ten.
SAFE_SHARE = 0.93
#: Columns that are marched together: their cells stay near the processor.
CHUNK_COLUMNS = 3000
#: The same of the full computation, which keeps months of each.
FULL_CHUNK_COLUMNS = 300
#: Threads. Two take more processor time than they save where others use the machine too: a
#: step is many short calls, and each hands the interpreter over.
WORKERS = 1


def in_parallel(
    week: Week, candidates: Sequence[Candidate], work: Callable[[Sequence[Candidate]], list[Done]]
) -> list[Done]:
    """Do work on chunks of starts, spread over the workers.

    Parameters
    ----------
    week : Week
        What they share. [various]
    candidates : sequence of Candidate
        The starts. [h]
    work : callable
        Gives one result for each start of a chunk. [-]

    Returns
    -------
    list
        One result a candidate. [-]
    """
    columns = FULL_CHUNK_COLUMNS if week.full else CHUNK_COLUMNS
    most = max(1, columns // week.weather.air_c.shape[1])
    size = max(1, min(most, -(-len(candidates) // WORKERS)))
    chunks = [candidates[i : i + size] for i in range(0, len(candidates), size)]
    if len(chunks) < 2 or WORKERS < 2:
        return [one for chunk in chunks for one in work(chunk)]
    with ThreadPoolExecutor(WORKERS) as pool:
        return [one for done in pool.map(work, chunks) for one in done]


def run_starts(
    week: Week,
    candidates: Sequence[Candidate],
    measure: Measure,
    until_h: float,
    *,
    coarse: bool = False,
    until_safe: bool = False,
    until_ripe_h: Array | None = None,
) -> list[Histories]:
    """Run a chunk of starts under one measure.

    Parameters
    ----------
    week : Week
        What they share. [various]
    candidates : sequence of Candidate
        The starts. [h]
    measure : Measure
        How they are protected. [-]
    until_h : float
        Length of the run after the middle of placing. [h]
    coarse : bool
        With the cells and steps of a trial. [-]
    until_safe : bool
        Over once nine of ten of every start can bear frost, a day at least. [-]
    until_ripe_h : ndarray, shape (member,), optional
        Over once so many are this old that no hold waits for strength. [h]

    Returns
    -------
    list of Histories
        One a candidate, columns being members. [various]
    """
    members = week.weather.air_c.shape[1]
    batch = Batch(
        np.array([c.start_h for c in candidates]),
        measure.spells,
        WARM_TO_C if measure.warm_mix else None,
    )
    enough = _safe(week) if until_safe else None
    if until_ripe_h is not None:
        enough = _ripe(until_ripe_h)
    coarse = coarse and not week.full
    past = run(
        week.case,
        week.weather,
        batch,
        until_h,
        latitude=week.case.exposure.latitude,
        plan=TRIAL if coarse else STEADY if week.full else STARTS,
        cells=(TRIAL_CELLS, TRIAL_CELLS) if coarse else None,
        enough=enough,
        standing=week.standing,
    )
    return [
        past.columns(slice(i * members, (i + 1) * members)) for i in range(len(candidates))
    ]


def _safe(week: Week) -> Callable[[float, Array], bool]:
    """Whether nine of ten of every start can bear frost, a day after the last batch."""
    members = week.weather.air_c.shape[1]
    frost_mpa = week.limits.freeze_strength_mpa
    frost_h = 24.0 * week.strengths.needed_d(frost_mpa, np.ones(members))
    first_day_h = week.case.middle_h + FIRST_DAY_H + 1.0

    def safe(t_h: float, age_h: Array) -> bool:
        if t_h < first_day_h:
            return False
        reached = age_h.reshape(len(age_h), -1, members) >= frost_h
        return bool(np.all(reached[..., 1:].mean(axis=2) >= SAFE_SHARE))

    return safe


def _ripe(ripe_h: Array) -> Callable[[float, Array], bool]:
    """Whether in nearly all members of every start no hold waits for strength any more."""

    def ripe(t_h: float, age_h: Array) -> bool:
        if t_h < EARLY_H:
            return False
        aged = age_h.min(axis=0).reshape(-1, len(ripe_h)) >= ripe_h
        return bool(np.all(aged.mean(axis=1) >= RIPE_SHARE))

    return ripe
