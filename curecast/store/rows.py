"""What the store hands out: frozen rows, every instant aware and in UTC."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any


@dataclass(frozen=True)
class JobRow:
    """A job by its name."""

    id: str
    name: str
    at: datetime
    recorded_at: datetime
    closed_at: datetime | None


@dataclass(frozen=True)
class JobVersion:
    """One text of a job file, whole; ``hash`` is its SHA-256."""

    id: str
    job: JobRow
    hash: str
    text: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class VersionUse:
    """From when on a version was in use; ``by`` and ``reason`` are filled by an amendment."""

    id: str
    hash: str
    by: str
    reason: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class Placement:
    """One placing of a job's concrete, as the facts stand now.

    ``state`` is ``chosen`` (``start_at`` is the plan) or ``poured`` (``start_at`` is when
    placing began). ``version`` governs: after the pour only an amendment changes it.
    """

    id: str
    job: JobRow
    state: str
    version: JobVersion
    start_at: datetime
    end_at: datetime | None
    bags: float | None
    water_l_per_bag: float | None
    temperature_c: float | None
    chosen_start_at: datetime | None
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class PlacementFact:
    """One thing said about a placement: chosen, poured, amended or ended."""

    id: str
    placement_id: str
    kind: str
    version_hash: str
    start_at: datetime | None
    end_at: datetime | None
    bags: float | None
    water_l_per_bag: float | None
    temperature_c: float | None
    by: str
    reason: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class NewReading:
    """A reading before it is kept; ``depth_m`` None where depth has no meaning."""

    where: str
    value_c: float
    at: datetime
    source: str
    depth_m: float | None = None
    flags: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reading:
    """A thermometer reading; ``value_c`` None takes back the row named in ``supersedes``."""

    id: str
    placement_id: str
    where: str
    depth_m: float | None
    value_c: float | None
    at: datetime
    recorded_at: datetime
    source: str
    flags: tuple[str, ...]
    supersedes: str | None


@dataclass(frozen=True)
class Event:
    """Something done to the slab: a cover, a heater, wetting, a torque."""

    id: str
    placement_id: str
    kind: str
    payload: dict[str, Any]
    at: datetime
    recorded_at: datetime
    supersedes: str | None


@dataclass(frozen=True)
class StrengthTest:
    """A strength test; ``strength_mpa`` None takes back the row named in ``supersedes``."""

    id: str
    placement_id: str
    kind: str
    strength_mpa: float | None
    by: str
    note: str
    at: datetime
    recorded_at: datetime
    supersedes: str | None


@dataclass(frozen=True)
class SignOff:
    """A named person's word on a hold: ``signed-off``, or ``withdrawn`` again."""

    id: str
    placement_id: str
    hold: str
    kind: str
    by: str
    reason: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class HoldChange:
    """A hold's move from one state to another, and what it rested on."""

    id: str
    placement_id: str
    hold: str
    from_state: str
    to_state: str
    inputs: dict[str, Any]
    version: str
    why: str
    at: datetime
    recorded_at: datetime


@dataclass(frozen=True)
class ForecastRow:
    """A forecast as it was fetched; ``body`` is the service's own text."""

    id: str
    source: str
    place: str
    issued_at: datetime
    fetched_at: datetime
    recorded_at: datetime
    body: str = field(repr=False)


@dataclass(frozen=True)
class NewObservation:
    """What a weather station reported for one time; None where it said nothing."""

    at: datetime
    air_c: float | None
    dew_point_c: float | None = None
    wind_ms: float | None = None
    cloud: float | None = None
    rain_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Observation(NewObservation):
    """A station's report as it is kept."""

    id: str
    place: str
    station: str
    recorded_at: datetime


@dataclass(frozen=True)
class Asking:
    """One time that a weather service was asked."""

    id: str
    source: str
    place: str
    what: str
    outcome: str
    payload: dict[str, Any]
    at: datetime
    recorded_at: datetime
