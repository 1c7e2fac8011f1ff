"""Readings against the model: what was measured, modelled and used, and thermometers that lie."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.correction import modelled_c
from curecast.core.heat.covers import cover_state
from curecast.core.measured import Measured
from curecast.core.misfits import Misfits, doubtful
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity

__all__ = ["Innovation", "innovations", "thermometer_notes"]

Array = NDArray[np.float64]

#: A reading so far off the model asks what lies over the slab (ASSUMED). [K]
_CONTRADICTS_K = 4.0


@dataclass(frozen=True)
class Innovation:
    """One reading; ``at_h`` hours since 1970, ``modelled_c`` before any reading corrected it."""

    at_h: float
    where: str
    measured_c: float
    modelled_c: float
    used_c: float


def innovations(answer: SlabAnswer) -> list[Innovation]:
    """What was measured, what the uncorrected model had there, and what is used since."""
    measured = answer.measured
    if not len(measured):
        return []
    mean = replace(
        answer.past,
        temp_c=answer.past.temp_c[..., 1:].mean(axis=-1, keepdims=True),
        air_c=answer.past.air_c[..., 1:].mean(axis=-1, keepdims=True),
    )
    used = modelled_c(mean, measured)[:, 0]
    return [
        Innovation(
            answer.origin_h + float(t), _place(measured, i), float(measured.value_c[i]),
            float(measured.value_c[i] - answer.misfit_k[i]), float(used[i]),
        )
        for i, t in enumerate(measured.t_h)
    ]  # fmt: skip


def _place(measured: Measured, i: int) -> str:
    if measured.in_air[i]:
        return "air"
    return "surface" if measured.depth_share[i] == 0.0 else "inside"


def thermometer_notes(answer: SlabAnswer) -> list[str]:
    """What is to be said of thermometers that drift, lie in the sun, or leap."""
    measured = answer.measured
    if len(measured) < 2:
        return []
    longitude = answer.job.site.longitude or 0.0
    hour = (answer.origin_h + measured.t_h + longitude / 15.0) % 24.0
    left = answer.left_k
    notes = []
    for name, which in (("air", measured.in_air), ("slab", ~measured.in_air)):
        if which.any():
            found = doubtful(Misfits(measured.t_h[which], left[which], hour[which]))
            notes += [f"the thermometer in the {name} {said}" for said in found]
    return [*notes, *_against_plan(answer)]


def _against_plan(answer: SlabAnswer) -> list[str]:
    """A question where the last reading of the slab contradicts what is said to lie over it."""
    slab = np.flatnonzero(~answer.measured.in_air)
    if not len(slab):
        return []
    last = slab[int(np.argmax(answer.measured.t_h[slab]))]
    over = cover_state(answer.spells, float(answer.measured.t_h[last]))
    left = float(answer.left_k[last])
    if abs(left) < _CONTRADICTS_K or (left < 0.0) != over.covered:
        return []
    what = "is its cover still on, dry and heated" if over.covered else "is it covered by now"
    off = show_quantity(abs(left), "temperature difference", answer.job.units)
    return [
        f"the last reading is {off} {'colder' if left < 0.0 else 'warmer'} than all that is known "
        f'explains: {what}? Say so: curecast log {answer.job.name} "blanket off 7:30"'
    ]
