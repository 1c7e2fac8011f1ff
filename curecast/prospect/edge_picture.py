"""The cross-section of a poured slab's edge at chosen hours, for a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.edge_follow import FOLLOWED_H, mean_edge
from curecast.core.edges import EDGE_COARSE
from curecast.core.heat.covers import CoverState, cover_state
from curecast.core.heat.section import EdgeSection, march
from curecast.core.heat.section_history import EdgeHistory
from curecast.core.tracked import believed
from curecast.core.weather.ensemble import members
from curecast.prospect.sentences import when
from curecast.prospect.standing import SlabAnswer
from curecast.quantities import show_quantity

Array = NDArray[np.float64]

#: The first night lies within; the second picture is at least so old. [h]
_FIRST_DAY_H = 24
#: What a young slab is shown at as well. [h]
_LATER_H = 72
#: Cells for a picture: smooth lines, in a fraction of a second. [-]
_FINENESS = 0.85
#: Differences that nobody can feel. [K]
_SAME_K = 0.5
_NAMES = {
    "arris": "the top edge",
    "side_mid": "the side",
    "centre_top": "the top's middle",
    "centre_bottom": "the underside",
}


@dataclass(frozen=True)
class SectionFields:
    """The half cross-section at some hours, of the member that stands for all.

    Parameters
    ----------
    at_h : tuple of float
        The hours, since 1970-01-01T00:00 UTC, in order. [h]
    fields_c : tuple of ndarray, shape (z, x)
        Temperature, NaN in the air beside. [°C]
    x_m, z_m : ndarray, shape (x,) and (z,)
        Cells' centres: from the centre line, and below the top. [m]
    section : EdgeSection
        Slab, grade, form and anchors. [various]
    covers : tuple of CoverState
        What lies on it at each hour. [various]
    formed : tuple of bool
        Whether the form still stands at each hour. [-]
    said : str
        Where it is coldest in the first day, against the top's middle.
    """

    at_h: tuple[float, ...]
    fields_c: tuple[Array, ...]
    x_m: Array
    z_m: Array
    section: EdgeSection
    covers: tuple[CoverState, ...]
    formed: tuple[bool, ...]
    said: str


def section_fields(answer: SlabAnswer) -> SectionFields:
    """The section at the coldest hour of the first day, and now (or three days after placing).

    Parameters
    ----------
    answer : SlabAnswer
        A poured slab.

    Returns
    -------
    SectionFields
        Of two hours; readings have taught it site and mix, and do not bend it further.
    """
    section, history = _history(answer)
    coldest = 1 + int(np.argmin(history.arris_least_c[1 : _FIRST_DAY_H + 1, 0]))
    hours = (float(coldest), float(_later_h(answer)))
    covers = tuple(cover_state(answer.spells, t) for t in hours)
    return SectionFields(
        at_h=tuple(answer.origin_h + t for t in hours),
        fields_c=tuple(history.fields_c[t][..., 0] for t in hours),
        x_m=history.x_m,
        z_m=history.z_m,
        section=section,
        covers=covers,
        formed=tuple(t < section.strip_at_h for t in hours),
        said=_said(answer, history, coldest),
    )


def _later_h(answer: SlabAnswer) -> int:
    """The second hour: now where it lies in the weeks that are followed. [h]"""
    now = int(np.floor(answer.age_h))
    return now if _FIRST_DAY_H < now <= FOLLOWED_H else _LATER_H


def _history(answer: SlabAnswer) -> tuple[EdgeSection, EdgeHistory]:
    record, latitude = answer.record, answer.job.site.latitude
    stripped = [d.at_h - answer.origin_h for d in record.done if d.kind == "strip"]
    error_free = members(
        answer.weather, np.full(len(answer.weather), 0.5), count=0, seed=0, latitude=latitude
    )
    section, forcing = mean_edge(
        believed(answer.case, record.placed_c, answer.site),
        error_free,
        start_h=record.start_h,
        origin_h=answer.origin_h,
        strip_at_h=stripped[0] if stripped else answer.case.strip_at_h,
        latitude=latitude,
        fineness=_FINENESS,
    )
    later = _later_h(answer)
    hours = [*range(1, _FIRST_DAY_H + 1), later]
    history = march(
        section, forcing, answer.spells, float(later), plan=EDGE_COARSE, fields_at_h=hours
    )
    return section, history


def _said(answer: SlabAnswer, history: EdgeHistory, hour: int) -> str:
    """Where it is coldest at an hour, and by how much against the top's middle."""
    job = answer.job
    found = {name: float(history.at(point)["temp_c"][hour, 0]) for point, name in _NAMES.items()}
    found["the corner"] = float(history.corner_c[hour, 0])
    coldest = min(found, key=lambda name: found[name])
    below_k = found[_NAMES["centre_top"]] - found[coldest]
    head = (
        f"In the first day it is coldest {when(job, answer.origin_h + hour)}: "
        f"{coldest} at {show_quantity(found[coldest], 'temperature', job.units, 1)}"
    )
    if below_k < _SAME_K:
        return f"{head}, hardly colder than the top's middle."
    colder = show_quantity(below_k, "temperature difference", job.units, 1)
    return f"{head}, {colder} colder than the top's middle."
