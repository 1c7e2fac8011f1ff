"""Readings as a page lists them: measured, by the model alone, and used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from curecast.core.correction import modelled_c
from curecast.core.measured import Measured
from curecast.prospect.record import Seen
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity
from curecast.report.words import short_date

#: Readings that the page lists; the newest.
LISTED = 40
_DEPTH = {"surface": 0.0, "under-cover": 0.0, "inside": 0.5}


@dataclass(frozen=True)
class ReadingRow:
    """One reading beside what the model alone and the corrected model say."""

    at: str
    where: str
    read: str
    alone: str
    used: str


def _used(answer: SlabAnswer) -> list[Seen]:
    """The readings that the correction met, in its order."""
    until = answer.now_h + 1.0 / 12.0
    return [
        s for s in answer.record.seen if s.where != "ground" and answer.origin_h < s.at_h <= until
    ]


def reading_rows(answer: SlabAnswer, units: str) -> list[ReadingRow]:
    """The newest readings, newest first, beside the model."""
    used = _used(answer)
    known = [s for s in used if s.at_h - answer.origin_h <= answer.past.t_h[-1]]
    drawn = _drawn_c(answer, known)
    by_seen = {id(s): float(v) for s, v in zip(known, drawn, strict=True)}
    misfit = {}
    if len(answer.misfit_k) == len(used):
        misfit = {id(s): float(k) for s, k in zip(used, answer.misfit_k, strict=True)}
    zone = answer.job.site.zone

    def said(value: float | None) -> str:
        return "–" if value is None else show_quantity(value, "temperature", units)

    newest = sorted(answer.record.seen, key=lambda s: s.at_h, reverse=True)[:LISTED]
    return [
        ReadingRow(
            at=short_date(s.at_h, zone),
            where=_where(s, units),
            read=show_quantity(s.value_c, "temperature", units),
            alone=said(s.value_c - misfit[id(s)] if id(s) in misfit else None),
            used=said(by_seen.get(id(s))),
        )
        for s in newest
    ]


def _where(seen: Seen, units: str) -> str:
    if seen.depth_m is None:
        return seen.where
    return f"{seen.where}, {show_quantity(seen.depth_m, 'length', units)}"


def _drawn_c(answer: SlabAnswer, seen: Sequence[Seen]) -> list[float]:
    """What the corrected history has at each reading's time and place. [°C]"""
    if not seen:
        return []
    thickness = answer.case.thickness_m
    measured = Measured(
        np.array([s.at_h - answer.origin_h for s in seen]),
        np.array([s.value_c for s in seen]),
        np.array([s.where == "air" for s in seen]),
        np.array(
            [
                min(s.depth_m / thickness, 1.0)
                if s.depth_m is not None and s.where == "inside"
                else _DEPTH.get(s.where, 0.0)
                for s in seen
            ]
        ),
    )
    values = np.median(modelled_c(answer.past, measured)[:, 1:], axis=1)
    return [float(v) for v in values]
