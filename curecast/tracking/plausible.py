"""What cannot be is refused, what is unlikely is flagged: readings and deeds before they count."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from curecast.clock import show_instant
from curecast.store.rows import Reading
from curecast.tracking.said import Said

__all__ = ["UNDO", "Standing", "check_said", "jump_flag"]

#: What takes an entry back where people type.
UNDO = "curecast log undo"

_AHEAD = timedelta(minutes=5)
#: What a thermometer at a slab may say; outside it is refused. [°C]
_POSSIBLE_C = {"air": (-60.0, 60.0), "ground": (-40.0, 60.0)}
_POSSIBLE_SLAB_C = (-40.0, 90.0)
#: Outside this a reading is kept and flagged. [°C]
_LIKELY_C = {"air": (-35.0, 38.0), "ground": (-15.0, 32.0)}
_LIKELY_SLAB_C = (-10.0, 32.0)
#: Two readings of one place within so long differ by less. [K]
_JUMP_K, _JUMP_WITHIN = 12.0, timedelta(hours=3)
#: An enclosure is not kept outside this. [°C]
_HEATED_C = (0.0, 45.0)


def check_said(
    said: Said,
    poured_at: datetime,
    now: datetime,
    thickness_m: float | None = None,
    zone: str | None = None,
) -> tuple[str, tuple[str, ...]]:
    """Refuse what cannot be, flag what is unlikely.

    Parameters
    ----------
    said : Said
        A reading or a deed.
    poured_at, now : datetime
        Start of placing, and the present, aware.
    thickness_m : float or None
        Of the slab: no probe in it sits deeper. [m]
    zone : str or None
        The job's zone, for words.

    Returns
    -------
    problem : str
        Empty, or why it is refused.
    flags : tuple of str
        What is odd about it.
    """
    problem = _untimely(said, poured_at, now, zone) or _impossible(said, thickness_m)
    if problem:
        return f"{said.text or said.kind}: {problem}", ()
    return "", tuple(_flags(said)) if said.kind == "reading" else ()


def _untimely(said: Said, poured_at: datetime, now: datetime, zone: str | None) -> str:
    if said.at > now + _AHEAD:
        return f"{show_instant(said.at, zone)} lies in the future"
    if said.at < poured_at and (said.on_concrete or said.kind != "reading"):
        pour = show_instant(poured_at, zone)
        return f"{show_instant(said.at, zone)} lies before the pour, which began {pour}"
    return ""


def _impossible(said: Said, thickness_m: float | None) -> str:
    heated_c = said.numbers.get("heat_to_c")
    if heated_c is not None and not _HEATED_C[0] <= heated_c <= _HEATED_C[1]:
        return f"no enclosure is kept at {heated_c:.0f} °C"
    if said.kind != "reading":
        return ""
    low, high = _POSSIBLE_C.get(said.where, _POSSIBLE_SLAB_C)
    if not low <= said.value_c <= high:
        return f"{said.value_c:.0f} °C cannot be at the {said.where}"
    inside = said.where == "inside" and said.depth_m is not None and thickness_m is not None
    if inside and not 0.0 <= (said.depth_m or 0.0) <= (thickness_m or 0.0):
        return f"the slab is {1000.0 * (thickness_m or 0.0):.0f} mm thick"
    return ""


def _flags(said: Said) -> list[str]:
    """What is odd about a reading; a mix-up of °C and °F is the usual reason."""
    low, high = _LIKELY_C.get(said.where, _LIKELY_SLAB_C)
    number = round(said.value_c * 1.8 + 32.0 if said.unit == "F" else said.value_c, 1)
    found = []
    if said.value_c > high and said.unit != "F":
        as_c = (number - 32.0) / 1.8
        found.append(f"that is warm for the {said.where}: was it {number:g} °F ({as_c:.0f} °C)?")
    elif not low <= said.value_c <= high:
        found.append(f"{said.value_c:.0f} °C is unlikely at the {said.where}")
    if said.on_concrete and said.value_c <= 0.0:
        meant = f" Was it {number:g} °C?" if said.unit == "F" and number > 0.5 else ""
        found.append(
            "concrete at or below freezing: before it has 3.5 MPa (500 psi) that bars every "
            f"hold of strength until a test.{meant} If it is wrong: {UNDO}"
        )
    return found


@dataclass
class Standing:
    """Readings on record by place, in the order of time, so that a neighbour is found at once."""

    rows: dict[tuple[str, float | None], list[Reading]] = field(default_factory=dict)
    times: dict[tuple[str, float | None], list[datetime]] = field(default_factory=dict)

    @classmethod
    def of(cls, standing: Sequence[Reading]) -> Standing:
        """Sort readings that stand, given by time."""
        found = cls()
        for row in standing:
            found.rows.setdefault((row.where, row.depth_m), []).append(row)
            found.times.setdefault((row.where, row.depth_m), []).append(row.at)
        return found

    def nearest(self, said: Said) -> Reading | None:
        """The reading of the same place that lies nearest in time."""
        key = (said.where, said.depth_m)
        at = bisect_left(self.times.get(key, []), said.at)
        near = self.rows.get(key, [])[max(at - 1, 0) : at + 1]
        return min(near, key=lambda row: abs(row.at - said.at), default=None)


def jump_flag(said: Said, standing: Standing) -> tuple[str, ...]:
    """A flag where a reading is far off another one of the same place and time.

    Parameters
    ----------
    said : Said
        A reading.
    standing : Standing
        What is on record.
    """
    last = standing.nearest(said) if said.kind == "reading" else None
    if last is None or abs(last.at - said.at) > _JUMP_WITHIN:
        return ()
    apart = said.value_c - (last.value_c or 0.0)
    if abs(apart) < _JUMP_K:
        return ()
    was = f"{last.value_c:.0f} °C ({(last.value_c or 0.0) * 1.8 + 32.0:.0f} °F)"
    far = f"{abs(apart):.0f} °C ({abs(apart) * 1.8:.0f} °F)"
    return (f"{far} off the reading of {was} shortly before or after",)
