"""What a page says of soundness, in groups of sentences: before the pour, and on a later day."""

from __future__ import annotations

import numpy as np

from curecast.core.histories import PLACES
from curecast.prospect.anchor_fit import day_line
from curecast.prospect.soundness import BUY, Soundness, soundness_of
from curecast.prospect.standing import SlabAnswer, strength_quantiles

#: A heading and its sentences.
Section = tuple[str, tuple[str, ...]]


def sections_before(sound: Soundness) -> list[Section]:
    """What to buy, and will it hold, before the pour; groups without a sentence are left out.

    Parameters
    ----------
    sound : Soundness
        What was found of the job.
    """
    groups = (
        (f"First ({BUY[sound.buy]})", sound.first),
        ("Falls short", tuple(f"{p.key}: {p.message}; {p.hint}" for p in sound.problems)),
        ("Not said yet", sound.missing),
        ("Will it hold", sound.fit),
        ("To buy", tuple(f"{name}: {said}" for name, said in sound.buying)),
        ("Mixing water", sound.water),
    )
    return [(name, said) for name, said in groups if said]


def sections_after(answer: SlabAnswer) -> list[Section]:
    """Will it hold, of a slab that is poured: anchors at the strength of this day, and the rest.

    Parameters
    ----------
    answer : SlabAnswer
        Where the slab stands.
    """
    sound = soundness_of(answer.job)
    groups = (
        ("This day", day_lines(answer)),
        ("Falls short", tuple(f"{p.key}: {p.message}" for p in sound.problems)),
        ("Will it hold", sound.fit),
    )
    return [(name, said) for name, said in groups if said]


def day_lines(answer: SlabAnswer) -> tuple[str, ...]:
    """The worst anchor's pull beside what the concrete holds by now, at nine of ten."""
    if answer.frozen_early != "no":
        return ("this concrete may have frozen early: what its anchors hold a test has to show",)
    now = max(int(np.searchsorted(answer.past.t_h, answer.age_h + 1e-9)) - 1, 0)
    weakest = min(float(strength_quantiles(answer, k)[1][now]) for k in range(len(PLACES)))
    line = day_line(answer.job, weakest)
    return () if line is None else (f"{line}: an advisory, the holds decide",)
