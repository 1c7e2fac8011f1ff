"""The slab's surface in one line of marks: two days behind, two ahead."""

from __future__ import annotations

import numpy as np

from curecast.cli.terminal import heights, sparkline
from curecast.core.histories import SURFACE
from curecast.prospect.sentences import degrees
from curecast.prospect.slab import SlabAnswer

_SPAN_H, _STEP_H = 48.0, 4.0


def temperature_line(answer: SlabAnswer) -> list[str]:
    """Likely temperature of the surface, four hours a mark, a bar at now; nothing if unknown.

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.
    """
    past, now_h = answer.past, answer.age_h
    first_h, last_h = max(float(past.t_h[0]), now_h - _SPAN_H), now_h + _SPAN_H
    if not past.t_h[0] <= now_h <= past.t_h[-1]:
        return []
    before = np.arange(now_h, first_h - 1e-9, -_STEP_H)[::-1]
    after = np.arange(now_h + _STEP_H, min(last_h, float(past.t_h[-1])) + 1e-9, _STEP_H)
    likely = np.median(past.temp_c[:, SURFACE, 1:], axis=1)
    values = np.interp(np.concatenate([before, after]), past.t_h, likely)
    drawn = sparkline(values.tolist(), heights())
    ends = [degrees(answer.job, float(v)) for v in (values.min(), values.max())]
    marks = f"{drawn[: len(before)]}|{drawn[len(before) :]}"
    return [f"  surface {marks} {ends[0]} to {ends[1]}; 4 h a mark, | is now"]
