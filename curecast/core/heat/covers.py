"""What lies over the slab, and when: blankets, sheets, a heated enclosure, the form."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from curecast.core.heat.surface import ABSORPTANCE
from curecast.errors import OutOfRange

#: Share of its resistance that a wet or wind-lifted blanket keeps (ASSUMED).
WET_SHARE = 1.0 / 3.0


@dataclass(frozen=True)
class CoverSpell:
    """One cover over one spell.

    Parameters
    ----------
    r_m2k_w : float
        Resistance of the cover, dry, 0..10. [m2K/W]
    from_h, to_h : float
        When it lies on, after the start. [h]
    laps : bool
        Whether it hangs 300 mm over the edge and down its side. [-]
    heat_to_c : float or None
        Set-point of a heated enclosure; None for a plain cover. [°C]
    absorptance : float
        Solar absorptance of the outer face, 0..1. [-]
    wet : bool
        Wet or lifted by wind: a third of the resistance is left (ASSUMED). [-]

    Raises
    ------
    OutOfRange
        If a resistance is below 0, or an absorptance outside 0..1.
    """

    r_m2k_w: float
    from_h: float
    to_h: float
    laps: bool = True
    heat_to_c: float | None = None
    absorptance: float = ABSORPTANCE
    wet: bool = False

    def __post_init__(self) -> None:
        if not self.r_m2k_w >= 0.0:
            raise OutOfRange("a cover's thermal resistance cannot be below 0 m2K/W")
        if not 0.0 <= self.absorptance <= 1.0:
            raise OutOfRange("a cover's solar absorptance runs from 0 to 1")


@dataclass(frozen=True)
class CoverState:
    """All that lies over the slab at one time.

    Parameters
    ----------
    r_m2k_w : float
        Resistance of all covers together, 0 when bare. [m2K/W]
    laps : bool
        Whether one of them hangs over the edge and down. [-]
    heat_to_c : float or None
        Set-point of a heated enclosure. [°C]
    absorptance : float
        Solar absorptance of the outer face, 0..1. [-]
    covered : bool
        False when the slab is bare. [-]
    """

    r_m2k_w: float
    laps: bool
    heat_to_c: float | None
    absorptance: float
    covered: bool


BARE = CoverState(0.0, False, None, ABSORPTANCE, False)


def cover_state(spells: Iterable[CoverSpell], t_h: float) -> CoverState:
    """What lies over the slab just after ``t_h``; covers on top of each other add up.

    Parameters
    ----------
    spells : iterable of CoverSpell
        The plan. [various]
    t_h : float
        Time after the start. [h]

    Returns
    -------
    CoverState
        Their sum; the last one is the outermost. [various]
    """
    on = [c for c in spells if c.from_h <= t_h < c.to_h]
    if not on:
        return BARE
    heats = [c.heat_to_c for c in on if c.heat_to_c is not None]
    return CoverState(
        r_m2k_w=sum(c.r_m2k_w * (WET_SHARE if c.wet else 1.0) for c in on),
        laps=any(c.laps for c in on),
        heat_to_c=max(heats) if heats else None,
        absorptance=on[-1].absorptance,
        covered=True,
    )


def switch_times_h(spells: Iterable[CoverSpell], horizon_h: float) -> list[float]:
    """Every time at which something is laid on or taken off.

    Parameters
    ----------
    spells : iterable of CoverSpell
        The plan. [various]
    horizon_h : float
        End of the look ahead. [h]

    Returns
    -------
    list of float
        Times between 0 and the horizon, in order. [h]
    """
    times = {t for c in spells for t in (c.from_h, c.to_h)}
    return sorted(t for t in times if 0.0 < t < horizon_h)
