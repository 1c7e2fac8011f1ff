"""What a job file says, in SI, after every quantity has been read.

``None`` means that nobody knows yet; the stand-in that is then used is listed in
``Job.assumed`` with its reason, so that a guess never passes for a fact.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from curecast.job.equipment import Equipment as Equipment

#: Hold points in the order in which people meet them.
HOLDS = (
    "walk",
    "strip",
    "saw-cut",
    "end-protection",
    "light-load",
    "end-moist-cure",
    "drill",
    "snug",
    "full-torque",
    "re-check",
    "service-load",
)

#: Forecast services that a job may name; curecast asks the first two unless it is told otherwise.
SOURCES = ("nws", "met-norway", "open-meteo")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True)
class Assumed:
    """A value that the job does not give: what stands in for it, and why."""

    key: str
    stand_in: str
    why: str


@dataclass(frozen=True)
class Site:
    """Where the slab lies. Angles in degrees, height in m, factors 0..1, offset in K.

    ``sources``: forecast services in their order; empty: those that fit the place. ``lapse``:
    whether air is corrected for the height between the forecast's ground and the site.
    """

    latitude: float | None = None
    longitude: float | None = None
    zone: str | None = None
    elevation_m: float | None = None
    contact: str | None = None
    exposure: str = "open"
    sky_view: float = 1.0
    sun: float = 1.0
    wind_factor: float = 1.0
    air_offset_k: float = 0.0
    swing: float = 1.0
    evaporation: bool = True
    head_height_m: float | None = None
    sources: tuple[str, ...] = ()
    lapse: bool = False


@dataclass(frozen=True)
class Climate:
    """The site's mean air temperature of each month, January first; empty: nobody knows."""

    normals_c: tuple[float, ...] = ()


@dataclass(frozen=True)
class Ground:
    """What the slab lies on. ``None`` temperatures are taken from the weather."""

    temperature_c: float | None = None
    deep_temperature_c: float | None = None
    wet: bool = False
    under: str = "none"
    under_r_m2k_w: float = 0.0
    gravel_m: float | None = None
    bearing_kpa: float | None = None


@dataclass(frozen=True)
class Slab:
    """The slab itself, in m; ``above_grade_m`` None means the whole thickness.

    Depths of a thickened edge and of pads (length, width, depth) are whole depths. ``levels_m``
    are heights of the finished face over any mark.
    """

    length_m: float
    width_m: float
    thickness_m: float
    corner_depths_m: tuple[float, ...] = ()
    above_grade_m: float | None = None
    form_r_m2k_w: float = 0.15
    strip_at_h: float | None = None
    reinforcement: str = "unknown"
    bar_spacing_m: float | None = None
    bar_m: float | None = None
    thick_edge_m: float | None = None
    thick_edge_width_m: float | None = None
    pads_m: tuple[tuple[float, float, float], ...] = ()
    levels_m: tuple[float, ...] = ()


@dataclass(frozen=True)
class Mix:
    """The concrete. Own numbers override the preset; None keeps the preset's."""

    preset: str = "bag"
    strength_mpa: float | None = None
    bag_kg: float | None = None
    water_l: float | None = None
    yield_m3: float | None = None
    cement_kg_m3: float | None = None
    w_c: float | None = None
    heat_j_kg: float | None = None
    alpha_u: float | None = None
    tau_h: float | None = None
    beta: float | None = None
    activation_j_mol: float | None = None
    reference_temperature_c: float | None = None
    shape: str | None = None
    s: float | None = None


@dataclass(frozen=True)
class Placing:
    """How warm the concrete goes in."""

    temperature_c: float | None = None
    water_temperature_c: float | None = None
    material_temperature_c: float | None = None
    water_heater_w: float | None = None


@dataclass(frozen=True)
class Cover:
    """A cover or a heated enclosure over the slab, in hours after the start."""

    r_m2k_w: float
    from_h: float = 0.0
    to_h: float = 72.0
    laps: bool = True
    heat_to_c: float | None = None
    solar_absorptance: float = 0.65
    wet: bool = False


@dataclass(frozen=True)
class Crew:
    """Who works when. Times of day in hours of local time; days 0 is Monday."""

    people: int = 2
    from_h: float = 8.0
    to_h: float = 17.0
    days: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    mix: str = "by hand"
    bags_per_batch: int = 1


@dataclass(frozen=True)
class Protection:
    """Measures at hand. ``moist_cure_h``: how long the face will be kept damp.

    ``heater_l_h`` is the fuel that the heater burns in an hour [l]; prices are in ``currency``.
    """

    sheet: bool = True
    blankets: int = 1
    blanket_r_m2k_w: float = 0.35
    heater: bool = False
    moist_cure_h: float = 168.0
    prices: dict[str, float] = field(default_factory=dict)
    blanket_size_m: tuple[float, float] | None = None
    heater_l_h: float | None = None
    currency: str = ""


@dataclass(frozen=True)
class Buying:
    """How things are bought and fetched; ``waste`` None means the usual share."""

    payload_kg: float | None = None
    minimum_load_m3: float | None = None
    wait_h: float | None = None
    waste: float | None = None
    prices: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class RuleChoice:
    """Which rule set judges, whether its advice binds, and single thresholds (stricter only)."""

    set: str = "ACI"
    strict: bool = False
    thresholds: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class AlertTo:
    """One address for alerts; secrets are names of environment variables.

    ``daily`` is the local hour at which what can wait comes together.
    """

    to: str
    what: tuple[str, ...] = ()
    quiet: str | None = None
    daily: float | None = None


@dataclass(frozen=True)
class HoldOverride:
    """A hold's own need, never without a reason."""

    strength_mpa: float | None
    age_h: float | None
    reason: str


@dataclass(frozen=True)
class Job:
    """One slab: everything its file says. ``text`` is the file, ``hash`` its SHA-256."""

    name: str
    units: str
    site: Site
    ground: Ground
    slab: Slab
    mix: Mix
    placing: Placing
    covers: tuple[Cover, ...]
    equipment: Equipment
    crew: Crew
    protection: Protection
    rules: RuleChoice
    alerts: tuple[AlertTo, ...]
    holds: dict[str, HoldOverride]
    assumed: tuple[Assumed, ...]
    text: str = ""
    hash: str = ""
    buying: Buying = field(default_factory=Buying)
    climate: Climate = Climate()
